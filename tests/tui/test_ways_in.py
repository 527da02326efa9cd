"""The ways in: pages from an attempt, words, settings, and keys that mean nothing."""

from pathlib import Path

import pytest
from tests.services.bench import ADA
from tests.services.school import desk_of
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.pilot import Pilot

from platebook.services.backups import whereabouts
from platebook.tui.app import BenchApp
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import command_for, commands_for, everywhere_at
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.glossary_screen import GlossaryScreen
from platebook.tui.log.screen import LogScreen
from platebook.tui.now.screen import NowScreen
from platebook.tui.parts.text import MARK
from platebook.tui.places import ASIDE, EVERYWHERE, PAGES, PLACES
from platebook.tui.plate.screen import PlateScreen


def text_of(pilot: Pilot[None]) -> str:
    """What is on the screen, on one line."""
    return " ".join(picture(pilot.app).replace("│", " ").split())


def now_of(pilot: Pilot[None]) -> NowScreen:
    """The first screen, which knows of the draft."""
    assert isinstance(pilot.app, BenchApp)
    return pilot.app.now


async def test_an_f_key_sets_an_attempt_aside_for_a_page() -> None:
    """What was answered waits on Now, and Enter goes on with it."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "3", "f3")
        assert on(pilot, LogScreen)
        await press(pilot, "f2")
        assert "left unfinished" in text_of(pilot)
        await press(pilot, "enter")
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        assert screen.entry.value("fit") == "enters tilted and snaps"


async def test_an_attempt_without_an_answer_leaves_nothing_behind() -> None:
    """Nor does one that is saved."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "f3")
        assert (on(pilot, LogScreen), now_of(pilot).draft) == (True, None)


async def test_what_is_typed_behind_an_f_key_answers_nothing() -> None:
    """It is meant for the page, however fast it comes."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter")
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        await press(pilot, "f3", "2", "1")
        assert screen.entry.value("fit") == ""


async def test_a_plate_is_set_aside_as_well() -> None:
    """Its cells wait on Now."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "3", "f4")
        assert (on(pilot, PlateScreen), now_of(pilot).draft is not None) == (False, True)


@pytest.mark.parametrize(
    ("keys", "word"),
    [
        (("enter",), "fit"),
        (("enter", "3"), "trial height"),
        (("enter", *"321"), "defect"),
        (("enter", *"3214"), "tilted"),
        (("w", "right"), "trial height"),
        (("w", *["right"] * 3, "1", "up", "right"), "loose"),
        (("l",), "after cleanup"),
    ],
)
async def test_the_glossary_opens_at_what_is_asked(keys: tuple[str, ...], word: str) -> None:
    """And closes where it was opened, with nothing changed."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, *keys)
        before = picture(pilot.app)
        await press(pilot, "f12")
        assert on(pilot, GlossaryScreen)
        assert f"{MARK} {word} " in text_of(pilot)
        await press(pilot, "f12")
        assert picture(pilot.app) == before


async def test_typing_finds_a_word_with_its_drawing() -> None:
    """Letters find, also those that are keys elsewhere; Backspace gives more again."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l", "ctrl+g", *"proud")
        assert f"{MARK} proud" in text_of(pilot)
        assert any("\u2801" <= sign <= "\u28ff" for sign in picture(pilot.app))
        await press(pilot, *"xyz")
        assert "No word like this" in text_of(pilot)
        await press(pilot, *["backspace"] * 3)
        assert f"{MARK} proud" in text_of(pilot)


async def test_answers_stand_in_the_order_in_which_they_are_asked() -> None:
    """The field first."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "f12")
        screen = pilot.app.screen
        assert isinstance(screen, GlossaryScreen)
        assert [term.word for term in screen.terms] == [
            "fit",
            "will not enter",
            "enters with a firm push",
            "enters tilted and snaps",
            "drops in",
            "drops in and moves",
        ]


async def test_settings_are_changed_where_they_stand() -> None:
    """And say what they are now."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "O")
        assert "Colours dark" in text_of(pilot)
        await press(pilot, "enter", "down", "enter", "down", "enter")
        assert isinstance(pilot.app, BenchApp)
        kept = pilot.app.settings.now
        assert (kept.colours, kept.rest, kept.method) == ("daylight", False, True)
        assert "Colours daylight" in text_of(pilot)
        await press(pilot, "escape")
        assert on(pilot, NowScreen)


async def test_a_key_that_means_nothing_is_told() -> None:
    """Once, for a while; keys that mean something say nothing."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "l", "down", "y")
        assert "y does nothing here. F1 says" in text_of(pilot)
        await press(pilot, "n")
        assert "does nothing" not in text_of(pilot)


@pytest.mark.parametrize("keys", [("enter", *"3210"), ("enter", *"3210", "enter")])
async def test_a_key_that_means_nothing_in_an_attempt_is_told(keys: tuple[str, ...]) -> None:
    """At its finish and after saving too, where no reading is asked."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, *keys, "z")
        assert "z does nothing here." in text_of(pilot)


async def test_no_letter_is_offered_while_something_is_typed() -> None:
    """It would be typed; Esc and the F-keys still work, and help has its F-key."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l", "slash", "c")
        assert picture(pilot.app).rstrip().splitlines()[-1].startswith(" Esc show all  F2 Now")
        assert " F1 help " in text_of(pilot)
        await press(pilot, "escape")
        assert " e everyone " in text_of(pilot)


@pytest.mark.parametrize("place", [place for place in PLACES if place != EVERYWHERE])
def test_no_key_means_two_things_on_one_screen(place: str) -> None:
    """Of those that are offered there, its own and everywhere's together."""
    keys = [key for c in (*commands_for(place), *everywhere_at(place)) for key in c.keys]
    assert sorted(keys) == sorted(set(keys))


@pytest.mark.parametrize("place", ["attempt", "saved", "plate"])
def test_letters_of_everywhere_are_not_offered_where_letters_answer(place: str) -> None:
    """The F-keys are, and they are no answer."""
    offered = {key for command in everywhere_at(place) for key in command.keys}
    assert {"f2", "f8", "f12"} <= offered
    assert {key for key in offered if len(key) == 1} == set()
    assert [key for key in offered if command_for(place, key) is not None] == []


def test_what_is_set_aside_lies_over_pages() -> None:
    """Pages themselves are not."""
    assert (set(ASIDE) & set(PAGES), set(ASIDE) <= set(PLACES)) == (set(), True)


async def test_the_logbook_is_copied_when_somebody_asks(tmp_path: Path) -> None:
    """By its key on a page, and found in the list of commands as what people call it."""
    ada = desk_of(tmp_path, "ada", ADA)
    async with running(BenchSession(lambda: ada)) as pilot:
        await press(pilot, "B")
        await until(pilot, lambda: "The logbook is copied to" in picture(pilot.app))
        found = [command.title for command in pilot.app.get_system_commands(pilot.app.screen)]
    assert [title for title in found if "Backup" in title] == ["Backup: copy the logbook (B)"]
    assert len(whereabouts(ada).copies) == 1
