"""An orderly end when the system asks for it, and an end in any case.

When a terminal's window is closed, what draws on it waits for ever, and with it the loop that would
hear of the signal. So a signal is heard by Python itself, which interrupts that wait, the loop is
asked to end, and a watchdog ends the process where it has not within `PATIENCE_S`. What is being
typed is on the disk by then: each answer is written as it is given, and the lock on a draft is the
system's, which lets go of it when the process is gone. Keys typed behind a save that takes longer
than that are in the draft as well (`tui.entry.keys_behind`).
"""

import contextlib
import faulthandler
import os
import signal
import sys
import threading
from asyncio import AbstractEventLoop
from collections.abc import Callable
from types import FrameType
from typing import Any

PATIENCE_S = 1.5
"""Seconds from the signal until the process is ended whatever it is doing."""

LAST_S = 0.2
"""Seconds after that when a thread that waits for no other of the program ends it."""

TERMINAL_LOOK_S = 0.5
"""Seconds between two looks whether the terminal is still there."""

LOOK_S = 0.02
"""Seconds between two looks whether a key has led where the next one is meant for."""

ASKED_TO_END = ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGALRM", "SIGUSR1", "SIGUSR2")
"""Signals that end a program; one that somebody listens to already is left to them."""


class EndOnSignals:
    """Hears the signals for one app, from `listen` until `stop`; for the main thread alone."""

    def __init__(self, loop: AbstractEventLoop, end: Callable[[int], None]) -> None:
        """`end` is called in the loop with the number of the signal."""
        self._loop = loop
        self._end = end
        self._before: dict[int, Any] = {}
        self._terminal = _attributes()
        self._server = os.getppid() if os.environ.get("TEXTUAL_DRIVER") else None
        self._watchdog: threading.Timer | None = None
        self._stopped = threading.Event()

    def listen(self) -> None:
        """Take the signals that nobody listens to, and look after the terminal."""
        for name in ASKED_TO_END:
            number = getattr(signal, name, None)
            if number is None or signal.getsignal(number) is not signal.SIG_DFL:
                continue
            with contextlib.suppress(OSError, ValueError):
                self._before[number] = signal.signal(number, self._heard)
        if self._terminal is not None or self._server is not None:
            threading.Thread(target=self._look_after, name="terminal", daemon=True).start()

    def stop(self) -> None:
        """Give the signals back; what was asked for already still ends in time."""
        self._stopped.set()
        for number, before in self._before.items():
            with contextlib.suppress(OSError, ValueError):
                signal.signal(number, before)
        self._before.clear()

    def _heard(self, number: int, _: FrameType | None) -> None:
        if self._watchdog is None:
            self._watchdog = threading.Timer(PATIENCE_S, self._give_up, (number,))
            self._watchdog.daemon = True
            self._watchdog.start()
            self._end_in_any_case()
        with contextlib.suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._end, number)

    def _end_in_any_case(self) -> None:
        """The watchdog of the fault handler runs without the interpreter, however busy that is.

        Where it comes to that the terminal stays as it was set; mostly it is gone.
        """
        nowhere = os.open(os.devnull, os.O_WRONLY)  # where it writes what nobody reads
        faulthandler.dump_traceback_later(PATIENCE_S + LAST_S, exit=True, file=nowhere)

    def _give_up(self, number: int) -> None:
        """End at once: the terminal takes no more, so only its settings are put back."""
        if self._terminal is not None:
            import termios

            with contextlib.suppress(termios.error, OSError, ValueError):
                termios.tcsetattr(0, termios.TCSANOW, self._terminal)
        os._exit(128 + number)

    def _look_after(self) -> None:
        """Ask for the end where the terminal or the server has gone and nobody said so."""
        while not self._stopped.wait(TERMINAL_LOOK_S):
            if _attributes() is None if self._server is None else os.getppid() != self._server:
                # A signal raised here would not interrupt the main thread's wait.
                self._heard(signal.SIGHUP, None)
                return


def _attributes() -> list[Any] | None:
    """How the terminal on the standard input is set; None where there is none any more."""
    try:
        import termios

        return termios.tcgetattr(sys.__stdin__.fileno()) if sys.__stdin__ else None
    except (ImportError, OSError, ValueError):
        return None
    except termios.error:
        return None
