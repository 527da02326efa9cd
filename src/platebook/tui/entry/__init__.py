"""Attempt: one attempt filled in by the number pad."""
