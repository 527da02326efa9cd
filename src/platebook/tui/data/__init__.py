"""Data that only the screens show."""
