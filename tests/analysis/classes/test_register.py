"""Who came on each evening of a class, and who has been missing since when."""

from collections.abc import Iterable
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from platebook.analysis.classes.register import (
    Enrolled,
    Register,
    missing_since,
    register_of,
    weeks_missing,
)

FIRST = date(2026, 1, 8)
ALWAYS = ((None, None),)


def week(number: float) -> date:
    """The class's evening so many weeks after its first."""
    return FIRST + timedelta(days=round(7 * number))


def somebody(
    name: str, weeks: Iterable[float], *stays: tuple[date | None, date | None]
) -> Enrolled:
    """Who logged something in these weeks, and was in the class in these stays, or always."""
    days = frozenset(week(number) for number in weeks)
    return Enrolled(name, name, stays or ALWAYS, days)


def test_an_evening_is_a_day_on_which_somebody_came() -> None:
    """Whoever logged nothing then missed it."""
    found = register_of([somebody("Ada", (0, 1, 2)), somebody("Bram", (0, 2))])
    assert found.evenings == (week(0), week(1), week(2))
    assert [row.signs for row in found.rows] == [("came",) * 3, ("came", "missed", "came")]
    assert [(row.came, row.of) for row in found.rows] == [(3, 3), (2, 3)]
    assert [row.missing_since for row in found.rows] == [None, None]


def test_before_joining_and_after_leaving_there_is_no_sign() -> None:
    """Nor do evenings outside a stay count; what was logged then is not seen."""
    late = somebody("Cleo", (0, 2, 3), (week(2), None))
    gone = somebody("Dora", (0, 3), (None, week(1)))
    found = register_of([somebody("Ada", range(4)), late, gone])
    assert found.rows[1].signs == (None, None, "came", "came")
    assert found.rows[2].signs == ("came", "missed", None, None)
    assert (found.rows[2].left, found.rows[2].missing_since) == (True, None)
    assert found.rows[2].last_seen == week(0)
    assert [row.name for row in found.coming] == ["Ada", "Cleo"]
    assert [row.name for row in found.apart] == ["Dora"]


def test_the_evening_on_which_somebody_was_taken_out_counts_if_they_came() -> None:
    """Yesterday was their last day then; without practice that day it is no evening of theirs."""
    until = week(2) - timedelta(days=1)
    people = [
        somebody("Ada", (0, 1, 2)),
        somebody("Dora", (0, 2), (None, until)),
        somebody("Evan", (0,), (None, until)),
    ]
    assert [row.signs for row in register_of(people).rows] == [
        ("came",) * 3,
        ("came", "missed", "came"),
        ("came", "missed", None),
    ]
    assert [row.left for row in register_of(people).rows] == [False, True, True]


def test_who_comes_back_has_two_stays() -> None:
    """The evenings between them have no sign."""
    back = somebody("Cleo", (0, 3), (None, week(0)), (week(3), None))
    found = register_of([somebody("Ada", range(4)), back]).rows[1]
    assert found.signs == ("came", None, None, "came")
    assert (found.came, found.of, found.left) == (2, 2, False)


def test_the_missing_are_counted_to_the_newest_evening() -> None:
    """Not to today: while the class rests nobody is missing."""
    found = register_of([somebody("Ada", range(5)), somebody("Bram", (0, 1)), somebody("New", ())])
    ada, bram, new = found.rows
    assert (ada.missing_since, ada.missing_weeks) == (None, None)
    assert (bram.last_seen, bram.missing_since, bram.missing_weeks) == (week(1), week(2), 3)
    assert (new.last_seen, new.missing_since, new.missing_weeks) == (None, week(0), None)


def test_days_outside_the_class_are_no_evenings() -> None:
    """Its first and last day are within it."""
    found = register_of([somebody("Ada", range(-1, 4))], week(0), week(2))
    assert found.evenings == (week(0), week(1), week(2))
    assert found.rows[0].last_seen == week(2)


def test_practice_at_home_is_no_evening_that_the_others_missed() -> None:
    """Where the class says which day it meets on; whoever practised is seen all the same."""
    at_home = somebody("Ada", (0, 1, 2.3))
    others = [somebody(name, (0, 1, 2)) for name in ("Bram", "Cleo", "Dora")]
    found = register_of([at_home, *others], meets_on="thursday")
    assert found.evenings == (week(0), week(1), week(2))
    assert (found.rows[0].last_seen, found.rows[0].missing_since) == (week(2.3), None)
    assert len(register_of([at_home, *others]).evenings) == 4


def test_an_evening_on_another_day_counts_where_most_of_the_class_came() -> None:
    """Thursday was a holiday, and the class met on Friday; one of two at home is not most."""
    moved = [somebody(name, (0, 1.1)) for name in ("Ada", "Bram", "Cleo")]
    away = somebody("Dora", (0,))
    found = register_of([*moved, away], meets_on="thursday")
    assert found.evenings == (week(0), week(1.1))
    assert register_of([moved[0], away], meets_on="thursday").evenings == (week(0),)


def test_with_nobody_or_nothing_logged_there_are_no_evenings() -> None:
    """And nobody is missing."""
    assert register_of([]) == Register((), ())
    (row,) = register_of([somebody("Ada", ())]).rows
    assert (row.signs, row.of, row.missing_since, row.left) == ((), 0, None, False)


def test_somebody_put_aside_keeps_their_signs_apart() -> None:
    """Nothing of theirs is taken away."""
    aside = Enrolled("b", "Bram", ALWAYS, frozenset({week(0)}), active=False)
    found = register_of([somebody("Ada", (0, 1)), aside])
    assert [row.name for row in found.coming] == ["Ada"]
    assert [(row.name, row.signs) for row in found.apart] == [("Bram", ("came", "missed"))]


def test_missing_since_is_the_first_evening_after_somebody_was_seen() -> None:
    """A day of practice between evenings is a day they were seen."""
    evenings = (week(0), week(1), week(2))
    assert missing_since(evenings, week(0)) == week(1)
    assert missing_since(evenings, week(1.5)) == week(2)
    assert missing_since(evenings, week(2)) is None
    assert missing_since(evenings, None) == week(0)
    assert missing_since((), None) is None


def test_weeks_are_whole() -> None:
    """Thirteen days are a week; who was seen after the newest evening is missing for none."""
    assert weeks_missing(week(2), week(2) - timedelta(days=13)) == 1
    assert weeks_missing(week(2), week(3)) == 0
    assert weeks_missing(week(2), None) is None


@given(
    st.lists(st.tuples(st.sets(st.integers(0, 9)), st.integers(0, 9), st.integers(0, 9))),
)
def test_every_evening_has_somebody_and_each_sign_is_true(
    people: list[tuple[set[int], int, int]],
) -> None:
    """Whatever people log and whenever they come and go."""
    everyone = [
        somebody(f"S{n}", weeks, (week(joined), week(left)))
        for n, (weeks, joined, left) in enumerate(people)
    ]
    found = register_of(everyone)
    assert list(found.evenings) == sorted(set(found.evenings))
    for place, evening in enumerate(found.evenings):
        signs = [row.signs[place] for row in found.rows]
        assert "came" in signs
        there = [person.is_in_on(evening) for person in everyone]
        assert [sign is not None for sign in signs] == there
    assert all(row.came == row.signs.count("came") <= row.of for row in found.rows)
    assert len(found.coming) + len(found.apart) == len(everyone)
