"""How a class did in one term so far, to be laid beside another term after as many weeks.

Everyone's judged whole settings of the days they were in the class count, and the grades they
passed in them. People differ, and one person's settings are alike, so that the band of the share
good comes from how far people lie apart: a ratio over people (Cochran, Sampling Techniques, 1977,
chapter 9A, from memory) with each person left out once, Student's t of one less than people, on the
scale of log odds; or it is Wilson's where that is wider. The band of grades passed a head is
Student's t over people. How often both hold: docs/measured.md. With one person there is no band of
theirs, and with nobody, or nothing counted, no answer. Two terms may have people in common, and
nobody was drawn by lot into either: what lies apart is seen, and not explained.
"""

from collections.abc import Iterable
from datetime import date
from math import exp, log

from platebook.analysis.grades.way_up import WayUp
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.analysis.models.intervals import Interval, wilson
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.records import SignOff, within
from platebook.trade.measuring.tool_checks import coverage
from platebook.values import Value

WITHIN = 0.95
"""The share that a band holds."""


class PersonsTerm(Value):
    """What one person did in a term: settings judged and good, grades passed in it."""

    good: int
    of: int
    passed: int


class TermSoFar(Value):
    """A class after so many weeks: people, settings, the share good and grades passed a head.

    `practised` are those of the `people` with a setting that was judged. Shares and bands are None
    where nothing was counted, and the band of grades passed where there is one person.
    """

    people: int
    practised: int
    good: int
    of: int
    share: float | None
    low: float | None
    high: float | None
    passed: int
    passed_a_head: float | None
    passed_low: float | None
    passed_high: float | None


def in_term(
    course: Course,
    attempts: Iterable[Attempt],
    sign_offs: Iterable[SignOff],
    first: date,
    last: date,
) -> PersonsTerm:
    """What one person did from the first day to the last; attempts without a day are left out."""
    dated = [attempt for attempt in attempts if attempt.began is not None]
    signed = tuple(sign_offs)
    judged = [s for s in whole_settings(course, dated) if s.day and within(s.day, first, last)]
    before, by_then = (
        _passed(course, dated, signed, day, inclusive=inclusive)
        for day, inclusive in ((first, False), (last, True))
    )
    good = sum(not setting.failed for setting in judged)
    return PersonsTerm(good, len(judged), len(by_then - before))


def _passed(
    course: Course,
    attempts: Iterable[Attempt],
    sign_offs: Iterable[SignOff],
    day: date,
    *,
    inclusive: bool,
) -> frozenset[str]:
    """The grades that are passed at the end of a day, or at its beginning."""

    def so_far(moment: date) -> bool:
        return moment <= day if inclusive else moment < day

    known = [a for a in attempts if a.began is not None and so_far(a.began.date())]
    signed = [s for s in sign_offs if s.signed is None or so_far(s.signed.date())]
    counters = WayUp.of(course, known, signed).counters
    return frozenset(g.id for g in course.grades if counters.is_passed(g.id))


def term_so_far(people: Iterable[PersonsTerm]) -> TermSoFar:
    """The class, from what each of its people did."""
    everyone = tuple(people)
    good, of = sum(p.good for p in everyone), sum(p.of for p in everyone)
    band = _band(everyone) if of else None
    passed = [p.passed for p in everyone]
    heads = _mean_band(passed)
    return TermSoFar(
        people=len(everyone),
        practised=sum(p.of > 0 for p in everyone),
        good=good,
        of=of,
        share=good / of if of else None,
        low=None if band is None else band.low,
        high=None if band is None else band.high,
        passed=sum(passed),
        passed_a_head=sum(passed) / len(passed) if passed else None,
        passed_low=None if heads is None else heads.low,
        passed_high=None if heads is None else heads.high,
    )


def _band(people: tuple[PersonsTerm, ...]) -> Interval:
    """The wider of what settings alone say and what the people say, who lie apart."""
    counted = [p for p in people if p.of]
    good, of = sum(p.good for p in counted), sum(p.of for p in counted)
    plain = wilson(good, of)
    if len(counted) < 2:
        return plain
    share, count = good / of, len(counted)
    # Each residual as if the person had not pulled the share towards themselves (leave one out).
    apart = ((p.good - share * p.of) / (1 - p.of / of) for p in counted)
    error = (sum(residual**2 for residual in apart) * (count - 1) / count) ** 0.5 / of
    # On the scale of log odds, where a share near all or none has room on its one side only.
    middle = (good + 0.5) / (of + 1)
    centre = log(middle / (1 - middle))
    half = coverage(WITHIN, count - 1) * error / (middle * (1 - middle))
    low, high = (1 / (1 + exp(-min(max(end, -50), 50))) for end in (centre - half, centre + half))
    return Interval(min(plain.low, low), max(plain.high, high))


def _mean_band(counts: list[int]) -> Interval | None:
    if len(set(counts)) < 2:
        # One person, or all alike: how far people lie apart is not seen.
        return None
    mean = sum(counts) / len(counts)
    spread = sum((count - mean) ** 2 for count in counts) / (len(counts) - 1)
    half = coverage(WITHIN, len(counts) - 1) * (spread / len(counts)) ** 0.5
    return Interval(max(0.0, mean - half), mean + half)
