"""The one command table: every key does something, once, and the page of keys says the same."""

import itertools
import os
from pathlib import Path

import pytest

from platebook.practice.results import RESULT_KEYS
from platebook.tui.app import BenchApp
from platebook.tui.base_screen import BenchScreen
from platebook.tui.classroom.new_class_screen import NewClassScreen
from platebook.tui.classroom.pick_class_screen import PickClassScreen
from platebook.tui.classroom.plate_looks_screen import PlateLooksScreen
from platebook.tui.classroom.register_screen import RegisterScreen
from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.classroom.second_look_screen import SecondLookScreen
from platebook.tui.classroom.shared_screen import SharedScreen
from platebook.tui.commands import COMMANDS, commands_for
from platebook.tui.drawer_screen import DrawerScreen
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.findings.screen import FindingsScreen
from platebook.tui.glossary_screen import GlossaryScreen
from platebook.tui.grades.course_screen import CourseScreen
from platebook.tui.grades.progress_screen import ProgressScreen
from platebook.tui.help_screen import HelpScreen
from platebook.tui.log.history_screen import HistoryScreen
from platebook.tui.log.screen import LogScreen
from platebook.tui.now.screen import NowScreen
from platebook.tui.people.first_start_screen import FirstRunScreen
from platebook.tui.people.people_screen import SettersScreen
from platebook.tui.places import AT_ONCE, EVERYWHERE, PAGES, PLACES
from platebook.tui.running.trouble import TroubleScreen
from platebook.tui.seeing_screen import SeeingScreen
from platebook.tui.settings_screen import SettingsScreen
from platebook.tui.sharing.share_screen import ShareScreen
from platebook.tui.sharing.sheet_screen import SheetScreen

DOCS = Path(__file__).parents[2] / "docs" / "keys.md"
SCREENS: dict[str, type] = {
    "now": NowScreen,
    "log": LogScreen,
    "findings": FindingsScreen,
    "progress": ProgressScreen,
    "course": CourseScreen,
    "drawer": DrawerScreen,
    "class": ClassScreen,
    "setters": SettersScreen,
    "pick class": PickClassScreen,
    "new class": NewClassScreen,
    "seeing": SeeingScreen,
    "plate looks": PlateLooksScreen,
    "second look": SecondLookScreen,
    "shared": SharedScreen,
    "register": RegisterScreen,
    "first run": FirstRunScreen,
    "share": ShareScreen,
    "sheet": SheetScreen,
    "history": HistoryScreen,
    "trouble": TroubleScreen,
    "help": HelpScreen,
    "glossary": GlossaryScreen,
    "settings": SettingsScreen,
}
TAKES_ITS_KEYS_ITSELF = {"attempt", "saved", "plate"}


def keys_page() -> str:
    """Every place with its keys, as docs/keys.md has them."""
    parts = [
        "# Keys",
        "",
        "Made from the one table of commands (`src/platebook/tui/keys/`).",
        "Of the keys that work everywhere letters do so on the pages, where nothing is typed. From",
        "an attempt or a plate F2 to F8 lead to a page, and what is not saved waits on Now. In a",
        "window help, words, colours, rest, the search for commands and the way out work.",
    ]
    for place, title in PLACES.items():
        parts += ["", f"## {title}", "", "| key | does | in words |", "|---|---|---|"]
        parts += [f"| {c.key_text} | {c.label} | {c.says} |" for c in commands_for(place)]
    return "\n".join(parts) + "\n"


def test_the_page_of_keys_is_the_table() -> None:
    """docs/keys.md; write it anew with PLATEBOOK_PICTURES=write when the table changes."""
    page = keys_page()
    if os.environ.get("PLATEBOOK_PICTURES") == "write":
        DOCS.write_text(page, encoding="utf-8")
    assert DOCS.read_text(encoding="utf-8") == page


def test_every_place_has_a_screen() -> None:
    """The table names no place that does not exist."""
    assert set(PLACES) == {EVERYWHERE, *SCREENS, *TAKES_ITS_KEYS_ITSELF}


@pytest.mark.parametrize("place", PLACES)
def test_a_key_does_one_thing_on_a_screen(place: str) -> None:
    """No key stands twice, and a screen's own keys leave those of everywhere alone."""
    keys = list(itertools.chain.from_iterable(c.keys for c in commands_for(place)))
    assert len(keys) == len(set(keys))
    if place in PAGES:
        everywhere = itertools.chain.from_iterable(c.keys for c in commands_for(EVERYWHERE))
        assert set(keys).isdisjoint(everywhere)


@pytest.mark.parametrize("place", ["attempt", "plate", "class", "second look", EVERYWHERE])
def test_a_letter_that_keys_a_defect_does_nothing_else(place: str) -> None:
    """Where results are keyed, no command has a letter of the table of defects."""
    commands = (c for c in commands_for(place) if c.action != "answer")
    taken = set(itertools.chain.from_iterable(c.keys for c in commands))
    assert taken & {key for key in RESULT_KEYS if not key.isdigit()} == set()


@pytest.mark.parametrize("place", SCREENS)
def test_every_command_has_its_action(place: str) -> None:
    """What the table names can be done."""
    for command in commands_for(place):
        name = command.action.partition("(")[0]
        assert callable(getattr(SCREENS[place], f"action_{name}"))


def test_every_command_of_everywhere_has_its_action() -> None:
    """The app's own commands can be done."""
    for command in commands_for(EVERYWHERE):
        name = command.action.removeprefix("app.").partition("(")[0]
        assert callable(getattr(BenchApp, f"action_{name}"))


def test_bindings_come_from_the_table() -> None:
    """Each key of the table is bound on its screen, and no other key."""
    for place, screen in SCREENS.items():
        bound = {binding.key for binding in screen.__dict__["BINDINGS"]}
        commands = commands_for(place) + (commands_for(EVERYWHERE) if place in AT_ONCE else ())
        assert bound == set(itertools.chain.from_iterable(c.keys for c in commands))
    bound = {binding.key for binding in BenchApp.__dict__["BINDINGS"]}
    assert bound == set(itertools.chain.from_iterable(c.keys for c in commands_for(EVERYWHERE)))


def test_screens_know_their_place() -> None:
    """A screen and its row in the table go together."""
    for place, screen in SCREENS.items():
        if issubclass(screen, BenchScreen):
            assert place == screen.PLACE
    assert AttemptScreen.PLACE == "attempt"


def test_labels_are_short() -> None:
    """A label fits the key line, a sentence the help window."""
    for command in COMMANDS:
        assert len(command.label) <= 14
        assert command.says.endswith(".")
