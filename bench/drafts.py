"""How soon after a key the draft file holds it, in the real program in a terminal."""

import contextlib
import fcntl
import os
import pty
import select
import statistics
import struct
import sys
import termios
import time
from collections.abc import Iterator, Mapping
from pathlib import Path

from bench.paint import LEAVE, PATIENCE

PROGRAM = ("-m", "platebook")
WHOLE_PLATE = b"w"
DIGITS = b"3" * 30
REST_S = 0.05
"""Between two keys, so that each is measured by itself, as from a fast hand."""


def delays(book: Path) -> list[float]:
    """Seconds from each digit typed into a whole plate until the draft on the disk is another."""
    folder = book.with_name(f"{book.name}-drafts")
    home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}
    found = []
    with _opened(home) as file:
        _read_until(file, b"good one")
        os.write(file, WHOLE_PLATE)
        _read_until(file, b"judged on plate")
        for digit in DIGITS:
            time.sleep(REST_S)
            _drain(file)
            before = _state(folder)
            began = time.perf_counter()
            os.write(file, bytes([digit]))
            while _state(folder) == before:
                if time.perf_counter() - began > PATIENCE:
                    raise RuntimeError("the draft was never written")
                _drain(file)
            found.append(time.perf_counter() - began)
    for draft in folder.glob("*"):
        draft.unlink()
    return found


def bare_replaces(folder: Path, size: int, runs: int) -> list[float]:
    """Seconds that a file of this size takes to be written beside itself and put in place."""
    found = []
    for _ in range(runs):
        began = time.perf_counter()
        partial = folder / "bare.part"
        partial.write_bytes(b"x" * size)
        partial.replace(folder / "bare")
        found.append(time.perf_counter() - began)
    (folder / "bare").unlink()
    return found


def middle_and_worst(seconds: list[float]) -> tuple[float, float]:
    """The median and the 95th of a hundred."""
    return statistics.median(seconds), statistics.quantiles(seconds, n=20)[-1]


@contextlib.contextmanager
def _opened(environment: Mapping[str, str]) -> Iterator[int]:
    pid, file = pty.fork()
    if pid == 0:
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **environment})
        os.execv(sys.executable, [sys.executable, *PROGRAM])  # noqa: S606 - our own program
    fcntl.ioctl(file, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    try:
        yield file
    finally:
        os.write(file, LEAVE)
        while not os.waitpid(pid, os.WNOHANG)[0]:
            with contextlib.suppress(OSError):
                _drain(file)
        os.close(file)


def _read_until(file: int, text: bytes) -> None:
    written, end = b"", time.monotonic() + PATIENCE
    while text not in written:
        written += _drain(file, 0.5)
        if time.monotonic() > end:
            raise RuntimeError(f"{text!r} never came: {written[-400:]!r}")


def _drain(file: int, seconds: float = 0.0) -> bytes:
    ready, _, _ = select.select([file], [], [], seconds)
    return os.read(file, 65536) if ready else b""


def _state(folder: Path) -> tuple[tuple[str, int, int], ...]:
    try:
        drafts = [(path.name, path.stat()) for path in folder.glob("*.draft.json")]
    except OSError:
        return ()
    return tuple((name, seen.st_ino, seen.st_mtime_ns) for name, seen in drafts)
