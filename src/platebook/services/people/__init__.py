"""Who is here: setters, teachers, doubles, and who is at the bench."""
