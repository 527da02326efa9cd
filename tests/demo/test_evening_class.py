"""The invented class: complete, plausible records with what was planted in them."""

import functools
from collections import Counter
from datetime import timedelta
from itertools import pairwise
from statistics import correlation, mean
from uuid import UUID

import pytest

from platebook.analysis import find, progress
from platebook.analysis.variables.derived import derived
from platebook.demo.evening_class import COURSE_ID, DemoClass, evening_class
from platebook.practice import load_course, read_attempts, shipped_course, write_row
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.fields import fields
from platebook.practice.results import failed, severity_of

COURSE = load_course(shipped_course(COURSE_ID))
CLASS = evening_class()
ALL = [a for attempts in CLASS.attempts_by_setter.values() for a in attempts]
WHOLE = [a for a in ALL if a.kind == "whole"]
READINGS = [f.name for f in fields().values() if f.asked == "reading"]


_class = functools.cache(evening_class)


def _of(name: str, demo: DemoClass = CLASS) -> list[Attempt]:
    setter = next(s for s in demo.setters if s.name == name)
    return [a for a in demo.attempts_by_setter[str(setter.setter_id)] if a.kind == "whole"]


def test_the_same_seed_gives_the_same_class() -> None:
    """The class is a function of its seed."""
    assert evening_class() == CLASS
    assert evening_class(7).attempts_by_setter != CLASS.attempts_by_setter


def test_a_dozen_setters_and_a_few_hundred_attempts() -> None:
    """Twelve people with a log each, long enough for findings to speak."""
    assert len(CLASS.setters) == len(CLASS.attempts_by_setter) == 12
    assert len({s.name for s in CLASS.setters}) == 12
    assert 500 < len(ALL) < 900
    assert all(len(_of(s.name)) >= 32 for s in CLASS.setters)


def test_every_record_reads_back_without_a_remark() -> None:
    """Written as text and read by the record's own rules nothing is at fault or changed."""
    for attempts in CLASS.attempts_by_setter.values():
        back, problems = read_attempts([write_row(a) for a in attempts], course=COURSE)
        assert problems == ()
        assert back == attempts


def test_ids_are_version_7_and_follow_the_clock() -> None:
    """RFC 9562: version 7, variant 10, milliseconds first; none twice."""
    ids = [UUID(a.attempt_id or "") for a in ALL]
    assert {i.version for i in ids} == {7}
    assert len(set(ids)) == len(ids)
    for attempt, number in zip(ALL, ids, strict=True):
        assert attempt.began is not None
        assert number.int >> 80 == int(attempt.began.timestamp() * 1000)


def test_evenings_are_thursdays_and_nobody_works_twice_at_once() -> None:
    """Attempts lie between half past six and nine, one after another."""
    for attempts in CLASS.attempts_by_setter.values():
        assert list(in_order(attempts)) == list(attempts)
        for attempt, following in pairwise(attempts):
            assert attempt.began is not None
            assert following.began is not None
            assert attempt.began + timedelta(minutes=attempt.minutes or 0) <= following.began
        for attempt in attempts:
            assert attempt.began is not None
            assert attempt.began.weekday() == 3
            assert 18 <= attempt.began.hour <= 20
            assert attempt.began.date() < CLASS.today


def test_a_position_on_a_plate_is_used_once() -> None:
    """No two attempts of a setter share a place."""
    for attempts in CLASS.attempts_by_setter.values():
        places = Counter((a.plate, a.position) for a in attempts)
        assert set(places.values()) == {1}


def test_readings_are_there_exactly_when_asked() -> None:
    """A setting that was asked has all of them, one that was not has none."""
    logs = [log for seed in range(4) for log in _class(seed).attempts_by_setter.values()]
    settings = [a for log in logs for a in log if a.kind == "whole"]
    assert {a.readings_asked for a in settings} <= {True, False}
    for attempt in settings:
        there = [getattr(attempt, name) is not None for name in READINGS]
        assert all(there) if attempt.readings_asked else not any(there)


def test_what_is_always_asked_is_always_there() -> None:
    """Once, plate, carried and look fields of a whole setting are filled in."""
    asked = {"once", "plate", "carried", "look"}
    left_open = {"hammer_g", "severity", "track", "curve", "curve_radius_mm"}
    for field in fields().values():
        if field.asked in asked and field.name not in left_open:
            missing = [a for a in WHOLE if getattr(a, field.name) is None]
            assert not missing, field.name


def test_severities_stand_beside_their_defects() -> None:
    """As many severities as defects, none beside good."""
    for attempt in WHOLE:
        if attempt.result == ("good",):
            assert attempt.severity is None
        else:
            assert len(attempt.severity or ()) == len(attempt.result or ())


def test_measured_values_lie_where_a_setter_expects_them() -> None:
    """Stone under its nominal size, bur under the stone, seat near both, sheet by the grade."""
    for attempt in WHOLE:
        grade = COURSE.grade(attempt.grade or "")
        assert grade is not None
        stone, bur = attempt.stone_diameter_mm or 0, attempt.seat_bur_mm or 0
        assert grade.stones_mm[0] - 0.04 < stone < grade.stones_mm[0]
        assert 0.02 < stone - bur < 0.10
        assert attempt.sheet_mm == grade.sheet_mm
        clearance = derived(attempt).get("clearance_mm")
        if clearance is not None:
            assert -0.2 < clearance < 0.3


def test_burs_wear_by_one_a_seat_and_are_replaced() -> None:
    """Seats cut count up with each setting of one bur and the drawer ends where they do."""
    for setter in CLASS.setters:
        counts: dict[str, int] = {}
        for attempt in _of(setter.name):
            name = attempt.seat_bur or ""
            assert attempt.seat_bur_uses == counts.get(name, 0)
            counts[name] = (attempt.seat_bur_uses or 0) + 1
        drawer = {t.name: t.seats_cut for t in CLASS.tools_by_setter[str(setter.setter_id)]}
        assert all(drawer.get(name, cut) == cut for name, cut in counts.items())


def test_failures_are_about_what_a_bench_sees() -> None:
    """Between a quarter and a half fail over the term; at the first grade fewer as it goes on.

    Over all grades they stay about as many: the work moves up as it comes out well.
    """
    rate = mean(bool(failed(a)) for a in WHOLE)
    assert 0.25 < rate < 0.50
    first, later = [], []
    for demo in map(_class, range(8)):
        for setter in demo.setters:
            here = [a for a in _of(setter.name, demo) if a.grade == "copper-1.5"]
            first += [bool(failed(a)) for a in here[:8]]
            later += [bool(failed(a)) for a in here[8:]]
    assert mean(later) < mean(first)


def _rate(attempts: list[Attempt], defect: str) -> float:
    return mean(severity_of(a, defect) is not None for a in attempts)


def test_wide_seats_come_loose_over_the_whole_class() -> None:
    """The common habit: loose at a clearance above 0.05 mm far oftener than below it."""
    measured = [(derived(a).get("clearance_mm"), a) for a in WHOLE]
    wide = [a for c, a in measured if c is not None and c > 0.05]
    snug = [a for c, a in measured if c is not None and c <= 0.05]
    assert _rate(wide, "loose") > _rate(snug, "loose") + 0.3


def test_seats_follow_the_bur() -> None:
    """Seat = bur + overcut + noise: measured seats go with the bur's size, and lie above it."""
    pairs = [
        (a.seat_bur_mm or 0, (a.seat_go_mm or 0) + 0.01) for a in WHOLE if a.seat_go_mm is not None
    ]
    burs, seats = zip(*pairs, strict=True)
    assert correlation(burs, seats) > 0.98
    assert 0.05 < mean(seats) - mean(burs) < 0.12


@pytest.mark.parametrize(
    ("name", "field", "bad", "defect"),
    [
        ("Tove Lindmark", "ledge", {"clearly wider one side", "slightly wider one side"}, "tilted"),
        ("Rashid Benkara", "lubricant", {"none"}, "marred"),
        ("Mei Hanakawa", "punch", {"steel"}, "chipped"),
        ("Jorge Villaseca", "fit_checks", {"0", "1-2"}, "high"),
        ("Sanna Kivelä", "metal_state", {"worked"}, "loose"),
        ("Pradeep Nallathambi", "speed_step", {"fast"}, "loose"),
    ],
)
def test_each_personal_habit_is_in_its_log(
    name: str, field: str, bad: set[str], defect: str
) -> None:
    """Over several classes the planted habit goes with its defect in that setter's log."""
    attempts = [a for seed in range(8) for a in _of(name, _class(seed))]
    known = [a for a in attempts if getattr(a, field) is not None]
    at_fault = [a for a in known if getattr(a, field) in bad]
    others = [a for a in known if getattr(a, field) not in bad]
    assert len(at_fault) > 20
    assert _rate(at_fault, defect) > 1.5 * _rate(others, defect)
    assert any(p.setter == name and p.defect == defect for p in CLASS.truth)


def test_progress_can_be_told_for_everyone() -> None:
    """Everyone has counted settings and is at work at some grade."""
    for attempts in CLASS.attempts_by_setter.values():
        shown = progress(COURSE, attempts, today=CLASS.today)
        assert shown.settings >= 32
        assert shown.days_since_practice is not None
        assert shown.days_since_practice < 40
        assert "practised" in {g.state for g in shown.grades}


@pytest.mark.slow
def test_findings_find_the_common_habit_and_a_personal_one() -> None:
    """Wide seats in one log, the leaning spindle in its own."""
    wide = {"clearance_mm", "fit", "undersize_mm", "runout", "speed_step"}
    found = find([*_of("Gwenllian Prosser")], course=COURSE).findings
    assert any(f.variable in wide and f.defect == "loose" for f in found)
    found = find([*_of("Tove Lindmark")], course=COURSE).findings
    leaning = {("ledge", "tilted"), ("support", "tilted")}
    assert leaning & {(f.variable, f.defect) for f in found}
