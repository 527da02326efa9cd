"""Where the files lie that ship with the program: tables, migrations, templates, courses."""

from pathlib import Path

_PROGRAM = Path(__file__).parent


def shipped(*names: str) -> Path:
    """The file or folder of these names inside the program's own folder."""
    return _PROGRAM.joinpath(*names)
