"""What was found, in words and pictures."""
