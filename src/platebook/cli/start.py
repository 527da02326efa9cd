"""What runs first: the app at once where no word was typed, else the command that was.

What reads words is not loaded for the app, which is opened every evening.
"""

import io
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platebook.services.session import Session

NAME = "platebook"
COMPLETING = "_PLATEBOOK_COMPLETE"
"""The variable by which a shell asks what completes a word; no word stands behind the name then."""

STOPPED = 130
"""The exit code where Ctrl+C ended it: 128 and the number of the signal, as shells have it."""

SAYS_STOPPED = "\nStopped."
"""Said then, below the line that Ctrl+C was typed in; of long work more is known (`long_work`)."""

# The matrices here are small: threads inside the linear algebra cost four times the work, and they
# take the other core from whoever types. It has to be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# No plugin of another program checks what this one records, and to find that there is none the
# lists of everything that is installed are read. It has to be said before pydantic is loaded.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def start() -> None:
    """`platebook`, as the system and `python -m platebook` begin it.

    Ctrl+C is a signal until the app has taken the keys; nothing was typed before that.
    """
    try:
        if sys.argv[1:] or COMPLETING in os.environ or terminal_missing():
            from platebook.cli.main import main

            main(prog_name=NAME)
        else:
            prepare()
            sys.exit(open_at(None))
    except KeyboardInterrupt:
        sys.stderr.write(f"{SAYS_STOPPED}\n")
        sys.exit(STOPPED)


def prepare() -> None:
    """Set the process up for whatever it is to do: streams, letters, who reads its files."""
    _open_closed_streams()
    _take_any_letter(os.environ)
    # Exports, drafts, answers and reports hold names and notes: nobody else on this machine reads
    # them unless their owner lets them.
    os.umask(0o077)


def open_at(logbook: str | None) -> int:
    """Open the app at this logbook, the usual one for None; its exit code."""
    from platebook.logbook.file.place import logbook_path

    def session() -> "Session":
        from platebook.services.session import session_at

        return session_at(logbook)

    return run_in_terminal(session, logbook_path(logbook))


def run_in_terminal(session_factory: "Callable[[], Session]", logbook: Path) -> int:
    """Run the app in the session this makes, in a terminal that can show it; its exit code."""
    from platebook.tui.running.garbage import look_seldom_while_starting

    look_seldom_while_starting()
    from platebook.tui.app import run_app

    return run_app(session_factory, logbook)


def terminal_missing() -> str:
    """What stands in for a terminal here; empty where there is a real one, or a browser's."""
    if os.environ.get("TEXTUAL_DRIVER"):
        return ""
    if os.environ.get("TERM", "") == "dumb":
        return "a dumb terminal (TERM=dumb)"
    if sys.stdin is None or sys.stdout is None:
        return "a stream that was closed"
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return "a pipe or a file"
    return ""


def _open_closed_streams() -> None:
    """Give a program that was started without stdin, stdout or stderr an empty one in its place."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: PTH123, SIM115 - open until the end


def _take_any_letter(environ: Mapping[str, str]) -> None:
    """Let names of any alphabet be written, whatever code page the system would take for a file.

    What is read as an answer or a code may be anything too: what is no letter is read as U+FFFD,
    and refused in words where it is asked for.
    """
    if isinstance(sys.stdin, io.TextIOWrapper):
        as_it_is = sys.stdin.isatty() or environ.get("PYTHONIOENCODING")
        sys.stdin.reconfigure(encoding=None if as_it_is else "utf-8", errors="replace")
    for stream in (sys.stdout, sys.stderr):
        if not isinstance(stream, io.TextIOWrapper) or stream.encoding.lower() == "utf-8":
            continue
        if stream.isatty() or environ.get("PYTHONIOENCODING"):
            stream.reconfigure(errors="backslashreplace")
        else:
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
