"""Progress and Course: where each grade stands."""
