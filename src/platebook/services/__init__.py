"""Use cases: ask the logbook, call analysis and advice, return values. The one place that wires."""
