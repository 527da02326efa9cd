"""Simulated learners: people whose hidden skill grows with practice, each kind in its own way.

| kind | how it learns |
|---|---|
| `PowerLaw` | each skill by the logarithm of its own practice |
| `Tracing` | skills are mastered or not, grade after grade, and forgotten between evenings |
| `ChallengePoint` | most where about half succeeds, hardly where it is too easy or too hard |
| `Prerequisites` | a later step hardly grows before the earlier ones are in place |
| `ErrorDriven` | from what went wrong, hardly from what went well |
| `Saturating` | toward what the grade has to teach, with some lost between evenings |

Learners differ in speed by about half, and from a task that nearly always fails all learn little.
A skill succeeds by its own chance, a whole setting when all skills do. What is seen of a failure is
a defect drawn by the defect-to-skill table read backwards, with a share that misleads. None of this
is claimed of real people: a rule that works on one kind only is not worth having.
"""

import copy
from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

import numpy as np
from numpy.typing import NDArray

from platebook.advice.defect_skills import SKILLS, TableRow, table_rows
from platebook.practice.attempt import Attempt

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]

HARDER = 0.9
"""Log odds by which each skill is harder at the next grade."""

_TO_TEACH = 4.2
"""Log odds of success up to which practice at a grade can bring a skill there."""

_WEAKER = 1.6
"""Log odds by which the weak skill of an uneven learner starts lower."""

MISLEADS = 0.15
"""Share of defects that are drawn without regard to the skill that failed."""


OVERLOAD = 0.3
"""Chance of success below which a task teaches less and less (the challenge-point idea)."""


def _not_overloaded(chance: float) -> float:
    return 0.15 + 0.85 * min(1.0, chance / OVERLOAD)


def _logistic(x: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-x)))


class Learner(ABC):
    """One learner; grades are counted from 0. `uneven` gives one skill a lower start."""

    name: ClassVar[str]
    part_gain: ClassVar[float] = 4.0
    """How much more a part exercise brings its skill than a whole setting of seven skills does."""

    def __init__(self, rng: np.random.Generator, *, uneven: bool) -> None:
        self.rng = rng
        self.speed = float(np.exp(rng.normal(0, 0.45)))
        self.level = rng.normal(1.8, 0.3) + rng.normal(0, 0.25, len(SKILLS))
        if uneven:
            self.level[rng.integers(len(SKILLS))] -= _WEAKER

    def chances(self, grade: int) -> Floats:
        """Chance of each skill to succeed at a grade."""
        return _logistic(self.level - HARDER * grade)

    def success(self, grade: int) -> float:
        """Chance of a whole setting to come out good at a grade."""
        return float(np.prod(self.chances(grade)))

    def set_whole(self, grade: int) -> Truths:
        """One whole setting: which skills succeeded. Learns from it."""
        chances = self.chances(grade)
        held = self.rng.random(len(SKILLS)) < chances
        chance = float(np.prod(chances))
        self.learn(grade, np.full(len(SKILLS), _not_overloaded(chance)), held, chance)
        return held

    def do_part(self, skill: int, grade: int) -> bool:
        """One part exercise: whether it came out good. Learns from it."""
        chances = self.chances(grade)
        held = self.rng.random(len(SKILLS)) < chances
        practice = np.zeros(len(SKILLS))
        chance = float(chances[skill])
        practice[skill] = self.part_gain * _not_overloaded(chance)
        self.learn(grade, practice, held, chance)
        return bool(held[skill])

    def outlook(self, weights: Sequence[float]) -> float:
        """How near the learner is to competence: log chances of all grades, weighted."""
        pairs = enumerate(weights)
        return sum(weight * float(np.log(self.chances(grade)).sum()) for grade, weight in pairs)

    def outlook_after(self, grade: int, skill: int | None, weights: Sequence[float]) -> float:
        """The outlook to expect after a whole setting or a part, from two trials by a twin."""
        total = 0.0
        for _ in range(2):
            twin = self.twin(np.random.default_rng(self.rng.integers(2**32)))
            if skill is None:
                twin.set_whole(grade)
            else:
                twin.do_part(skill, grade)
            total += twin.outlook(weights)
        return total / 2

    @abstractmethod
    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """Grow by practice of each skill at a grade; `chance` was that of the whole task."""

    def rest(self) -> None:  # noqa: B027 - most kinds lose nothing
        """The week between two evenings."""

    def twin(self, rng: np.random.Generator) -> Self:
        """A copy in the same state that goes its own way with its own chance."""
        twin = copy.copy(self)
        for name, value in vars(self).items():
            if isinstance(value, np.ndarray):
                setattr(twin, name, value.copy())
        twin.rng = rng
        return twin


class PowerLaw(Learner):
    """Gains fall off with practice, whatever the grade, and less is gained far from one's level."""

    name = "power law by skill"

    def __init__(self, rng: np.random.Generator, *, uneven: bool) -> None:
        super().__init__(rng, uneven=uneven)
        self._done = np.full(len(SKILLS), 6.0)

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """Level moves by 1.8 times the logarithm of practice, by this learner's speed."""
        del grade, held
        worth = practice * (0.3 + 0.7 * (chance < 0.9))
        self.level += 1.8 * self.speed * (np.log(self._done + worth) - np.log(self._done))
        self._done += worth


class Tracing(Learner):
    """Each skill is mastered at each grade or not."""

    name = "knowledge tracing with forgetting"
    grades: ClassVar[int] = 4

    def __init__(self, rng: np.random.Generator, *, uneven: bool) -> None:
        super().__init__(rng, uneven=uneven)
        self.mastered = np.zeros((len(SKILLS), self.grades), dtype=bool)
        self.mastered[:, 0] = rng.random(len(SKILLS)) < 0.5
        self._quick = np.full(len(SKILLS), 0.14 * self.speed)
        if uneven:
            self._quick[rng.integers(len(SKILLS))] *= 0.3

    def chances(self, grade: int) -> Floats:
        """A mastered skill succeeds with chance 0.98, any other with 0.72."""
        return np.where(self.mastered[:, grade], 0.98, 0.72)

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """A grade can be mastered once the one below is; mastering it helps the one below too."""
        del held, chance
        gained = self.rng.random(len(SKILLS)) < self._chances_to_master(grade, practice)
        self.mastered[gained, : grade + 1] = True

    def _chances_to_master(self, grade: int, practice: Floats) -> Floats:
        ready = self.mastered[:, grade - 1] if grade else np.ones(len(SKILLS), dtype=bool)
        return np.clip(self._quick * practice * np.where(ready, 1.0, 0.3), 0, 1)

    def outlook_after(self, grade: int, skill: int | None, weights: Sequence[float]) -> float:
        """The expected outlook in closed form: two trials would seldom show a skill mastered."""
        chances = self.chances(grade)
        practice = np.zeros(len(SKILLS))
        if skill is None:
            practice[:] = _not_overloaded(float(np.prod(chances)))
        else:
            practice[skill] = self.part_gain * _not_overloaded(float(chances[skill]))
        new = ~self.mastered[:, : grade + 1] * np.asarray(weights)[: grade + 1]
        gain = new.sum(axis=1) * np.log(0.98 / 0.72)
        return float(
            self.outlook(weights) + (self._chances_to_master(grade, practice) * gain).sum()
        )

    def rest(self) -> None:
        """The week between two evenings: each mastered skill is forgotten with chance 0.015."""
        self.mastered &= self.rng.random(self.mastered.shape) > 0.015


class ChallengePoint(Learner):
    """A task teaches most where it is neither easy nor hopeless for this learner."""

    name = "challenge point"

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """Grow by 4 p (1 - p) of the chance p of success: most at an even chance."""
        del grade, held
        self.level += 0.075 * self.speed * practice * (0.06 + 4 * chance * (1 - chance))


class Prerequisites(Learner):
    """Later skills wait for earlier ones; a grade limits what can be learned at it."""

    name = "transfer and prerequisites"

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """A step grows at a quarter while the step before it is unsure; a part helps neighbours."""
        del held, chance
        chances = self.chances(grade)
        before = np.concatenate(([1.0], chances[:-1]))
        spread = practice + 0.15 * (np.roll(practice, 1) + np.roll(practice, -1))
        room = np.clip(_TO_TEACH + HARDER * grade - self.level, 0, None)
        self.level += 0.035 * self.speed * spread * room * np.where(before < 0.80, 0.25, 1.0)


class ErrorDriven(Learner):
    """A skill is learned where it failed, and hardly where it held."""

    name = "error driven"

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """Grow by three tenths of a step where a skill failed, a fortieth where it held."""
        del chance
        room = np.clip(_TO_TEACH + 1.0 + HARDER * grade - self.level, 0, 1)
        self.level += self.speed * practice * room * np.where(held, 0.025, 0.30)


class Saturating(Learner):
    """Skills approach what the grade has to teach, and lose some of it each week."""

    name = "saturating with forgetting"

    def learn(self, grade: int, practice: Floats, held: Truths, chance: float) -> None:
        """Each practice closes 3 % of the gap, by this learner's speed."""
        del held, chance
        room = np.clip(_TO_TEACH + HARDER * grade - self.level, 0, None)
        self.level += 0.030 * self.speed * practice * room

    def rest(self) -> None:
        """The week between two evenings: every level sinks by a fiftieth."""
        self.level -= 0.02 * np.clip(self.level, 0, None)


KINDS: tuple[type[Learner], ...] = (
    PowerLaw,
    Tracing,
    ChallengePoint,
    Prerequisites,
    ErrorDriven,
    Saturating,
)


_SHOWN_AS: dict[str, dict[str, object]] = {
    "fit 5": {"fit": "drops in and moves"},
    "fit 2-4": {"fit": "enters tilted and snaps"},
    "fit 1-2": {"fit": "enters with a firm push"},
    "trial proud": {"trial_height": "proud"},
    "trial flush or under": {"trial_height": "flush"},
    "ledge uneven": {"ledge": "clearly wider one side"},
    "level before burnishing": {"ledge": "even", "levelled_by": "pressed"},
}


@dataclass(frozen=True, slots=True)
class Defects:
    """Draws the defect and reading that a failed skill shows as."""

    rows: tuple[TableRow, ...]
    weights: dict[int, Floats]

    @classmethod
    def by_table(cls) -> "Defects":
        """Read the defect-to-skill table backwards: by skill, the defects that show it failed."""
        rows = tuple(row for row in table_rows() if any(row.shares.values()))
        weights = {}
        for number, skill in enumerate(SKILLS):
            column = np.array([row.shares[skill] for row in rows])
            weights[number] = column / column.sum()
        return cls(rows, weights)

    def shown(self, failed: int, rng: np.random.Generator) -> Attempt:
        """What is recorded of a setting that failed at this skill."""
        misleads = rng.random() < MISLEADS
        weights = None if misleads else self.weights[failed]
        row = self.rows[int(rng.choice(len(self.rows), p=weights))]
        seen = _SHOWN_AS.get(row.read_before, {})
        return Attempt(result=(row.defect,), severity=(2,)).with_values(**seen)
