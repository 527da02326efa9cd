"""Results as plain text."""
