"""A program in a terminal, and someone at the keys."""

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

PATIENCE = 60.0
LEAVE = b"\x11"
"""Ctrl+Q."""


class Typed:
    """The program by its process and its terminal."""

    def __init__(self, pid: int, file: int) -> None:
        self.pid = pid
        self.file = file

    def press(self, keys: bytes) -> None:
        """Type these keys."""
        os.write(self.file, keys)

    def until(self, text: bytes) -> None:
        """Read until the program has written this; RuntimeError where it never does."""
        written = b""
        end = time.perf_counter() + PATIENCE
        while text not in written:
            written += self.read(0.5)
            if time.perf_counter() > end:
                raise RuntimeError(f"{text!r} never came: {written[-400:]!r}")

    def read(self, seconds: float = 0.0) -> bytes:
        """What the program has written, waited for so long at the most."""
        ready, _, _ = select.select([self.file], [], [], seconds)
        return os.read(self.file, 65536) if ready else b""

    def end(self) -> None:
        """Read the program to its end."""
        while not os.waitpid(self.pid, os.WNOHANG)[0]:
            try:
                self.read(0.05)
            except OSError:
                os.waitpid(self.pid, 0)
                break
        os.close(self.file)

    def children(self) -> int:
        """How many processes the program has started that run now (Linux)."""
        threads = Path(f"/proc/{self.pid}/task").glob("*/children")
        return sum(len(file.read_text(encoding="ascii").split()) for file in threads)

    def peak_mib(self) -> float:
        """The most memory the program has held so far (Linux)."""
        status = Path(f"/proc/{self.pid}/status").read_text(encoding="ascii")
        line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 1024

    def processor_s(self) -> float:
        """Seconds of the processor that the program has used so far, the system's too (Linux).

        To the nanosecond, where /proc counts in hundredths: the number of a process's own clock is
        made of its id as clock_getcpuclockid(3) makes it.
        """
        return time.clock_gettime((~self.pid << 3) | _SCHEDULED)


_SCHEDULED = 2
"""The kind of clock that counts what the scheduler gave (CPUCLOCK_SCHED of Linux)."""


@contextmanager
def typed(
    arguments: tuple[str, ...],
    environment: Mapping[str, str],
    leave: bytes = LEAVE,
    size: tuple[int, int] = (80, 24),
) -> Iterator[Typed]:
    """Python with these arguments in a terminal of this size, left at the end by these keys."""
    pid, file = pty.fork()
    if pid == 0:
        # Whoever measures may have hurried itself, so that it sees at once what is written.
        os.nice(max(0, -os.nice(0)))
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **environment})
        os.execv(sys.executable, [sys.executable, *arguments])  # noqa: S606 - our own program
    fcntl.ioctl(file, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
    program = Typed(pid, file)
    try:
        yield program
    finally:
        program.press(leave)
        program.end()
