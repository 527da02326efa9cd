"""Use cases about sheets of attempts: what a file means, which rows are new, taking them in."""
