"""Help: every screen explained, every word once."""

import pytest
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.fields import fields
from platebook.tui.help_screen import ABOUT
from platebook.tui.places import PAGES


def test_every_page_is_explained() -> None:
    """And so are the attempt, the plate and who is at the bench."""
    assert set(ABOUT) >= {*PAGES, "attempt", "plate", "setters"}


def test_every_field_that_a_person_fills_in_at_the_bench_is_explained() -> None:
    """Readings, the look, and every length: by a sentence of its own."""
    filled_in = [field for field in fields().values() if field.asked != "automatic"]
    at_bench = [f for f in filled_in if f.group in {"reading", "look"} or f.type == "length"]
    assert [field.name for field in at_bench if not field.help] == []


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        (("enter",), "Here: fit Set the stone on its seat by itself"),
        (("enter", "3"), "Here: trial height Lay the trial stone in"),
        (("enter", "3"), "2 flush wanted"),
        (("enter", *"321"), "Here: result Clean and dry"),
        (("enter", *"3214"), "2 clear: 3-6 degrees, seen unaided"),
        (("w", "right"), "Here: trial height Lay the trial stone in"),
        (("w", "m", "2"), "Here: seat depth From the sheet's surface down to the ledge"),
        (
            ("w", "m", "1"),
            "Typed in mm, with a point or a comma. Wanted here: 1.92",
        ),
        ((), "Here: fit Set the stone on its seat by itself"),
    ],
)
async def test_help_explains_the_field_in_focus(keys: tuple[str, ...], told: str) -> None:
    """What is read, in which unit, what is wanted; on the attempt, the plate, and Now."""
    async with running(SessionOfAnEvening(), size=(100, 90)) as pilot:
        await press(pilot, *keys, "question_mark")
        text = " ".join(picture(pilot.app).replace("│", " ").split())
        assert told in text
        await press(pilot, "escape")


async def test_help_says_what_the_screen_is_for_and_which_keys_work_here() -> None:
    """What it is for first, then keys; the words of the trade have a key of their own."""
    async with running(SessionOfAnEvening(), size=(100, 90)) as pilot:
        await press(pilot, "l", "question_mark")
        text = " ".join(picture(pilot.app).replace("│", " ").split())
        assert "Type / and words to narrow it" in text
        assert "l, F3 Go to the Log" in text
        assert "F12, Ctrl+G What a word means" in text


async def test_help_offers_only_keys_that_work_in_an_attempt() -> None:
    """F-keys lead to the pages; letters are answers or nothing there."""
    async with running(SessionOfAnEvening(), size=(100, 90)) as pilot:
        await press(pilot, "enter", "question_mark")
        text = " ".join(picture(pilot.app).replace("│", " ").split())
        assert "F3 Go to the Log" in text
        assert "l, F3" not in text
        assert "Exchange logbooks" not in text


@pytest.mark.parametrize("keys", [("question_mark",), ("enter", "question_mark")])
async def test_all_of_help_is_seen_at_once_in_a_wide_window(keys: tuple[str, ...]) -> None:
    """In two columns; in the usual window it stands in one, and is scrolled."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, *keys)
        wide = picture(pilot.app)
        await pilot.resize_terminal(80, 24)
        await press(pilot, "home")
        usual = picture(pilot.app)
    assert ("Here: fit" in wide, "Everywhere" in wide) == (True, True)
    assert ("Here: fit" in usual, "Everywhere" in usual) == (True, False)
    assert ("Esc close  ↑↓ scroll" in wide, "Esc close  ↑↓ scroll" in usual) == (True, True)
