"""A course: its grades and exercises, its file, what is wrong with it, what a new text changes."""
