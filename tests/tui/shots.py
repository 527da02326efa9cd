"""Pictures of the screens on the invented class, as SVG: `python -m tests.tui.shots FOLDER`."""

import asyncio
import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ["TEXTUAL_COLOR_SYSTEM"] = "truecolor"

from tests.tui.driving import press, running, settled

from platebook.services.demo import demo_session
from platebook.services.session import Session, session_at
from platebook.tui.bench_session import BenchSession

TO_THE_LOG = ("escape",)
"""Away from the looks of others, which `l` opens first while some of them are new."""

SHOWN = {
    "now": (),
    "attempt": ("3", "2"),
    "log": ("l", *TO_THE_LOG),
    "findings": ("f",),
    "progress": ("p",),
    "whole-plate": (
        "w",
        *"3323",
        *"2223",
        *"0010",
        "m",
        "1",
        *"1.45",
        "enter",
        *"1.52",
        "enter",
    ),
    "course": ("c",),
    "drawer": ("t",),
    "class": ("k",),
    "queue": ("k", "q"),
    "help": ("question_mark",),
}
SIZE = (100, 30)
FIRST_START = "first-start"
"""What somebody sees who has no logbook yet."""


async def take(folder: Path) -> None:
    """One picture a screen, each from a fresh start of the app."""
    with tempfile.TemporaryDirectory() as place:
        session, empty = demo_session(Path(place)), session_at(Path(place) / "empty.sqlite")
        for name, keys in SHOWN.items():
            await _take_one(folder, name, session, keys)
        await _take_one(folder, FIRST_START, empty, ())


async def _take_one(folder: Path, name: str, session: Session, keys: tuple[str, ...]) -> None:
    async with running(BenchSession(lambda: session), size=SIZE) as pilot:
        await settled(pilot)
        for key in keys:
            await press(pilot, key)
        pilot.app.save_screenshot(f"{name}.svg", path=str(folder))
    sys.stdout.write(f"{folder / name}.svg\n")


if __name__ == "__main__":
    wanted = Path(sys.argv[1])
    wanted.mkdir(parents=True, exist_ok=True)
    asyncio.run(take(wanted))
