"""Attempts: recorded, drafted, listed, brought in from spreadsheets."""
