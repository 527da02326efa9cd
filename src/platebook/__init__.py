"""platebook: a practice log for flush setting of small round faceted stones."""

__version__ = "0.2.0"
