"""Stock by period: stones and places counted by hand."""

from datetime import UTC, date, datetime

from tests.builders import an_attempt, some_course

from platebook.analysis.periods.practice_by_week import Used, done
from platebook.analysis.periods.stock import sheet_text, stock_used
from platebook.practice.attempt import Attempt

LAST_WEEK = (date(2026, 3, 2), date(2026, 3, 8))


def on(day: int, **values: object) -> Attempt:
    """An attempt of this day in March."""
    return an_attempt(began=datetime(2026, 3, day, 19, tzinfo=UTC), **values)


def test_a_period_counts_its_own_days_ends_included() -> None:
    """Of five 2 mm stones three lie in the week; an attempt without a day is in no period."""
    log = [on(1), on(2), on(5), on(8), on(9), an_attempt(began=None)]
    assert stock_used(some_course(), log, *LAST_WEEK).stones == (Used("2.0 mm", 3),)
    assert stock_used(some_course(), log).stones == (Used("2.0 mm", 6),)


def test_in_all_it_is_what_the_class_page_says() -> None:
    """The stones are those of `done`."""
    log = [on(1), on(2, stone_uses=1), on(3, stone_diameter_mm=1.5)]
    assert stock_used(some_course(), log).stones == done(log, some_course()).stones


def test_a_place_counts_once_and_sheets_apart() -> None:
    """Two attempts at plate 1, position 1 are one place; two layers are another sheet."""
    log = [
        on(2, plate="1", position="1"),
        on(3, plate="1", position="1"),
        on(3, plate="1", position="2"),
        on(3),
        on(4, layers=2),
        on(4, metal=None),
        on(4, kind="part", part="seeing"),
    ]
    assert stock_used(some_course(), log).places == (
        Used("copper, 0.81 mm", 3),
        Used("copper, 0.81 mm, 2 layers", 1),
    )


def test_nothing_logged_is_nothing_used() -> None:
    """No stone and no place."""
    stock = stock_used(some_course(), [])
    assert (stock.stones, stock.places) == ((), ())


def test_a_sheet_reads_as_it_is_ordered() -> None:
    """Layers only where there are several."""
    assert sheet_text("copper", 0.812) == "copper, 0.81 mm"
    assert sheet_text("sterling", 1.0, 2) == "sterling, 1.00 mm, 2 layers"
