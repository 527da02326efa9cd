"""How far a setter has come, grade by grade: points, how each grade stands, progress."""
