"""The headline of an attempt: what is asked, what it means, and the reading beside it."""

import pytest
from tests.tui.bench import FIT, PIN
from tests.tui.entries import started, typed

from platebook.practice.reading.questions import Question
from platebook.tui.entry.entry import ANOTHER, FINISH, RESULT, SET_UP
from platebook.tui.entry.head import NOTHING, Reading, asked, attempt_head, large, meaning
from platebook.tui.entry.moves import visit
from platebook.values import replace

BY_DIGIT = Question(field="fit", label="fit", keys=FIT.keys, wanted=FIT.wanted)
SIZE = Question(
    field="seat_go_mm", label="go pin", unit="mm", target=PIN.target, low=PIN.low, high=PIN.high
)
WHERE = "A whole setting · 2.0 mm in copper · plate C position 4"


def lines(reading: Reading) -> list[str]:
    """What stands beside the digits."""
    return reading.beside.plain.splitlines()


def test_each_stop_says_what_it_asks() -> None:
    """The result, how bad a defect is, a reading with its meaning, a list, the finish."""
    entry = started()
    assert (asked(entry), meaning(entry)) == ("fit", "how the stone itself goes into the seat")
    assert asked(visit(entry, RESULT)) == "How did it come out?"
    assert asked(typed(entry, "3214")) == "How bad is tilted?"
    assert asked(visit(entry, ANOTHER)) == "Which other defect?"
    assert asked(visit(entry, SET_UP)) == "The set-up"
    assert asked(typed(entry, "3210")) == "good"


def test_of_a_part_the_criterion_is_told() -> None:
    """When it is good stands under the question."""
    part = replace(started(), part=True, criterion="the rim is bright", stop=RESULT)
    assert meaning(part) == "the rim is bright"


def test_a_size_that_is_typed_says_how_it_is_read() -> None:
    """A hart bur's angle is its edge's, a setting bur's its tip's."""
    told = meaning(visit(typed(started(), "3210"), "seat_bur_angle_deg"))
    assert "of a setting bur the angle of its tip (90 cuts a floor of 45)" in told
    assert "of a hart bur the angle of its edge, between upper and lower face" in told


def test_the_headline_says_what_is_asked_and_where_one_is() -> None:
    """The question first, then what it means, then exercise, grade and position."""
    head = attempt_head(typed(started(), "3"))
    assert head.title.plain == "trial height"
    assert head.far.plain == f"table of the trial stone before burnishing\n{WHERE}"
    assert head.number == ""
    assert head.parts()["caption"].plain.splitlines() == [
        "just noted: fit",
        "enters tilted and snaps",
        "✓ as wanted",
    ]


def test_a_narrow_headline_tells_what_is_noted_in_short() -> None:
    """There is no column for it; large digits are left to a size that is being typed."""
    head = attempt_head(typed(started(), "34"), narrow=True)
    assert head.mind.plain == "fit enters tilted and snaps ✓ · trial height deep !"
    assert head.number == ""
    assert attempt_head(typed(started(readings=(PIN,)), "1.9"), narrow=True).number == "1.9"


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [
        ("1.93", "✓ as wanted"),
        ("1.98", "✓ as wanted"),
        ("1.92", "! not as wanted"),
        ("1.99", "! not as wanted"),
    ],
)
def test_a_size_is_judged_as_it_is_typed(answer: str, verdict: str) -> None:
    """1.93 to 1.98 is wanted, both ends with it; target and unit stand beside the digits."""
    reading = large(SIZE, answer)
    assert reading.number == answer
    assert lines(reading) == ["wanted: 1.93 to 1.98", verdict, "mm"]


def test_a_size_not_typed_yet_is_a_dash_without_a_verdict() -> None:
    """Nobody has been right or wrong yet; where nothing is asked nothing is drawn."""
    reading = large(SIZE, "")
    assert (reading.number, lines(reading)) == (NOTHING, ["wanted: 1.93 to 1.98", "mm"])
    assert large(BY_DIGIT, "") == Reading()
    assert large(None, "") == Reading()


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("enters tilted and snaps", "✓ as wanted"), ("drops in", "! not as wanted")],
)
def test_an_answer_by_digit_is_shown_in_its_words(value: str, verdict: str) -> None:
    """Never as the digit of its key, which reads like a count."""
    reading = large(BY_DIGIT, value)
    assert (reading.number, lines(reading)) == ("", [value, verdict])


def test_the_answer_before_stays_until_the_next_one_comes() -> None:
    """A question by digit that waits shows the one just noted, with its own verdict."""
    waiting = large(BY_DIGIT, "", (SIZE, "1.99"))
    assert waiting.number == "1.99"
    assert lines(waiting) == ["just noted: go pin", "! not as wanted", "wanted: 1.93 to 1.98"]
    assert lines(large(BY_DIGIT, "drops in", (SIZE, "1.99")))[0] == "drops in"


def test_a_size_that_waits_shows_its_own_target() -> None:
    """Whatever was noted before it."""
    reading = large(SIZE, "", (BY_DIGIT, "drops in"))
    assert (reading.number, lines(reading)[0]) == (NOTHING, "wanted: 1.93 to 1.98")


def test_a_long_size_is_cut_to_the_room_there_is() -> None:
    """Large digits have room for eight signs."""
    assert large(SIZE, "1.9300000001").number == "1.930000"


def test_there_are_large_digits_only_where_there_is_a_size() -> None:
    """Where a size is asked and at the stop after one; not at choices, nor at the finish."""
    entries = {
        "question by digit": started(),
        "size": started(readings=(PIN,)),
        "result after a choice": typed(started(), "321"),
        "result without one": visit(started(), RESULT),
        "set-up": visit(started(), SET_UP),
        "finish": visit(started(), FINISH),
    }
    assert {name: attempt_head(entry).number for name, entry in entries.items()} == {
        "question by digit": "",
        "size": NOTHING,
        "result after a choice": "",
        "result without one": "",
        "set-up": "",
        "finish": "",
    }
