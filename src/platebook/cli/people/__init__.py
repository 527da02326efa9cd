"""Commands about people: setters, teachers, classes, start files and messages."""
