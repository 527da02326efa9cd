"""What people type and files say, read: single values, moments, rows to attempts and back."""
