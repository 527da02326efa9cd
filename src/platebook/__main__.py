"""`python -m platebook` is the command `platebook`."""

from platebook.cli.main import main

main(prog_name="platebook")
