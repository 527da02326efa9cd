"""How long after a key the terminal shows it: in the app while it works, and in a bare input."""

import fcntl
import os
import pty
import select
import struct
import sys
import termios
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from textual.app import App, ComposeResult
from textual.widgets import Input

PATIENCE = 60.0
KEYS = "αβγδεζηθικλμνξοπρστυφχψωбвгджзийклмнптуфцчшщъыьэюя"
"""Letters that stand nowhere else on a screen, each typed once, so that an echo is nothing else."""
READY = b"type-here"


class Bare(App[None]):
    """One input and nothing else, which echoes are compared with."""

    def compose(self) -> ComposeResult:
        """The input."""
        yield Input(placeholder=READY.decode())


class Typed:
    """A program in a terminal of 80 by 24, and someone at the keys."""

    def __init__(self, pid: int, file: int) -> None:
        self.pid = pid
        self._file = file

    def press(self, keys: bytes) -> None:
        """Type these keys."""
        os.write(self._file, keys)

    def until(self, text: bytes) -> None:
        """Read until the program has written this; RuntimeError where it never does."""
        written = b""
        end = time.perf_counter() + PATIENCE
        while text not in written:
            written += self._read(0.5)
            if time.perf_counter() > end:
                raise RuntimeError(f"{text!r} never came: {written[-400:]!r}")

    def echoes(self) -> list[float]:
        """Seconds until each of the letters, typed one after the other, was written back."""
        found = []
        for letter in KEYS:
            self._quiet()
            key = letter.encode()
            began = time.perf_counter()
            self.press(key)
            while key not in self._read(PATIENCE):
                pass
            found.append(time.perf_counter() - began)
        return found

    def children(self) -> int:
        """How many processes the program has started that run now (Linux)."""
        threads = Path(f"/proc/{self.pid}/task").glob("*/children")
        return sum(len(file.read_text(encoding="ascii").split()) for file in threads)

    def _quiet(self) -> None:
        # What a bar draws meanwhile is not taken for the echo of the next key.
        while self._read(0.0):
            pass

    def _read(self, seconds: float) -> bytes:
        ready, _, _ = select.select([self._file], [], [], seconds)
        return os.read(self._file, 65536) if ready else b""


@contextmanager
def typed(arguments: tuple[str, ...], environment: Mapping[str, str]) -> Iterator[Typed]:
    """Python with these arguments in a terminal, ended at the end."""
    pid, file = pty.fork()
    if pid == 0:
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **environment})
        os.execv(sys.executable, [sys.executable, *arguments])  # noqa: S606 - our own program
    fcntl.ioctl(file, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    try:
        yield Typed(pid, file)
    finally:
        os.kill(pid, 15)
        ended(pid, file)


def ended(pid: int, file: int) -> None:
    """Read the program to its end."""
    while not os.waitpid(pid, os.WNOHANG)[0]:
        ready, _, _ = select.select([file], [], [], 0.05)
        try:
            if ready:
                os.read(file, 65536)
        except OSError:
            os.waitpid(pid, 0)
            break
    os.close(file)


if __name__ == "__main__":
    Bare().run()
