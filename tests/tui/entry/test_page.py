"""The page of an attempt: what stands on it in windows of each width."""

import pytest
from tests.tui.bench import PIN, SET_UP, a_view
from tests.tui.driving import press, running
from tests.tui.entries import started, typed
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.app import App, ComposeResult
from textual.widgets import Digits

from platebook.services.attempts.form import SetUpDiffers
from platebook.tui.entry.page import LOOKING, AttemptPage
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.parts.theme import THEMES

WIDE = (110, 30)
"""Room for every line in full."""


class OnePageApp(App[None]):
    """A single page in the colours of the bench."""

    def __init__(self) -> None:
        super().__init__()
        self.register_theme(THEMES[0])
        self.theme = THEMES[0].name

    def compose(self) -> ComposeResult:
        """The page."""
        yield AttemptPage()

    @property
    def page(self) -> AttemptPage:
        """The page."""
        return self.query_one(AttemptPage)

    @property
    def digits(self) -> str:
        """What is drawn large."""
        return self.query_one(Digits).value


async def test_the_page_shows_the_stop_and_what_has_to_be_said() -> None:
    """Where it is, the set-up, the rail with the mark, the question and its answers."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show(started(), "A caliper has typed here.")
        await pilot.pause()
        seen = picture(app)
    assert "A whole setting · 2.0 mm in copper · plate C position 4" in seen.splitlines()[2]
    for says in (
        "set-up, carried over: ",
        "▸ fit",
        "how the stone itself goes into the seat",
        "drops in and moves",
        "A caliper has typed here.",
    ):
        assert says in seen


async def test_a_choice_is_seen_in_its_words_at_the_question_after_it() -> None:
    """3 is as wanted of the fit; the trial height is asked meanwhile."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show(typed(started(), "3"), "")
        await pilot.pause()
        assert not app.query_one(Digits).display
        assert "just noted: fit" in picture(app)
        assert "enters tilted and snaps" in picture(app).splitlines()[1]
        assert "✓ as wanted" in picture(app)
        assert "▸ trial height" in picture(app)


async def test_a_size_being_typed_is_seen_sign_by_sign() -> None:
    """Before it is an answer."""
    app = OnePageApp()
    async with app.run_test():
        entry = started(readings=(PIN,))
        for so_far in ("1", "1.", "1.9", "1.96"):
            app.page.show(typed(entry, so_far), "")
            assert app.digits == so_far


async def test_what_was_saved_is_said_before_what_comes_next_is_known() -> None:
    """The headline at once, with what to do about it; the digits are gone."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show_saved("Saved: tilted", ("Level it with the pusher.",), None)
        await pilot.pause()
        seen = picture(app)
        assert not app.query_one(Digits).display
    for says in ("Saved: tilted", "What now?", "· Level it with the pusher.", LOOKING):
        assert says in seen


async def test_what_comes_next_takes_the_place_of_the_search() -> None:
    """With the good ones to go and the digit that starts it; nothing to do after a good one."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show_saved("Saved: good", (), a_view(good_to_go=3))
        await pilot.pause()
        seen = picture(app)
    assert "Next: A whole setting · 2.0 mm in copper · plate C position 4" in seen
    assert "3 good ones to go, readings asked" in seen
    assert " 1  will not enter …  5  drops in and moves" in seen
    assert "What now?" not in seen
    assert LOOKING not in seen


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 50)])
async def test_the_set_up_is_the_table_of_now(size: tuple[int, int]) -> None:
    """Tool for tool as Now has it, in windows of each width; a narrow one leaves it to Now."""
    async with running(SessionOfAnEvening(), size=size) as pilot:
        tools = table_of(picture(pilot.app))
        await press(pilot, "3")
        assert isinstance(pilot.app.screen, AttemptScreen)
        assert table_of(picture(pilot.app)) == tools
        assert {"pilot", "opening", "seat", "chances"} <= {tool.split()[0] for tool in tools}


def table_of(seen: str) -> list[str]:
    """The rows of the tools in a picture: name, size and the first words beside it."""
    rows = (part.strip() for text in seen.splitlines() for part in text.split("│"))
    heads = ("pilot drill", "opening bur", "seat bur ", "chances")
    told = [" ".join(row.split()[:4]) for row in rows if row.startswith(heads)]
    return [words.rstrip(",") for words in told]


async def test_the_table_follows_the_set_up() -> None:
    """Another bur than the sheet says stands under it, until the sheet's is taken."""
    other = SetUpDiffers(
        "seat_bur_mm", "seat bur", "1.95", "1.90", {"seat_bur": "", "seat_bur_mm": "1.90"}
    )
    view = a_view(differs=(other,), set_up={**SET_UP, "seat_bur_mm": "1.95"})
    async with running(SessionOfAnEvening(view=view)) as pilot:
        await press(pilot, "3")
        assert "! set-up" in picture(pilot.app)
        await press(pilot, "equals_sign")
        assert "! set-up" not in picture(pilot.app)
