"""A whole plate judged in the app: few keys, blind, in order, and nothing lost."""

from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.classroom.plate_looks_screen import PlateLooksScreen
from platebook.tui.classroom.screen import ClassScreen

TEN = ("0", "0", "2", "2", "0", "0", "4", "2", "0", "0", "0", "5", "1")
"""Seven good ones, a high one, a tilted one and a chipped one."""

MOST_KEYS = 25


async def test_ten_positions_take_at_most_25_keys_with_two_comments() -> None:
    """From the student's line: the key that opens the plate, one a good one, two a defect."""
    session = SessionOfAnEvening()
    keys = ("i", *TEN, "plus", "1", "left", "plus", "2")
    assert len(keys) <= MOST_KEYS
    async with running(session) as pilot:
        await press(pilot, "k")
        await pilot.press("i")
        await until(pilot, lambda: "0 of 10 judged" in picture(pilot.app))
        await pilot.press(*TEN)
        await until(pilot, lambda: "All are judged" in picture(pilot.app))
        await until(pilot, lambda: len(session.looked) == 10)
        await press(pilot, *keys[1 + len(TEN) :])
        await until(pilot, lambda: len(session.said_on) == 2)
    assert session.calls.count("plate s2 ") >= 1
    assert [attempt for attempt, _, _ in session.looked] == [
        f"B{n}" for n in range(1, 12) if n != 7
    ]
    assert [(result, weight) for _, result, weight in session.looked] == [
        ("good", ""),
        ("good", ""),
        ("high", "2"),
        ("good", ""),
        ("good", ""),
        ("tilted", "2"),
        ("good", ""),
        ("good", ""),
        ("good", ""),
        ("chipped", "1"),
    ]


async def test_what_goes_with_a_verdict_is_offered_once_there_is_one() -> None:
    """Its comment, in words or from the stock, and taking it back."""
    of_verdicts = ("+ comment", "w words", "u undo")
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "k", "i")
        await until(pilot, lambda: "0 of 10 judged" in picture(pilot.app))
        assert not any(key in picture(pilot.app) for key in of_verdicts)
        await press(pilot, "0")
        await until(pilot, lambda: "1 of 10 judged" in picture(pilot.app))
        assert all(key in picture(pilot.app) for key in of_verdicts)


async def test_enter_goes_on_to_the_next_student() -> None:
    """In the order of the list, without the class between; after the last one it says so."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "i")
        await until(pilot, lambda: "plate B" in picture(pilot.app))
        await press(pilot, "0", "enter", "0")
        await until(pilot, lambda: len(session.looked) == 2)
        await press(pilot, "enter", "enter")
        assert "Nobody stands after them" in picture(pilot.app)
        await press(pilot, "escape")
        assert on(pilot, ClassScreen)
    asked = [call.split()[1] for call in session.calls if call.startswith("plate ")]
    assert list(dict.fromkeys(asked)) == ["s2", "s1", "s3"]


async def test_a_comment_keyed_before_the_verdict_is_recorded_goes_with_it() -> None:
    """All keys at once: the digit of the comment is no verdict on the next position."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "i")
        await until(pilot, lambda: "plate B" in picture(pilot.app))
        await pilot.press("2", "2", "plus", "1", "0", "escape")
        await until(pilot, lambda: on(pilot, ClassScreen))
    assert session.looked == [("B1", "high", "2"), ("B2", "good", "")]
    assert session.said_on == {"B1": "1"}


async def test_a_position_is_blind_until_it_is_judged() -> None:
    """Then both verdicts stand there; the drawn one is marked all the time."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "k", "i")
        assert on(pilot, PlateLooksScreen)
        seen = picture(pilot.app)
        assert "their own" not in seen
        assert "│ ? │" in seen
        assert "*╰───╯" in seen
        await press(pilot, "2", "3")
        await until(pilot, lambda: "1: yours high, setting lost; their own" in picture(pilot.app))
        await press(pilot, "right", "right")
        assert "* drawn at random" in picture(pilot.app)


async def test_arrows_go_where_something_was_set_and_a_verdict_is_not_given_twice() -> None:
    """Over the empty position; rows up and down; a digit on a judged one changes nothing."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "i", "down", "right")
        assert "position 8" in picture(pilot.app)
        await press(pilot, "left", "up")
        assert "position 1" in picture(pilot.app)
        await press(pilot, "0")
        await until(pilot, lambda: len(session.looked) == 1)
        await press(pilot, "left", "0")
        assert "Position 1 is judged." in picture(pilot.app)
        await press(pilot, "right", "4", "escape", "0")
        await until(pilot, lambda: len(session.looked) == 2)
    assert session.looked[1] == ("B2", "good", "")


async def test_a_digit_that_picks_a_comment_is_drawn_as_no_verdict() -> None:
    """The drawings of the verdicts are there while a digit judges, and only then."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "k", "i", "0")
        assert picture(pilot.app).count(" 9  off mark") == 2
        await press(pilot, "plus")
        assert "off mark" not in picture(pilot.app)


async def test_words_are_typed_and_esc_leaves_them() -> None:
    """On the last verdict, though the next position is marked already; before any it says so."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "i", "plus")
        assert "judge a position first" in picture(pilot.app)
        await press(pilot, "0")
        await until(pilot, lambda: len(session.looked) == 1)
        await press(pilot, "w", "x")
        assert "Enter keeps your words with the verdict" in picture(pilot.app)
        await press(pilot, "escape", "w", *"evenrims", "enter")
        await until(pilot, lambda: session.said_on == {"B1": "evenrims"})


async def test_other_plates_and_back() -> None:
    """Page up shows the plate before; Esc goes back to the class."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "i", "pageup")
        await until(pilot, lambda: "plate A" in picture(pilot.app))
        await press(pilot, "pageup")
        assert "no other plate that way" in picture(pilot.app)
        await press(pilot, "pagedown")
        await until(pilot, lambda: "plate B" in picture(pilot.app))
        await press(pilot, "u")
        await until(pilot, lambda: "undone" in session.calls or "undo" in session.calls)
        await press(pilot, "escape")
        assert on(pilot, ClassScreen)


async def test_the_plate_of_a_row_of_the_queue_opens_at_its_position() -> None:
    """With i in the queue."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q", "i")
        await until(pilot, lambda: "plate s2 B" in session.calls)
        assert "position 3" in picture(pilot.app)
