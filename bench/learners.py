# ruff: noqa: T201 - a script that prints
"""The next exercise on simulated learners: what the way up costs, passes and finds.

Run: python -m bench.learners [learners a cell] (default 40; 4 for a smoke run).

The learners are the kinds kept apart (`tests.simulated.crowds`), which no constant of the rule was
chosen on; with `chosen` behind the number those the constants were chosen on. Competent: a whole
setting at the last grade of the track comes out good 8 times in 10, by the hidden state.

No real rule sees the hidden state. `knows the state` is, for each cell of learners afterwards, the
best of three families that do, each with and without the part of a skill that stands clearly below
the others: work at the hardest grade that comes out good at least so often; work at the first grade
that comes out good less often than so; twelve a grade. It looks at no future and may be beaten.

The rule runs for all learners at once (`tests.simulated.way_up_crowd`), which a test proves equal
to the program's, attempt for attempt.
"""

import functools
import itertools
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from tests.simulated.crowds import (
    APART,
    CHOSEN_ON,
    GRADES,
    KEPT_APART,
    KINDS,
    Crowds,
    Failures,
    Floats,
    Ints,
    Kind,
    Nature,
    Truths,
)
from tests.simulated.way_up_crowd import AN_EVENING, WayUpCrowd

from platebook.advice.skill_traces import PARTS_IN_USE, PartRule
from platebook.analysis.grades.way_up import WAY_IN_USE, WayRule
from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.values import replace

SEED = 20260101
SEED_CHOSEN = 77
COMPETENT = 0.80
SURE = 0.85
CAP = 400
A_GRADE = 12
AFTERWARDS = 40
WITHIN = 80
LAST = GRADES - 1
BELOW_OTHERS = 0.15
AT_LEAST = (0.10, 0.20, 0.30, 0.40, 0.50, 0.65, 0.75, 0.85)
UNTIL = (0.35, 0.50, 0.65, 0.80, 0.90)
POINTS = tuple(g.points for g in load_course(shipped_course("small-to-large")).ladder())
FAILURES = Failures.by_table()


class Plan(Protocol):
    """Chooses a grade and a part (-1 for a whole setting) for each learner, and sees the result."""

    def offer(self, crowds: Crowds, number: int) -> tuple[Ints, Ints]:
        """What comes next; `number` counts the attempts from 0."""
        ...

    def see(self, grade: Ints, part: Ints, failure: Ints, good_part: Truths) -> None:
        """How it came out."""
        ...


class TwelveAGrade:
    """A fixed number of settings a grade, then the last one."""

    def __init__(self, count: int) -> None:
        self.count = count

    def offer(self, crowds: Crowds, number: int) -> tuple[Ints, Ints]:
        """The grade by the count alone."""
        del crowds
        return np.full(self.count, min(number // A_GRADE, LAST)), np.full(self.count, -1)

    def see(self, grade: Ints, part: Ints, failure: Ints, good_part: Truths) -> None:
        """A plan looks at nothing."""


class ByTheState(TwelveAGrade):
    """The hardest grade that comes out good so often, or the first that comes out less often."""

    def __init__(self, count: int, share: float, *, hardest: bool, parts: bool) -> None:
        super().__init__(count)
        self.share, self.hardest, self.parts = share, hardest, parts

    def offer(self, crowds: Crowds, number: int) -> tuple[Ints, Ints]:
        """Every other time the part of a skill that is far below the others at that grade."""
        grade = np.full(self.count, 0 if self.hardest else LAST)
        for place in range(1, GRADES) if self.hardest else range(LAST - 1, -1, -1):
            success = crowds.success(place)
            fits = success >= self.share if self.hardest else success < self.share
            grade = np.where(fits, place, grade)
        chances = crowds.chances(grade)
        stands_out = chances.min(axis=1) < np.median(chances, axis=1) - BELOW_OTHERS
        trains = stands_out & bool(self.parts and number % 2)
        return grade, np.where(trains, chances.argmin(axis=1), -1)


class ByRule:
    """The program's rule."""

    def __init__(
        self, count: int, way: WayRule = WAY_IN_USE, parts: PartRule = PARTS_IN_USE
    ) -> None:
        self.rule = WayUpCrowd(count, POINTS, way, parts, FAILURES)

    def offer(self, crowds: Crowds, number: int) -> tuple[Ints, Ints]:
        """What the rule offers."""
        del crowds, number
        return self.rule.offer()

    def see(self, grade: Ints, part: Ints, failure: Ints, good_part: Truths) -> None:
        """Log it."""
        self.rule.see(grade, part, failure, good_part)


@dataclass(frozen=True)
class Run:
    """What a plan came to; arrays have a row a learner, cells one after another.

    `attempts` until competent, `CAP` for never. `good` is the share of whole settings that came out
    good on the way. `held` says of those competent whether they hold every easier grade
    `AFTERWARDS` attempts later. `passed_in` are the settings at a grade, from the first at which
    its hidden chance is `SURE`, until it is passed; -1 for never. `there` are those made there.
    """

    attempts: Floats
    good: Floats
    held: Floats
    passed_in: Ints
    there: Ints


def run(crowds: Crowds, plan: Plan) -> Run:
    """`CAP` attempts of every learner by the plan; a week passes between evenings."""
    count = len(crowds)
    attempts, held = np.full(count, float(CAP)), np.full(count, np.nan)
    good, whole = np.zeros(count), np.zeros(count)
    settings = np.zeros((count, GRADES), dtype=np.int64)
    sure_from = np.full((count, GRADES), -1)
    passed_in = np.full((count, GRADES), -1)
    rows = np.arange(count)
    rule = plan.rule if isinstance(plan, ByRule) else None
    for number in range(CAP):
        attempts[(attempts == CAP) & (crowds.success(LAST) >= COMPETENT)] = number
        if rule is None and (attempts < CAP).all():
            break
        if number and number % AN_EVENING == 0:
            crowds.rest()
        if rule is not None:
            due = (attempts < CAP) & (attempts + AFTERWARDS == number)
            held[due] = rule.passed[due][:, :LAST].all(axis=1)
            for place in range(GRADES):
                sure = (crowds.success(place) >= SURE) & (sure_from[:, place] < 0)
                sure &= ~rule.passed[:, place]
                sure_from[sure, place] = settings[sure, place]
        grade, part = plan.offer(crowds, number)
        held_skills = crowds.do(grade, part, place=number % AN_EVENING)
        failure = FAILURES.draw(held_skills, crowds.misleads, crowds.rng)
        is_whole = part < 0
        on_the_way = is_whole & (attempts == CAP)
        good += on_the_way & (failure < 0)
        whole += on_the_way
        part_held = held_skills[rows, np.maximum(part, 0)]
        plan.see(grade, part, np.where(is_whole, failure, -1), part_held)
        settings[rows[is_whole], grade[is_whole]] += 1
        if rule is not None:
            newly = rule.passed & (sure_from >= 0) & (passed_in < 0)
            passed_in = np.where(newly, settings - sure_from, passed_in)
    there = np.where(sure_from >= 0, settings - sure_from, 0)
    return Run(attempts, good / np.maximum(whole, 1), held, passed_in, there)


Cells = Mapping[str, Kind]


@dataclass(frozen=True)
class Learners:
    """Kinds with natures, so many a cell, from a seed: the same learners for every plan."""

    kinds: Cells
    natures: Sequence[Nature]
    each: int
    seed: int

    def run(self, make: Callable[[int], Plan]) -> Run:
        """All of them by one plan."""
        crowds = Crowds(list(self.kinds.values()), self.natures, self.each, self.seed)
        return run(crowds, make(len(crowds)))

    def by_cell(self, values: Floats) -> Floats:
        """The values with a row a cell."""
        return values.reshape(-1, self.each)

    def by_kind(self, values: Floats) -> Floats:
        """Values a cell as means a kind."""
        return np.asarray(values.reshape(len(self.kinds), -1).mean(axis=1))


def knowing(learners: Learners) -> Floats:
    """Attempts of the one who knows the state: the best by cell, chosen afterwards."""
    best = learners.by_cell(learners.run(TwelveAGrade).attempts)
    ways = [(True, share) for share in AT_LEAST] + [(False, share) for share in UNTIL]
    for (hardest, share), parts in itertools.product(ways, (False, True)):
        plan = functools.partial(ByTheState, share=share, hardest=hardest, parts=parts)
        other = learners.by_cell(learners.run(plan).attempts)
        better = other.mean(axis=1) < best.mean(axis=1)
        best = np.where(better[:, None], other, best)
    return best


def _ratios(learners: Learners, top: Floats, bottom: Floats) -> tuple[float, float, float, str]:
    """Mean ratio over cells with its Monte Carlo error, and the worst kind's with its name."""
    top = learners.by_cell(top)
    ratio = top.mean(axis=1) / bottom.mean(axis=1)
    spread = np.std(top - ratio[:, None] * bottom, axis=1, ddof=1) / bottom.mean(axis=1)
    error = float(np.sqrt((spread**2 / learners.each).sum()) / len(ratio))
    kinds = learners.by_kind(ratio)
    worst = int(kinds.argmax())
    return float(ratio.mean()), error, float(kinds[worst]), list(learners.kinds)[worst]


RULES: dict[str, tuple[WayRule, PartRule]] = {
    "in use": (WAY_IN_USE, PARTS_IN_USE),
    "without re-tests": (replace(WAY_IN_USE, row=0), PARTS_IN_USE),
    "one grade ahead": (replace(WAY_IN_USE, ahead=1), PARTS_IN_USE),
    "any grade ahead, no rows": (replace(WAY_IN_USE, ahead=LAST, row=0), PARTS_IN_USE),
    "two good ones move up, any grade ahead, no rows": (
        replace(WAY_IN_USE, up=0.55, down=0.12, moved=0.4, start=0.4, ahead=LAST, row=0),
        PARTS_IN_USE,
    ),
    "without parts": (WAY_IN_USE, replace(PARTS_IN_USE, trouble=9.0)),
    "parts in rows of 3, 2 to pass": (WAY_IN_USE, replace(PARTS_IN_USE, row=3, pass_at=2)),
    "parts in rows of 5, 3 to pass": (WAY_IN_USE, replace(PARTS_IN_USE, row=5, pass_at=3)),
    "parts in rows of 5, 4 to pass": (WAY_IN_USE, replace(PARTS_IN_USE, row=5, pass_at=4)),
    "one part an evening": (WAY_IN_USE, replace(PARTS_IN_USE, an_evening=1)),
}


def print_rules(learners: Learners) -> None:
    """A line a rule: to the knowing one, to twelve a grade, and the share that comes out good."""
    known = knowing(learners)
    fixed = learners.by_cell(learners.run(TwelveAGrade).attempts)
    mean, error, worst, _ = _ratios(learners, known.ravel(), fixed)
    print(f"knows the state: / twelve a grade {mean:.2f} ± {error:.2f} (worst kind {worst:.2f})")
    for title, (way, parts) in RULES.items():
        done = learners.run(functools.partial(ByRule, way=way, parts=parts))
        to_knowing = _ratios(learners, done.attempts, known)
        to_fixed = _ratios(learners, done.attempts, fixed)
        worst_kind = f"worst {to_fixed[2]:.2f}, {to_fixed[3]}"
        low, high = np.quantile(done.good, (0.25, 0.75))
        print(
            f"{title:48s} / knowing {to_knowing[0]:.2f} ± {to_knowing[1]:.2f} (worst kind "
            f"{to_knowing[2]:.2f}, {to_knowing[3]})  / twelve a grade {to_fixed[0]:.2f} ± "
            f"{to_fixed[1]:.2f} ({worst_kind})  good {low:.2f} to {high:.2f}"
        )
        if title == "in use":
            _print_passing(done)
            ratio = learners.by_cell(done.attempts).mean(axis=1) / known.mean(axis=1)
            for kind, value in zip(learners.kinds, learners.by_kind(ratio), strict=True):
                print(f"    {kind:26s} {value:.2f}")


def _print_passing(done: Run) -> None:
    judged = (done.passed_in >= 0) | (done.there >= WITHIN)
    passed = (done.passed_in[judged] >= 0) & (done.passed_in[judged] <= WITHIN)
    held = done.held[~np.isnan(done.held)]
    print(f"    passed within {WITHIN} there at {SURE:.0%}: {_share(passed)}")
    print(f"    hold every easier grade {AFTERWARDS} later: {_share(held)}")


def _share(values: Floats | Truths) -> str:
    share = float(np.mean(values)) if len(values) else float("nan")
    error = (share * (1 - share) / max(len(values), 1)) ** 0.5
    return f"{share:.3f} ± {error:.3f} of {len(values)}"


def _constant(chances: Sequence[float], learners: int, attempts: int, seed: int) -> WayUpCrowd:
    """Learners who never change, by the rule in use; parts come out good 8 times in 10."""
    rng, rule = np.random.default_rng(seed), WayUpCrowd(learners, POINTS, failures=FAILURES)
    for _ in range(attempts):
        _one(rule, np.broadcast_to(np.array(chances), (learners, GRADES)), rng)
    return rule


def _one(rule: WayUpCrowd, chances: Floats, rng: np.random.Generator) -> tuple[Ints, Truths]:
    grade, part = rule.offer()
    count = len(grade)
    good = rng.random(count) < np.where(part < 0, chances[rule.rows, grade], 0.8)
    row = rng.integers(len(FAILURES.shown), size=count)
    rule.see(grade, part, np.where((part < 0) & ~good, row, -1), good)
    return grade, part < 0


PLATEAUS = ((0.79, 0.70, 0.58, 0.43), (0.92, 0.86, 0.74, 0.55), (0.95, 0.90, 0.88, 0.86))


def print_plateaus(learners: int) -> None:
    """What those pass who learn no more, and how much of an evening comes out good."""
    for chances in PLATEAUS:
        rule = _constant(chances, learners, 320, SEED)
        shares = " ".join(f"{share:.2f}" for share in rule.passed.mean(axis=0))
        print(f"plateau {chances}: passed after 320 attempts {shares}")
    rule = _constant((0.5, 0.5, 0.5, 0.35), learners, 60, SEED)
    wrongly = np.asarray(rule.passed.any(axis=1))
    print(f"a setter at p1 of every grade passes one within 60 attempts: {_share(wrongly)}")


def print_slipping(learners: int) -> None:
    """Settings at a passed grade, from the day its failure rate doubles, until it is seen."""
    rng, rule = np.random.default_rng(SEED), WayUpCrowd(learners, POINTS, failures=FAILURES)
    before, after = np.array([0.8, 0.6, 0.5, 0.4]), np.array([0.6, 0.6, 0.5, 0.4])
    there, seen = np.zeros(learners), np.full(learners, np.nan)
    weeks, settings = np.full(learners, np.nan), np.zeros(learners)
    doubled = np.full(learners, -1)
    for number in range(1600):
        begun = (doubled < 0) & rule.passed[:, 0] & (number % AN_EVENING == 0)
        doubled[begun & (number >= 10 * AN_EVENING)] = number
        chances = np.where((doubled >= 0)[:, None], after, before)
        grade, whole = _one(rule, chances, rng)
        watched = (doubled >= 0) & np.isnan(seen)
        there += watched & whole & (grade == 0)
        found = watched & ~rule.passed[:, 0]
        seen[found] = there[found]
        weeks[found] = (number - doubled[found]) / AN_EVENING
        settings += whole
    known = ~np.isnan(seen)
    error = float(np.std(seen[known]) / known.sum() ** 0.5)
    print(
        f"a doubled failure rate is seen after {seen[known].mean():.1f} ± {error:.1f} settings "
        f"there, {np.median(weeks[known]):.0f} weeks at the median ({known.mean():.0%} of "
        f"{learners}); re-tests take {rule.retest_settings.sum() / settings.sum():.1%} of settings"
    )


def main(each: int, *, chosen: bool) -> None:
    """Print the tables."""
    began = time.perf_counter()
    kinds, natures = (KINDS, CHOSEN_ON) if chosen else (KEPT_APART, APART)
    learners = Learners(kinds, natures, each, SEED_CHOSEN if chosen else SEED)
    told = "that constants were chosen on" if chosen else "kept apart"
    print(f"{len(kinds)} kinds of learners {told}, {len(natures)} natures, {each} a cell.")
    print_rules(learners)
    print_plateaus(50 * each)
    print_slipping(10 * each)
    print(f"{time.perf_counter() - began:.0f} s", file=sys.stderr)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40, chosen="chosen" in sys.argv[2:])
