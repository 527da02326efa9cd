"""What Now says: the next exercise, what to mind, the setter's own choice."""
