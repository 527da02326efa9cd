"""The page of an attempt: its large reading with a verdict, and what stands around it."""

import pytest
from tests.tui.bench import FIT, PIN, a_view
from tests.tui.entries import started, typed
from tests.tui.pictures import picture
from textual.app import App, ComposeResult
from textual.widgets import Digits

from platebook.tui.entry.entry import FINISH, RESULT, SET_UP
from platebook.tui.entry.moves import visit
from platebook.tui.entry.page import LOOKING, AttemptPage, BigReading
from platebook.tui.entry.questions import Question
from platebook.tui.parts.theme import THEMES

BY_DIGIT = Question(field="fit", label="fit", keys=FIT.key_values, wanted=FIT.wanted)
SIZE = Question(
    field="seat_go_mm", label="go pin", unit="mm", target=PIN.target, low=PIN.low, high=PIN.high
)
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
    def reading(self) -> BigReading:
        """The large reading on it."""
        return self.query_one(BigReading)

    @property
    def digits(self) -> str:
        """What is drawn large."""
        return self.query_one(Digits).value


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [
        ("1.93", "✓ as wanted"),
        ("1.98", "✓ as wanted"),
        ("1.92", "! not as wanted"),
        ("1.99", "! not as wanted"),
    ],
)
async def test_a_size_is_judged_as_it_is_typed(answer: str, verdict: str) -> None:
    """1.93 to 1.98 is wanted, both ends with it; target and unit stand beside the digits."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.reading.show(SIZE, answer, None)
        await pilot.pause()
        seen = picture(app)
        assert app.digits == answer
        assert "wanted: 1.93 to 1.98" in seen
        assert verdict in seen
        assert " mm" in seen


async def test_nothing_typed_is_a_dash_without_a_verdict() -> None:
    """Nobody has been right or wrong yet."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.reading.show(SIZE, "", None)
        await pilot.pause()
        assert app.digits == "—"
        assert "as wanted" not in picture(app)
        app.reading.show(None, "", None)
        assert app.digits == "—"


@pytest.mark.parametrize(
    ("value", "digit", "verdict"),
    [("enters tilted and snaps", "3", "✓ as wanted"), ("drops in", "4", "! not as wanted")],
)
async def test_an_answer_by_digit_is_shown_as_its_digit(
    value: str, digit: str, verdict: str
) -> None:
    """The key that gave it, to be checked at a glance."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.reading.show(BY_DIGIT, value, None)
        await pilot.pause()
        assert app.digits == digit
        assert verdict in picture(app)


async def test_the_answer_before_stays_until_the_next_one_comes() -> None:
    """A question by digit that waits shows the one just noted, with its own verdict."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.reading.show(BY_DIGIT, "", (SIZE, "1.99"))
        await pilot.pause()
        assert app.digits == "1.99"
        assert "just noted: go pin" in picture(app)
        assert "wanted: 1.93 to 1.98" in picture(app)
        assert "! not as wanted" in picture(app)
        app.reading.show(BY_DIGIT, "drops in", (SIZE, "1.99"))
        await pilot.pause()
        assert app.digits == "4"
        assert "just noted" not in picture(app)


async def test_a_size_that_waits_shows_its_own_target() -> None:
    """Whatever was noted before it."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.reading.show(SIZE, "", (BY_DIGIT, "drops in"))
        await pilot.pause()
        assert app.digits == "—"
        assert "just noted" not in picture(app)
        assert "wanted: 1.93 to 1.98" in picture(app)


async def test_a_long_size_is_cut_to_the_room_there_is() -> None:
    """Large digits have room for eight signs."""
    app = OnePageApp()
    async with app.run_test():
        app.reading.show(SIZE, "1.9300000001", None)
        assert app.digits == "1.930000"


async def test_the_page_shows_the_stop_and_what_has_to_be_said() -> None:
    """Where it is, the set-up, the rail with the mark, the question and its answers."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show(started(), "A caliper has typed here.")
        await pilot.pause()
        seen = picture(app)
    assert "A whole setting · 2.0 mm in copper · plate C position 4" in seen.splitlines()[0]
    for says in (
        "set-up, carried over: ",
        "▸ fit",
        "how the stone itself goes into the seat",
        "drops in and moves",
        "A caliper has typed here.",
    ):
        assert says in seen


async def test_a_digit_is_seen_large_at_the_question_after_it() -> None:
    """3 is as wanted of the fit; the trial height is asked meanwhile."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show(typed(started(), "3"), "")
        await pilot.pause()
        assert app.digits == "3"
        assert "just noted: fit" in picture(app)
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


async def test_there_are_large_digits_only_where_there_is_a_reading() -> None:
    """At a question, and at the result right after one; not at lists, nor at the finish."""
    app = OnePageApp()
    async with app.run_test():
        shown = {}
        for name, entry in {
            "question": started(),
            "result after a reading": typed(started(), "321"),
            "result without one": visit(started(), RESULT),
            "set-up": visit(started(), SET_UP),
            "finish": visit(started(), FINISH),
        }.items():
            app.page.show(entry, "")
            shown[name] = app.reading.display
    assert shown == {
        "question": True,
        "result after a reading": True,
        "result without one": False,
        "set-up": False,
        "finish": False,
    }


async def test_what_was_saved_is_said_before_what_comes_next_is_known() -> None:
    """The headline at once, with what to do about it; the digits are gone."""
    app = OnePageApp()
    async with app.run_test(size=WIDE) as pilot:
        app.page.show_saved("Saved: tilted", ("Level it with the pusher.",), None)
        await pilot.pause()
        seen = picture(app)
        assert not app.reading.display
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
    assert "1 will not enter … 5 drops in and moves" in seen
    assert "What now?" not in seen
    assert LOOKING not in seen
