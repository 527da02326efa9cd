"""How long a program in a terminal takes until a text is on its screen, and how much memory."""

import fcntl
import os
import pty
import select
import struct
import sys
import termios
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

PATIENCE = 60.0
LEAVE = b"\x11"
"""Ctrl+Q."""


@dataclass(frozen=True, slots=True)
class Painted:
    """When the text was there, and the most memory the program had held by then."""

    seconds: float
    peak_mib: float


def painted(
    arguments: tuple[str, ...], text: bytes, *, keys: bytes = b"", environment: Mapping[str, str]
) -> Painted:
    """Run Python with these arguments in a terminal of 80 by 24 until it writes `text`.

    `keys` are typed at once, before anything is there to see. RuntimeError where the text never
    comes.
    """
    began = time.perf_counter()
    pid, file = pty.fork()
    if pid == 0:
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **environment})
        os.execv(sys.executable, [sys.executable, *arguments])  # noqa: S606 - our own program
    fcntl.ioctl(file, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    if keys:
        os.write(file, keys)
    written = b""
    try:
        while text not in written:
            ready, _, _ = select.select([file], [], [], 0.5)
            written += os.read(file, 65536) if ready else b""
            if time.perf_counter() - began > PATIENCE:
                raise RuntimeError(f"{text!r} never came: {written[-400:]!r}")
        seconds = time.perf_counter() - began
        return Painted(seconds, _peak_mib(pid))
    finally:
        os.write(file, LEAVE)
        _ended(pid, file)


def _ended(pid: int, file: int) -> None:
    while not os.waitpid(pid, os.WNOHANG)[0]:
        ready, _, _ = select.select([file], [], [], 0.05)
        try:
            if ready:
                os.read(file, 65536)
        except OSError:
            os.waitpid(pid, 0)
            break
    os.close(file)


def _peak_mib(pid: int) -> float:
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return int(line.split()[1]) / 1024
