"""A second look of one's own: drawn, blind, once, and compared with the first."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import NOW, a_row, ada_at, logged, minutes_on

from platebook.services.attempts.recording import undo
from platebook.services.classes.class_answers import eyes
from platebook.services.classes.inspections import queue
from platebook.services.classes.second_look import judge_again, second_look
from platebook.services.session import Refused, Session
from platebook.values import replace


@pytest.fixture
def next_day(tmp_path: Path) -> Session:
    """Ada the day after an evening with six settings."""
    session = ada_at(tmp_path)
    for n in range(6):
        logged(session, a_row(began=minutes_on(n), plate="C", position=str(n + 1)))
    return replace(session, clock=lambda: NOW + timedelta(days=1))


def test_three_positions_of_the_last_day_are_drawn_and_stay_the_same(next_day: Session) -> None:
    """Blind: nothing in a row says how it came out; on the same day there is nothing yet."""
    rows = second_look(next_day).rows
    assert len(rows) == 3
    assert rows == second_look(next_day).rows
    assert not any(hasattr(row, "result") for row in rows)
    assert {(row.grade, row.grade_title) for row in rows} == {("copper-2.0", "2.0 mm in copper")}
    assert second_look(replace(next_day, clock=lambda: NOW)).rows == ()


def test_a_second_verdict_is_taken_once_and_compared(next_day: Session) -> None:
    """The first verdict is told only then; undo brings the position back."""
    row = second_look(next_day).rows[0]
    done = judge_again(next_day, row.attempt_id, "2", "2")
    assert (done.inspection.result, done.own_result) == (("high",), ("good",))
    after = second_look(next_day)
    assert row not in after.rows
    assert after.agreement.startswith("Of 1 position drawn at random, 0 got the same verdict")
    with pytest.raises(Refused, match="judged again already"):
        judge_again(next_day, row.attempt_id, "0")
    undo(next_day)
    assert row in second_look(next_day).rows


def test_ones_own_second_look_is_no_inspection_by_others(next_day: Session) -> None:
    """The class queue and the agreement with an inspector leave it alone."""
    before = queue(next_day)
    judge_again(next_day, second_look(next_day).rows[0].attempt_id, "0")
    assert queue(next_day) == before
    assert [one.looks for one in eyes(next_day).values()] == [0]


@pytest.mark.parametrize(
    ("result", "severity", "says"),
    [("wobbly", "", "result: read 'wobbly'"), ("high", "9", "severity: read '9'")],
)
def test_what_is_no_verdict_is_refused(
    next_day: Session, result: str, severity: str, says: str
) -> None:
    """With what was read and expected; so is a position that was not drawn."""
    row = second_look(next_day).rows[0]
    with pytest.raises(Refused) as caught:
        judge_again(next_day, row.attempt_id, result, severity)
    assert says in caught.value.sentence
    with pytest.raises(Refused, match="not one of those drawn"):
        judge_again(next_day, "nobody's", "0")
