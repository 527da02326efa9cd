"""The command line: commands by what they are about; each body imports what it needs."""
