"""Help: every screen explained, every word once."""

import pytest
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.fields import fields
from platebook.practice.results import DEFECTS
from platebook.tui.help_screen import ABOUT, glossary
from platebook.tui.places import PAGES


def test_every_page_is_explained() -> None:
    """And so are the attempt, the plate and who is at the bench."""
    assert set(ABOUT) >= {*PAGES, "attempt", "plate", "setters"}


def test_a_word_is_explained_once_and_by_others() -> None:
    """In the order of the alphabet, and no word by itself; all defects are named."""
    words = [word for word, _ in glossary()]
    assert words == sorted(set(words))
    meanings = dict(glossary())
    assert all(not meaning.startswith(word) for word, meaning in meanings.items())
    assert all(defect in meanings["defect"] for defect in DEFECTS)


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


async def test_help_says_what_the_screen_is_for_and_scrolls_to_the_words() -> None:
    """What it is for first, then keys, then words."""
    async with running(SessionOfAnEvening(), size=(100, 90)) as pilot:
        await press(pilot, "l", "question_mark")
        text = " ".join(picture(pilot.app).split())
        assert "Type / and words to narrow it" in text
        assert "girdle the stone's widest part, which the seat carries" in text.replace("│ │", "")
