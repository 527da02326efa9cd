"""A pseudo-terminal with a screen that can be read, for what a pilot cannot show."""

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path

import pyte
from tests.patience import PATIENCE

ROOT = Path(__file__).parents[2]
ENDING = (signal.SIGHUP, signal.SIGINT, signal.SIGQUIT, signal.SIGTERM)


class Terminal:
    """One program in a pseudo-terminal of 80 by 24."""

    def __init__(self, *command: str, **environment: str) -> None:
        self.screen = pyte.Screen(80, 24)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self.pid, self._file = pty.fork()
        if self.pid == 0:
            for number in ENDING:  # tests that run in the background ignore some, and hand that on
                signal.signal(number, signal.SIG_DFL)
            os.chdir(ROOT)
            os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **environment})
            os.execv(sys.executable, [sys.executable, *command])  # noqa: S606 - the tests' own
        size = struct.pack("HHHH", 24, 80, 0, 0)
        fcntl.ioctl(self._file, termios.TIOCSWINSZ, size)

    def read(self, seconds: float = 0.05) -> bool:
        """Take in what the program writes within this time; False where it has ended."""
        ready, _, _ = select.select([self._file], [], [], seconds)
        if not ready:
            return True
        try:
            data = os.read(self._file, 65536)
        except OSError:
            return False
        self.raw += data
        self._stream.feed(data)
        return bool(data)

    def wait_for(self, so: Callable[[str], bool]) -> None:
        """Read until the screen's text is so."""
        end = time.monotonic() + PATIENCE
        while not so(self.text()):
            alive = self.read()
            if time.monotonic() > end or not alive:
                raise AssertionError(f"never so; on the screen:\n{self.text()}")

    def settle(self, quiet_s: float = 0.3) -> None:
        """Read until nothing was drawn for so long: whoever types by eye waits for the picture."""
        while select.select([self._file], [], [], quiet_s)[0] and self.read():
            pass

    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(row.rstrip() for row in self.screen.display)

    def type(self, text: str) -> None:
        """All these keys at once."""
        os.write(self._file, text.encode())

    def kill(self, number: signal.Signals) -> int:
        """Send a signal and give the exit code; 128 plus the number where it died of it."""
        os.kill(self.pid, number)
        return self.ended()

    def close(self) -> None:
        """Close the window, as a person does with whatever runs in it."""
        os.close(self._file)

    def exit_code(self) -> int:
        """How a program ended whose window was closed; 128 plus the number of a signal."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                code = os.waitstatus_to_exitcode(status)
                return code if code >= 0 else 128 - code
            time.sleep(0.02)
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        raise AssertionError("never ended after its window was closed")

    def ended(self) -> int:
        """Read to the end of the program, and give its exit code."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            self.read(0.02)
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                while self.read(0.02) and select.select([self._file], [], [], 0)[0]:
                    pass
                os.close(self._file)
                code = os.waitstatus_to_exitcode(status)
                return code if code >= 0 else 128 - code
        os.kill(self.pid, signal.SIGKILL)
        raise AssertionError(f"never ended; on the screen:\n{self.text()}")
