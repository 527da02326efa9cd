"""How far a setter has come, grade by grade: points, curve, progress, practice by week."""
