"""Which attempts are asked for, and finding them in the file."""
