"""DEVELOPERS.md names only what is there, so that a newcomer who follows it arrives."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "DEVELOPERS.md"
ROOTS = (ROOT, ROOT / "src" / "platebook")
PLACE = re.compile(r"`([\w.*-]+(?:/[\w.*-]*)+)`")
MADE_LATER = "00NN"


def is_there(place: str) -> bool:
    """Whether the project or its package holds a file or folder of this name or pattern."""
    return any(any(root.glob(place.rstrip("/"))) for root in ROOTS)


def test_every_file_and_folder_named_is_there() -> None:
    """Paths in the recipes and in the reading order; what a recipe makes is left out."""
    named = {place for place in PLACE.findall(PAGE.read_text("utf-8")) if MADE_LATER not in place}
    assert len(named) > 40
    assert {place for place in named if not is_there(place)} == set()


def test_every_folder_of_the_package_is_told_of() -> None:
    """A folder that holds modules has its line, by its own name."""
    text = PAGE.read_text(encoding="utf-8")
    package = ROOT / "src" / "platebook"
    rooms = {file for file in package.rglob("*.py") if file.name != "__init__.py"}
    folders = {room.parent.relative_to(package).as_posix() for room in rooms} - {"."}
    assert {folder for folder in folders if f"`{folder}/`" not in text} == set()
