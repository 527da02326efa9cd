"""Exchanging logbooks through any folder."""
