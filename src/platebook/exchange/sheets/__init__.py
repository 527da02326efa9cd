"""What a sheet of attempts means: its headings, its cells, its rows, and what is to be asked."""
