"""Where the files lie that ship with the program: tables, migrations, templates, courses."""

from pathlib import Path

_PROGRAM = Path(__file__).parent


def course_texts() -> list[str]:
    """The texts of the courses, in the order of their files' names.

    They lie inside the program, or beside `src` in a checkout.
    """
    inside = shipped("curricula")
    folder = inside if inside.is_dir() else shipped("..", "..", "curricula")
    return [file.read_text(encoding="utf-8") for file in sorted(folder.glob("*.toml"))]


def shipped(*names: str) -> Path:
    """The file or folder of these names inside the program's own folder."""
    return _PROGRAM.joinpath(*names)
