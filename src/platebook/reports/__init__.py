"""A result turned into sentences and text for a person; writes no files."""
