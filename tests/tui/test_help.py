"""Help: every screen explained, every word once."""

from tests.tui.driving import press, running
from tests.tui.fakes import ServicesOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.look import DEFECTS
from platebook.tui.commands import PAGES
from platebook.tui.help_words import ABOUT, glossary


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


async def test_help_says_what_the_screen_is_for_and_scrolls_to_the_words() -> None:
    """What it is for first, then keys, then words."""
    async with running(ServicesOfAnEvening(), size=(100, 90)) as pilot:
        await press(pilot, "l", "question_mark")
        text = " ".join(picture(pilot.app).split())
        assert "Type / and words to narrow it" in text
        assert "girdle the stone's widest part, which the seat carries" in text.replace("│ │", "")
