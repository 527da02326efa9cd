"""A class: who it is, how its setters stand, and an instructor's looks."""
