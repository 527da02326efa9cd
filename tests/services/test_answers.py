"""The three answers for the setter in use, and the first screen that shows them."""

import dataclasses
from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import (
    ADA,
    COURSE,
    NOW,
    SEAT_BUR,
    a_row,
    a_row_a_minute,
    ada_at,
    logged,
    new_desk,
)

from platebook.services.answers import (
    findings,
    next_with_sizes,
    progress,
    tools_and_hand,
)
from platebook.services.desk import Desk
from platebook.services.faults import Refused
from platebook.services.now import now
from platebook.services.people import NOBODY_IN_USE
from platebook.services.roster import add_setter


def _days_later(desk: Desk, days: int) -> Desk:
    return dataclasses.replace(desk, clock=lambda: NOW + timedelta(days=days))


@pytest.mark.parametrize("answer", [findings, progress, next_with_sizes])
def test_without_anyone_in_use_the_refusal_says_what_to_do(answer: object, tmp_path: Path) -> None:
    """No logbook, or nobody in it: a sentence each time, and no file is made."""
    assert callable(answer)
    desk = new_desk(tmp_path)
    with pytest.raises(Refused) as refused:
        answer(desk)
    assert (refused.value.sentence, desk.path.exists()) == (NOBODY_IN_USE, False)
    add_setter(desk, ADA)
    with pytest.raises(Refused, match="setter: nobody is in use"):
        answer(desk)


def test_an_empty_log_is_answered(tmp_path: Path) -> None:
    """Counts of nothing, no grade begun, and something to do first."""
    desk = ada_at(tmp_path)
    found = findings(desk)
    assert (found.attempts, found.failures, found.evidence, found.findings) == (
        0,
        0,
        "counts only",
        (),
    )
    shown = progress(desk)
    assert (shown.settings, shown.days_since_practice) == (0, None)
    assert {g.rate for g in shown.grades} == {None}
    advice, sizes = next_with_sizes(desk)
    assert (advice.course, advice.grade) == (COURSE, "copper-1.5")
    assert advice.why
    assert sizes is not None
    assert sizes.stone.diameter_mm == 1.5


def test_few_attempts_are_only_counted(tmp_path: Path) -> None:
    """Below 20 attempts nothing is said to go with failure; all are counted."""
    desk = ada_at(tmp_path)
    logged(desk, *a_row_a_minute(4), *a_row_a_minute(3, result="loose"))
    found = findings(desk)
    assert (found.attempts, found.failures) == (7, 3)
    assert (found.evidence, found.findings) == ("counts only", ())
    grade = progress(desk).grade("copper-2.0")
    assert grade is not None
    assert (grade.good, grade.attempts) == (4, 7)


def test_days_are_counted_by_the_benchs_own_calendar(tmp_path: Path) -> None:
    """Half past seven in the evening to the same time eight days on."""
    desk = ada_at(tmp_path)
    logged(desk, a_row())
    assert progress(_days_later(desk, 8)).days_since_practice == 8
    assert now(_days_later(desk, 8)).days_since == 8


def test_the_sizes_are_for_the_stone_that_was_measured(tmp_path: Path) -> None:
    """And from the drawer of the setter in use."""
    desk = ada_at(tmp_path, SEAT_BUR)
    logged(desk, *a_row_a_minute(12))
    advice, sizes = next_with_sizes(desk)
    assert sizes is not None
    wanted = {"copper-2.0": 1.98, "copper-2.5": 2.5, "copper-1.5": 1.5}
    assert sizes.stone.diameter_mm == wanted[advice.grade]
    drawer, _ = tools_and_hand(desk)
    assert drawer is not None
    assert [t.name for t in drawer.tools] == [SEAT_BUR.name]


def test_without_anyone_in_use_sizes_go_by_custom(tmp_path: Path) -> None:
    """There is no drawer and no hand then."""
    assert tools_and_hand(new_desk(tmp_path)) == (None, None)


def test_the_first_screen_of_an_empty_logbook(tmp_path: Path) -> None:
    """What to do, with sizes, set-up, plate and what to mind; nothing counted yet."""
    view = now(ada_at(tmp_path))
    assert (view.setter, view.grade_title) == (ADA, "1.5 mm in copper")
    assert view.exercise_title
    assert view.task
    assert view.criterion
    assert (view.attempts, view.days_since, view.points, view.invented) == (0, None, 0, False)
    assert view.set_up["stone_diameter_mm"] == "1.5"
    assert view.plate is not None
    assert (view.plate.name, view.plate.next_position) == ("1", "1")
    assert view.cautions


def test_the_first_screen_after_some_attempts(tmp_path: Path) -> None:
    """Points, days, plate and set-up are those of the log."""
    desk = ada_at(tmp_path, SEAT_BUR)
    rows = a_row_a_minute(3, plate="C", lubricant="wax")
    logged(desk, *(dict(row, position=str(n)) for n, row in enumerate(rows, 1)))
    view = now(desk)
    assert (view.attempts, view.days_since) == (3, 0)
    assert view.plate is not None
    assert (view.plate.name, view.plate.next_position) == ("C", "4")
    assert view.set_up["lubricant"] == "wax"
    grade = progress(desk).grade(view.advice.grade)
    assert grade is not None
    assert (view.points, view.promote_at, view.good_to_go) == (
        grade.points,
        grade.promote_at,
        grade.good_to_go,
    )


def test_readings_are_shown_where_they_are_asked(tmp_path: Path) -> None:
    """A grade that is being learned always asks (a whole setting has readings)."""
    desk = ada_at(tmp_path)
    logged(desk, *a_row_a_minute(3))
    view = now(desk)
    assert view.readings_asked
    assert view.readings_asked == view.advice.readings_asked
    assert bool(view.readings) == (view.advice.kind == "whole" or view.advice.part is not None)
