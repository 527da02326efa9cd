# ruff: noqa: T201 - a script that prints
"""The next exercise on simulated learners: attempts to competence, against other rules.

Run: python -m bench.learners [learners a kind] (default 200; 20 for a smoke run).

Competent: a whole setting at the last grade of the track comes out good 8 times in 10, by the
learner's hidden state. Each kind of learner comes even and with one weak skill.

No real rule sees the hidden state. `one step ahead` does what raises that chance most at the next
attempt, which is blind to what pays later. `at a chance of` works at the hardest grade at which the
learner's true chance is at least so much, with the part of a skill that stands clearly below the
others. `knows the state` is the best of all these for each kind of learner, chosen afterwards.
"""

import contextlib
import functools
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import tests.simulated.learners as learners_module
from tests.simulated.learners import KINDS, Defects, Learner

from platebook.advice.defect_skills import SKILLS
from platebook.advice.replay import Replay
from platebook.advice.skill_traces import PARTS_IN_USE, PartRule
from platebook.analysis.grades.way_up import WAY_IN_USE, WayRule
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.course_file import load_course, shipped_course
from platebook.practice.defects import GOOD, MISSED

SEED = 20260101
COMPETENT = 0.80
CAP = 400
AN_EVENING = 8
A_GRADE = 12
BEGAN = datetime(2026, 1, 8, 18, 30, tzinfo=UTC)
CHANCES = (0.10, 0.20, 0.30, 0.40, 0.50, 0.65)
BELOW_OTHERS = 0.15
CELLS = [(kind, uneven) for kind in range(len(KINDS)) for uneven in (False, True)]
DEFECTS = Defects.by_table()

Choice = tuple[int, int | None]
"""A grade counted from 0, and a skill for a part exercise."""


def _track() -> Course:
    course = load_course(shipped_course("small-to-large"))
    return course.model_copy(update={"grades": course.ladder()})


COURSE = _track()
LAST = len(COURSE.grades) - 1


WEIGHTS = (*(0.3 for _ in range(LAST)), 1.0)
"""What the grades count for the one who knows the state: the last most, the way there too."""


class Plan:
    """A fixed number of settings a grade, then the last one."""

    def choose(self, learner: Learner, number: int) -> Choice:
        """The grade by the count alone."""
        del learner
        return min(number // A_GRADE, LAST), None

    def see(self, choice: Choice, attempt: Attempt) -> None:
        """A plan looks at nothing."""


class Anything(Plan):
    """A random grade each time."""

    def choose(self, learner: Learner, number: int) -> Choice:
        """Any grade."""
        del number
        return int(learner.rng.integers(LAST + 1)), None


class Knowing(Plan):
    """The best of all choices one step ahead, by the hidden state."""

    def choose(self, learner: Learner, number: int) -> Choice:
        """What brings the last grade's log chance up most."""
        del number
        choices: list[Choice] = [(g, None) for g in range(LAST + 1)]
        choices += [(g, s) for g in range(LAST + 1) for s in range(len(SKILLS))]
        return max(choices, key=lambda c: learner.outlook_after(c[0], c[1], WEIGHTS))


class AtChance(Plan):
    """The hardest grade that comes out good at least so often, by the hidden state."""

    def __init__(self, least: float, *, parts: bool) -> None:
        self.least = least
        self.parts = parts

    def choose(self, learner: Learner, number: int) -> Choice:
        """Every other time the part of a skill that is far below the others at that grade."""
        reached = (g for g in range(LAST, 0, -1) if learner.success(g) >= self.least)
        grade = next(reached, 0)
        chances = learner.chances(grade)
        weakest = int(np.argmin(chances))
        stands_out = chances[weakest] < np.median(chances) - BELOW_OTHERS
        return grade, weakest if self.parts and number % 2 and stands_out else None


class ByRule(Plan):
    """The program's rule, by replay."""

    def __init__(self, parts: PartRule = PARTS_IN_USE, way: WayRule = WAY_IN_USE) -> None:
        self.replay = Replay(COURSE, parts, way_rule=way)
        self._ids = [g.id for g in COURSE.grades]

    def choose(self, learner: Learner, number: int) -> Choice:
        """What the rule offers this evening."""
        del learner
        offer = self.replay.offer(_began(number).date())
        part = SKILLS.index(offer.part) if offer.part in SKILLS else None
        return self._ids.index(offer.grade), part

    def see(self, choice: Choice, attempt: Attempt) -> None:
        """Log it."""
        del choice
        self.replay.log(attempt)


def _began(number: int) -> datetime:
    weeks, place = divmod(number, AN_EVENING)
    return BEGAN + timedelta(weeks=weeks, minutes=15 * place)


def _do(learner: Learner, choice: Choice) -> Attempt:
    grade, part = choice
    if part is not None:
        good = learner.do_part(part, grade)
        return Attempt(kind="part", part=SKILLS[part], result=(GOOD if good else MISSED,))
    held = learner.set_whole(grade)
    if held.all():
        return Attempt(result=(GOOD,))
    return DEFECTS.shown(int(learner.rng.choice(np.flatnonzero(~held))), learner.rng)


def step(learner: Learner, plan: Plan, number: int) -> None:
    """One attempt, counted from 0; a week passes between evenings."""
    if number and number % AN_EVENING == 0:
        learner.rest()
    choice = plan.choose(learner, number)
    done = _do(learner, choice)
    plan.see(choice, replace(done, began=_began(number), grade=COURSE.grades[choice[0]].id))


def attempts_to_competence(learner: Learner, plan: Plan) -> int:
    """Attempts until the hidden chance at the last grade is reached, at most `CAP`."""
    for number in range(CAP):
        if learner.success(LAST) >= COMPETENT:
            return number
        step(learner, plan, number)
    return CAP


PLAIN = replace(PARTS_IN_USE, begins_backwards=False, an_evening=None)
NO_ROWS = replace(WAY_IN_USE, row=0)
KNOWING = "knows the state"
ONE_STEP = "one step ahead"
BY_THE_STATE: dict[str, Callable[[], Plan]] = {ONE_STEP: Knowing} | {
    f"at a chance of {least:.2f}{', parts' if parts else ''}": functools.partial(
        AtChance, least, parts=parts
    )
    for least in CHANCES
    for parts in (False, True)
}
RULES: dict[str, Callable[[], Plan]] = {
    "fixed plan": Plan,
    "random grade": Anything,
    "way up alone": lambda: ByRule(replace(PLAIN, trouble=2.0), NO_ROWS),
    "way up and parts": lambda: ByRule(PLAIN, NO_ROWS),
    "+ rows at the evening's beginning": lambda: ByRule(PLAIN),
    "in use": ByRule,
}


def _measure(make: Callable[[], Plan], kind: int, *, uneven: bool, learners: int) -> np.ndarray:
    counts = []
    for number in range(learners):
        rng = np.random.default_rng((SEED, kind, int(uneven), number))
        counts.append(attempts_to_competence(KINDS[kind](rng, uneven=uneven), make()))
    return np.array(counts, dtype=float)


OTHERS: dict[str, dict[str, float]] = {
    "as they are": {},
    "each grade harder by 1.3": {"HARDER": 1.3},
    "each grade harder by 0.6": {"HARDER": 0.6},
    "overloaded below 0.5": {"OVERLOAD": 0.5},
    "defects mislead in 0.4": {"MISLEADS": 0.4},
}
"""Learners that no constant of the rule was chosen on."""


@contextlib.contextmanager
def _as_others(constants: dict[str, float]) -> Iterator[None]:
    """Learners with other constants for as long as this lasts."""
    kept = {name: getattr(learners_module, name) for name in constants}
    for name, value in constants.items():
        setattr(learners_module, name, value)
    try:
        yield
    finally:
        for name, value in kept.items():
            setattr(learners_module, name, value)


def print_others(learners: int) -> None:
    """The rule in use to the fixed plan, on other learners."""
    print("\nOn other learners, / fixed plan (worst of 12 cells)")
    for title, constants in OTHERS.items():
        with _as_others(constants):
            fixed = _all_cells(Plan, learners)
            mean, error, worst, its = _beside(_all_cells(ByRule, learners), fixed)
        print(f"{title:30s} in use {mean:5.2f} ± {error:.2f} ({worst:.2f} ± {its:.2f})")


def _all_cells(make: Callable[[], Plan], learners: int) -> list[np.ndarray]:
    return [_measure(make, k, uneven=u, learners=learners) for k, u in CELLS]


def _beside(cells: list[np.ndarray], base: list[np.ndarray]) -> tuple[float, float, float, float]:
    """Mean ratio over cells with its error, and the worst cell's with its own."""
    pairs = [_ratio(a[: len(b)], b[: len(a)]) for a, b in zip(cells, base, strict=True)]
    mean = float(np.mean([r for r, _ in pairs]))
    error = float(np.sqrt(np.sum([e**2 for _, e in pairs])) / len(pairs))
    return mean, error, *max(pairs)


def _ratio(top: np.ndarray, bottom: np.ndarray) -> tuple[float, float]:
    """Ratio of two means and its Monte Carlo standard error (paired, delta method)."""
    ratio = top.mean() / bottom.mean()
    error = np.std(top - ratio * bottom, ddof=1) / bottom.mean() / len(top) ** 0.5
    return float(ratio), float(error)


def main(learners: int) -> None:
    """Print the table."""
    taken: dict[str, list[np.ndarray]] = {}
    for name, make in (BY_THE_STATE | RULES).items():
        began = time.perf_counter()
        count = max(learners // 5, 10) if name == ONE_STEP else learners
        taken[name] = _all_cells(make, count)
        print(f"{name}: {time.perf_counter() - began:.0f} s", file=sys.stderr)
    by_the_state = [taken.pop(name) for name in BY_THE_STATE]
    best = [min(cell, key=np.mean) for cell in zip(*by_the_state, strict=True)]
    taken = {KNOWING: best, ONE_STEP: by_the_state[0]} | taken
    print(f"Attempts to competence, {learners} learners a cell, seed {SEED}; mean of 12 cells.")
    print(
        f"{'rule':30s} {'attempts':>8s}  {'/ knowing (worst)':>24s}  {'/ fixed plan (worst)':>24s}"
    )
    for name, cell in taken.items():
        columns = []
        for base in (KNOWING, "fixed plan"):
            mean, error, worst, its = _beside(cell, taken[base])
            columns.append(f"{mean:5.2f} ± {error:.2f} ({worst:.2f} ± {its:.2f})")
        print(
            f"{name:30s} {np.mean([c.mean() for c in cell]):8.1f}  "
            f"{columns[0]:>24s}  {columns[1]:>24s}"
        )
    print("\nBy learner: mean attempts")
    for place, (kind, uneven) in enumerate(CELLS):
        title = f"{KINDS[kind].name}{', one weak skill' if uneven else ''}"
        print(f"{title:50s} " + " ".join(f"{cell[place].mean():6.1f}" for cell in taken.values()))
    print_others(learners // 2)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
