"""How long a program in a terminal takes until a text is on its screen, and what it costs."""

import compileall
import shutil
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import platebook
from bench.terminal import typed


@dataclass(frozen=True, slots=True)
class Painted:
    """When the text was there, and what the program had used of memory and processor by then."""

    seconds: float
    peak_mib: float
    processor_s: float


def compiled() -> None:
    """Compile the program, as it lies there installed: else a start would compile it each time."""
    compileall.compile_dir(Path(platebook.__file__).parent, quiet=2)


def clear_beside(book: Path, *, kept: bool = False) -> None:
    """Throw away the answers kept beside a logbook, unless they are to be `kept`, and its copies.

    A program that was stopped in the middle leaves the copy of the day half made, and the next one
    would clear that away while it is timed.
    """
    if not kept:
        shutil.rmtree(f"{book}-answers", ignore_errors=True)
    shutil.rmtree(f"{book}-copies", ignore_errors=True)


def painted(
    arguments: tuple[str, ...], text: bytes, *, keys: bytes = b"", environment: Mapping[str, str]
) -> Painted:
    """Run Python with these arguments in a terminal of 80 by 24 until it writes `text`.

    `keys` are typed at once, before anything is there to see. RuntimeError where the text never
    comes.
    """
    began = time.perf_counter()
    with typed(arguments, environment) as program:
        if keys:
            program.press(keys)
        program.until(text)
        seconds = time.perf_counter() - began
        return Painted(seconds, program.peak_mib(), program.processor_s())
