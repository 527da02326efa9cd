"""The answers of a stop: one is marked by the arrows, drawn large, and taken by Enter."""

from tests.tui.driving import press, running
from tests.tui.entries import started, typed
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.entry.answers import drawn_answers, look, looked_at
from platebook.tui.entry.entry import FINISH, RESULT, SET_UP, Entry
from platebook.tui.entry.moves import back, go_on, visit
from platebook.tui.entry.moves import press as pressed


def values(entry: Entry) -> list[str]:
    """The answers that are drawn at the stop."""
    return [word.value for word in drawn_answers(entry)]


def large(entry: Entry) -> str:
    """The answer that is drawn large, empty for none."""
    word = looked_at(entry)
    return word.value if word is not None else ""


def test_the_mark_goes_round_and_past_the_last_is_none() -> None:
    """Down from none is the first, up from none the last."""
    entry = typed(started(), "3")
    marks = [entry.marked]
    for _ in range(5):
        entry = look(entry, 1)
        marks.append(entry.marked)
    assert marks == ["", "1", "2", "3", "4", ""]
    assert look(entry, -1).marked == "4"


def test_enter_takes_the_answer_marked_as_its_digit_does() -> None:
    """A reading, a result and how bad it is; the mark is gone at the next stop."""
    entry = typed(started(), "3")
    assert go_on(look(entry, 1)) == pressed(entry, "1")
    judged = visit(entry, RESULT)
    assert go_on(look(look(judged, 1), 1)) == pressed(judged, "1")
    weighed = pressed(judged, "4")
    assert go_on(look(weighed, -1)) == pressed(weighed, "3")


def test_a_digit_answers_whatever_is_marked() -> None:
    """Looking at one answer and giving another notes the one given."""
    entry = typed(started(), "3")
    assert pressed(look(entry, -1), "2") == pressed(entry, "2")
    assert back(look(entry, -1)) == back(entry)


def test_nothing_is_marked_where_nothing_is_answered_by_digit() -> None:
    """A list of rows and the finish stand as they are."""
    for stop in (SET_UP, FINISH):
        entry = visit(started(), stop)
        assert look(entry, 1) is entry


def test_what_is_asked_is_drawn() -> None:
    """Each answer of the readings, each defect of the look, the one weighed; no list, no part."""
    asked = [values(visit(started(), stop)) for stop in ("ledge", RESULT, SET_UP)]
    assert asked[0] == ["even", "slightly wider one side", "clearly wider one side"]
    assert asked[1][:3] == ["good", "loose", "high"]
    assert asked[2] == []
    assert values(typed(started(), "3214")) == ["tilted"]
    assert values(visit(Entry(part=True), RESULT)) == []


def test_large_is_the_one_marked_or_given_or_wanted() -> None:
    """In this order; a step that is asked for has none wanted, so none is drawn at first."""
    entry = typed(started(), "3")
    assert large(entry) == "flush"
    assert large(look(entry, 1)) == "proud"
    assert large(visit(pressed(entry, "4"), "trial_height")) == "deep"
    step = typed(started(), "32142")
    assert (large(step), large(look(step, 1))) == ("", "mark")


async def test_the_screen_draws_what_the_arrows_mark() -> None:
    """High with its caption and what Enter does; Enter then asks how bad it is."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "3", "2", "1", "down", "down", "down")
        seen = picture(pilot.app)
        assert " 2  high" in seen
        assert "table 0.17 mm above" in seen
        assert "Enter takes high." in seen
        await press(pilot, "enter")
        assert "How bad is high?" in picture(pilot.app)


async def test_a_narrow_window_has_no_drawing() -> None:
    """All of the answers stay to be read."""
    async with running(SessionOfAnEvening(), size=(60, 20)) as pilot:
        await press(pilot, "enter", "3")
        seen = picture(pilot.app)
        assert "table level" not in seen
        assert "4   deep" in seen
