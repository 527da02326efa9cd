"""What travels between logbooks: handed on, taken in, checked, without names."""
