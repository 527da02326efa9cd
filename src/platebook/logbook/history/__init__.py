"""What was changed, by whom and when: revisions, changes, undo, the counters they stand in."""
