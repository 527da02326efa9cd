"""Reference plates: kept once, judged blind, and what reaches the log and the next exercise."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import NOW, ada_at, ticking

from platebook.services.attempts.log import attempts_of
from platebook.services.now.now_view import now
from platebook.services.people.setters import add_setter, switch_setter
from platebook.services.plates import plates_of
from platebook.services.seeing import judge_plate, keep_reference, seeing_view
from platebook.services.session import Refused, Session
from platebook.values import replace

KNOWN = {"1": "good", "2": "loose 2", "3": "tilted 2; gap 1", "4": "gap 1"}


def with_a_plate(folder: Path) -> Session:
    """Ada, who keeps a plate of four."""
    session = ada_at(folder)
    keep_reference(session, "R", KNOWN)
    return session


def test_a_plate_is_judged_before_its_verdicts_are_told(tmp_path: Path) -> None:
    """What is there to be judged says positions alone; the answer says what was missed."""
    session = with_a_plate(tmp_path)
    (plate,) = seeing_view(session).plates
    assert (plate.name, sorted(plate.positions)) == ("R", ["1", "2", "3", "4"])
    judged = judge_plate(session, "r", {"1": "0", "2": "good", "3": "tilted", "4": "good"})
    assert (judged.right, judged.of, judged.needed) == (3, 4, 4)
    assert judged.sentences()[:2] == (
        "3 of 4 judged right: 4 are needed.",
        "2: loose, clearly; you saw good.",
    )
    assert (judged.kinder, judged.harder) == (2, 0)


def test_each_position_is_an_attempt_at_the_part(tmp_path: Path) -> None:
    """With what was seen, and whether it agrees; it takes no plate of one's own."""
    session = with_a_plate(tmp_path)
    judge_plate(session, "R", {"1": "gap 2", "2": "1", "3": "4", "4": "good"})
    log = attempts_of(session)
    assert [(a.part, a.position, a.seen, a.result) for a in log] == [
        ("seeing", "1", "gap 2", ("missed",)),
        ("seeing", "2", "loose 2", ("good",)),
        ("seeing", "3", "tilted 2", ("good",)),
        ("seeing", "4", "good", ("good",)),
    ]
    assert {a.exercise for a in log} == {"seeing"}
    assert plates_of(session) == ()
    plate = now(session).plate
    assert plate is not None
    assert plate.name == "1"


def test_now_says_when_it_is_time(tmp_path: Path) -> None:
    """Where a plate is kept and was never judged, or a month ago."""
    assert now(ada_at(tmp_path / "without")).seeing == ""
    session = with_a_plate(tmp_path / "with")
    assert "It is time" in now(session).seeing
    judge_plate(session, "R", KNOWN)
    assert now(session).seeing == ""
    later = replace(session, clock=ticking(NOW + timedelta(days=31)))
    assert "4 of 4 right on 3 February 2026, enough" in now(later).seeing


def test_anybody_judges_a_plate_that_somebody_keeps(tmp_path: Path) -> None:
    """A teacher's plate is there for the class, and each has a standing of their own."""
    session = with_a_plate(tmp_path)
    judge_plate(session, "R", KNOWN)
    bram = switch_setter(session, add_setter(session, "Bram Osk").setter_id or "")
    view = seeing_view(bram)
    assert ([p.name for p in view.plates], view.standing.tries, view.due) == (["R"], 0, True)


@pytest.mark.parametrize(
    ("name", "seen", "expected"),
    [
        ("S", KNOWN, "expected a reference plate: R"),
        ("R", {"1": "good"}, "positions 2, 3, 4: read nothing, expected all of the plate"),
        ("R", {**KNOWN, "9": "good"}, "position: read '9', expected 1, 2, 3, 4"),
        ("R", {**KNOWN, "2": "crooked"}, "2: read 'crooked', expected"),
    ],
)
def test_a_plate_judged_in_part_is_refused(
    name: str, seen: dict[str, str], expected: str, tmp_path: Path
) -> None:
    """It would tell the rest; nothing is taken down."""
    session = with_a_plate(tmp_path)
    with pytest.raises(Refused, match=re.escape(expected)):
        judge_plate(session, name, seen)
    assert attempts_of(session) == ()


@pytest.mark.parametrize(
    ("name", "verdicts", "expected"),
    [
        ("R", KNOWN, "'R' is a plate already"),
        ("S", {"1": "good"}, "expected at least 4"),
        ("S", {**KNOWN, "4": "crooked"}, "4: read 'crooked'"),
        (" ", KNOWN, "expected the plate's name"),
    ],
)
def test_what_cannot_be_kept_is_refused(
    name: str, verdicts: dict[str, str], expected: str, tmp_path: Path
) -> None:
    """With what was read and expected."""
    session = with_a_plate(tmp_path)
    with pytest.raises(Refused, match=re.escape(expected)):
        keep_reference(session, name, verdicts)
