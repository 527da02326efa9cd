"""Log: all attempts, and the past of each."""
