"""A person beside their attempts: names that may be one's, own columns, what others said."""
