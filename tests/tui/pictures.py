"""Plain-text pictures of screens, written when PLATEBOOK_PICTURES=write and compared otherwise."""

import os
from pathlib import Path
from typing import Any

from textual.app import App

FOLDER = Path(__file__).with_name("pictures")
SIZES = ((80, 24), (120, 40))


def picture(app: App[Any]) -> str:
    """What stands on the screen, line by line, without trailing blanks."""
    strips = app.screen._compositor.render_strips()
    lines = ("".join(segment.text for segment in strip).rstrip() for strip in strips)
    return "\n".join(lines) + "\n"


def assert_same_picture(app: App[Any], name: str) -> None:
    """The screen looks as it did when its picture was last written and looked at."""
    width, height = app.size
    path = FOLDER / f"{name}-{width}x{height}.txt"
    seen = picture(app)
    if os.environ.get("PLATEBOOK_PICTURES") == "write":
        FOLDER.mkdir(exist_ok=True)
        path.write_text(seen, encoding="utf-8")
    assert path.is_file(), f"no picture yet: {path.name}"
    assert path.read_text(encoding="utf-8") == seen
