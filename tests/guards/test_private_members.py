"""The private members of the screens' library that are used stand in DEVELOPERS.md, and are there.

A method or attribute of ours that takes the name of one of theirs by accident is found as well: it
would stand in for it without anybody having meant it.
"""

import functools
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path

from textual.app import App
from textual.message_pump import MessagePump
from textual_serve.app_service import AppService
from textual_serve.server import Server

import platebook.serving
import platebook.tui

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
THEIRS = ("textual", "textual_serve")
_USED = re.compile(r"\b(?:self|super\(\))\.(_[a-z]\w*)|\bdef (_[a-z]\w*)")
_SET = re.compile(r"\bself\.(_[a-z]\w*)\b[^=\n(]*=[^=]")


def listed() -> set[str]:
    """The first column of the table."""
    return set(re.findall(r"^\| `(_[a-z_]+)` \|", PAGE.read_text(encoding="utf-8"), re.MULTILINE))


def ours() -> Iterator[type]:
    """Our classes that are one of the library's."""
    for package in (platebook.tui, platebook.serving):
        for room in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            for _, kind in inspect.getmembers(importlib.import_module(room.name), inspect.isclass):
                if kind.__module__ == room.name and issubclass(
                    kind, MessagePump | Server | AppService
                ):
                    yield kind


@functools.cache
def of_base(base: type) -> frozenset[str]:
    """The private members of one of the library's classes: its methods, and what they set."""
    methods = {name for name in vars(base) if re.match(r"_[a-z]", name)}
    return frozenset(methods.union(_SET.findall(inspect.getsource(base))))


def used() -> set[str]:
    """Of those, what our classes name."""
    names = set()
    for kind in ours():
        bases = (base for base in kind.__mro__ if base.__module__.partition(".")[0] in THEIRS)
        named = {name for pair in _USED.findall(inspect.getsource(kind)) for name in pair}
        names |= named & frozenset().union(*map(of_base, bases))
    return names


def test_what_is_used_of_the_librarys_own_is_listed_and_nothing_else() -> None:
    """Each with where, what for, and the test that will notice its change."""
    assert listed() == used()


def test_the_tests_that_will_notice_are_there() -> None:
    """No file in the table that is gone."""
    text = PAGE.read_text(encoding="utf-8")
    table = text[text.index("| member | where |") :].partition("\n\n")[0]
    files = re.findall(r"`((?:tests/|tui/|serving/)[\w/]+\.py)`", table)
    root, package = PAGE.parent, PAGE.parent / "src" / "platebook"
    missing = [f for f in files if not (root / f).exists() and not (package / f).exists()]
    assert (missing, len(files) >= len(listed())) == ([], True)


def test_the_app_is_ended_by_members_that_it_has() -> None:
    """What a fault does is written against these, kind by kind."""
    app: App[None] = App()
    assert callable(app._handle_exception)
    assert callable(app._close_messages_no_wait)
    assert (app._exception, app._return_code, app._exit_renderables) == (None, None, [])
    assert app._exception_event.is_set() is False
