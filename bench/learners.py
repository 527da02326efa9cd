# ruff: noqa: T201 - a script that prints
"""The next exercise on simulated learners: attempts to competence, against other rules.

Run: python -m bench.learners [learners a kind] (default 200; 20 for a smoke run).

Competent: a whole setting at the last grade of the track comes out good 8 times in 10, by the
learner's hidden state. Each kind of learner comes even and with one weak skill. `knows the state`
does what raises that chance most, one step ahead, which no real rule can.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from platebook.advice.blame import SKILLS
from platebook.advice.replay import Replay
from platebook.advice.rule import IN_USE, Rule
from platebook.demo.learners import KINDS, Defects, Learner
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.course_file import load_course
from platebook.practice.look import GOOD, MISSED
from platebook.practice.shipped import shipped_course

SEED = 20260101
COMPETENT = 0.80
CAP = 400
AN_EVENING = 8
A_GRADE = 12
BEGAN = datetime(2026, 1, 8, 18, 30, tzinfo=UTC)
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


class ByRule(Plan):
    """The program's rule, by replay."""

    def __init__(self, rule: Rule) -> None:
        self.replay = Replay(COURSE, rule)
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


PLAIN = replace(IN_USE, begins_backwards=False, parts_an_evening=None)
RULES: dict[str, Callable[[], Plan]] = {
    "knows the state": Knowing,
    "fixed plan": Plan,
    "random grade": Anything,
    "ladder alone": lambda: ByRule(replace(PLAIN, trouble=2.0)),
    "ladder and parts": lambda: ByRule(PLAIN),
    "+ begins backwards": lambda: ByRule(replace(PLAIN, begins_backwards=True)),
    "+ rows, 4 of 5": lambda: ByRule(replace(PLAIN, row=5, row_pass=4)),
    "+ rows, 8 of 10": lambda: ByRule(replace(PLAIN, row=10, row_pass=8)),
    "+ one part an evening": lambda: ByRule(replace(PLAIN, parts_an_evening=1)),
    "in use (backwards, one part)": lambda: ByRule(IN_USE),
}


def _measure(make: Callable[[], Plan], kind: int, *, uneven: bool, learners: int) -> np.ndarray:
    counts = []
    for number in range(learners):
        rng = np.random.default_rng((SEED, kind, int(uneven), number))
        counts.append(attempts_to_competence(KINDS[kind](rng, uneven=uneven), make()))
    return np.array(counts, dtype=float)


def _ratio(top: np.ndarray, bottom: np.ndarray) -> tuple[float, float]:
    """Ratio of two means and its Monte Carlo standard error (paired, delta method)."""
    ratio = top.mean() / bottom.mean()
    error = np.std(top - ratio * bottom, ddof=1) / bottom.mean() / len(top) ** 0.5
    return float(ratio), float(error)


def main(learners: int) -> None:
    """Print the table."""
    cells = [(k, u) for k in range(len(KINDS)) for u in (False, True)]
    taken: dict[str, list[np.ndarray]] = {}
    for name, make in RULES.items():
        began = time.perf_counter()
        count = max(learners // 5, 10) if name == "knows the state" else learners
        taken[name] = [_measure(make, k, uneven=u, learners=count) for k, u in cells]
        print(f"{name}: {time.perf_counter() - began:.0f} s", file=sys.stderr)
    print(f"Attempts to competence, {learners} learners a cell, seed {SEED}; mean of 12 cells.")
    print(
        f"{'rule':30s} {'attempts':>8s}  {'/ knowing (worst)':>24s}  {'/ fixed plan (worst)':>24s}"
    )
    for name, cell in taken.items():
        columns = []
        for base in ("knows the state", "fixed plan"):
            pairs = [
                _ratio(a[: len(b)], b[: len(a)]) for a, b in zip(cell, taken[base], strict=True)
            ]
            mean = float(np.mean([r for r, _ in pairs]))
            error = float(np.sqrt(np.sum([e**2 for _, e in pairs])) / len(pairs))
            worst = max(pairs)
            columns.append(f"{mean:5.2f} ± {error:.2f} ({worst[0]:.2f} ± {worst[1]:.2f})")
        print(
            f"{name:30s} {np.mean([c.mean() for c in cell]):8.1f}  "
            f"{columns[0]:>24s}  {columns[1]:>24s}"
        )
    print("\nBy learner: mean attempts")
    for place, (kind, uneven) in enumerate(cells):
        title = f"{KINDS[kind].name}{', one weak skill' if uneven else ''}"
        print(f"{title:50s} " + " ".join(f"{taken[name][place].mean():6.1f}" for name in RULES))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
