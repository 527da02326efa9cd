"""Who uses the program: the first start, and who is at the bench."""
