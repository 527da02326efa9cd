"""Courses: which text of each is in force, what waits to be taken in, a file of one's own."""
