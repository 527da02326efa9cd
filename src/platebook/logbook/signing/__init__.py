"""Whose word a revision is: keys, signatures, and what is left out where they do not fit."""
