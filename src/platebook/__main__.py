"""`python -m platebook` is the command `platebook`."""

from platebook.cli.start import start

start()
