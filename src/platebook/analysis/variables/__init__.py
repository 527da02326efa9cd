"""What a log says as numbers: outcomes, derived fields, columns, and what the trade expects."""
