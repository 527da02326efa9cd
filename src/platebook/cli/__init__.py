"""The command line: one file a command, whose body imports what it needs."""
