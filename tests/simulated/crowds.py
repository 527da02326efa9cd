"""Simulated learners, many at once: people whose hidden skill grows with practice, by kinds.

| kind | how it learns |
|---|---|
| `PowerLaw` | each skill by the logarithm of its own practice |
| `Tracing` | skills are mastered or not, grade after grade, and forgotten between evenings |
| `ChallengePoint` | most where about half succeeds, hardly where it is too easy or too hard |
| `Prerequisites` | a later step hardly grows before the earlier ones are in place |
| `ErrorDriven` | from what went wrong, hardly from what went well |
| `Saturating` | toward what the grade has to teach, with some lost between evenings |
| `Peak` | most where a given share of whole settings comes out good |
| `AllOrNothing` | a skill is mastered at a stroke, and only once it was below; nothing in between |
| `WeakestLink` | the weakest skill of a setting alone grows |
| `Tiring` | less and less in the course of an evening |

Learners differ in speed by about half, and from a task that nearly always fails all learn little.
A skill succeeds by its own chance, a whole setting when all skills do. What is seen of a failure is
a defect drawn by the defect-to-skill table read backwards, with a share that misleads. None of this
is claimed of real people: a rule that works on one kind only is not worth having.

All arrays have a row a learner; skills and grades are counted from 0.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platebook.advice.defect_skills import SKILLS, blame, table_rows
from platebook.practice.attempt import Attempt

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]
Ints = NDArray[np.int64]

GRADES = 4
OF_SKILLS = len(SKILLS)

_TO_TEACH = 4.2
"""Log odds of success up to which practice at a grade can bring a skill there."""

_WEAKER = 1.6
"""Log odds by which the weak skill of an uneven learner starts lower."""

OVERLOAD = 0.3
"""Chance of success below which a task teaches less and less (the challenge-point idea)."""


def _logistic(x: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-x)))


@dataclass(frozen=True, slots=True)
class Nature:
    """What a cell of learners has in common beside its kind.

    `part_gain` is how much more a part exercise brings its skill than a whole setting does: with 4
    a whole setting is worth a quarter of it. `harder` are the log odds by which each skill is
    harder at the next grade; `misleads` is the share of defects drawn without regard to the skill
    that failed.
    """

    uneven: bool = False
    part_gain: float = 4.0
    harder: float = 0.9
    misleads: float = 0.15


class Crowd(ABC):
    """Many learners of one kind, as many of each nature, in the order of the natures."""

    def __init__(self, each: int, natures: Sequence[Nature], rng: np.random.Generator) -> None:
        count = each * len(natures)
        self.rng = rng
        self.rows = np.arange(count)
        self.uneven = np.repeat([n.uneven for n in natures], each)
        self.part_gain = np.repeat([n.part_gain for n in natures], each)
        self.harder = np.repeat([n.harder for n in natures], each)[:, None]
        self.speed = np.exp(rng.normal(0, 0.45, (count, 1)))
        self.level = rng.normal(1.8, 0.3, (count, 1)) + rng.normal(0, 0.25, (count, OF_SKILLS))
        weak = rng.integers(OF_SKILLS, size=count)
        self.level[self.rows, weak] -= _WEAKER * self.uneven

    def chances(self, grade: Ints) -> Floats:
        """Chance of each skill to succeed at a grade; shape (learners, skills)."""
        return _logistic(self.level - self.harder * grade[:, None])

    def success(self, grade: int) -> Floats:
        """Chance of a whole setting to come out good at a grade."""
        return np.asarray(self.chances(np.full(len(self.rows), grade)).prod(axis=1))

    def do(self, grade: Ints, part: Ints, *, place: int) -> Truths:
        """One attempt each: which skills held. `part` is -1 for a whole setting. Learns from it.

        `place` counts the attempts of the evening from 0.
        """
        chances = self.chances(grade)
        held = np.asarray(self.rng.random(chances.shape) < chances)
        of_part = part >= 0
        chance = np.where(of_part, chances[self.rows, part], chances.prod(axis=1))
        worth = 0.15 + 0.85 * np.minimum(1.0, chance / OVERLOAD)
        practice = np.repeat(worth[:, None], OF_SKILLS, axis=1)
        practice[of_part] = 0.0
        practice[self.rows[of_part], part[of_part]] = (self.part_gain * worth)[of_part]
        self.learn(grade, practice, held, chance[:, None], place)
        return held

    @abstractmethod
    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Grow by practice of each skill at a grade; `chance` was that of the whole task."""

    def rest(self) -> None:  # noqa: B027 - most kinds lose nothing
        """The week between two evenings."""


class PowerLaw(Crowd):
    """Gains fall off with practice, whatever the grade, and less is gained far from one's level."""

    def __init__(self, each: int, natures: Sequence[Nature], rng: np.random.Generator) -> None:
        super().__init__(each, natures, rng)
        self._done = np.full((len(self.rows), OF_SKILLS), 6.0)

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Level moves by 1.8 times the logarithm of practice, by this learner's speed."""
        del grade, held, place
        worth = practice * (0.3 + 0.7 * (chance < 0.9))
        self.level += 1.8 * self.speed * np.log1p(worth / self._done)
        self._done += worth


class Tracing(Crowd):
    """Each skill is mastered at each grade or not."""

    mastered_at, else_at, forgets = 0.98, 0.72, 0.015

    def __init__(self, each: int, natures: Sequence[Nature], rng: np.random.Generator) -> None:
        super().__init__(each, natures, rng)
        count = len(self.rows)
        self.mastered = np.zeros((count, OF_SKILLS, GRADES), dtype=bool)
        self.mastered[:, :, 0] = rng.random((count, OF_SKILLS)) < 0.5
        self._quick = np.repeat(0.14 * self.speed, OF_SKILLS, axis=1)
        slow = rng.integers(OF_SKILLS, size=count)
        self._quick[self.rows, slow] *= np.where(self.uneven, 0.3, 1.0)

    def chances(self, grade: Ints) -> Floats:
        """A mastered skill succeeds nearly always."""
        return np.where(self.mastered[self.rows, :, grade], self.mastered_at, self.else_at)

    def _ready(self, grade: Ints) -> Floats:
        below = self.mastered[self.rows, :, np.maximum(grade - 1, 0)]
        return np.where((grade == 0)[:, None] | below, 1.0, 0.3)

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """A grade can be mastered once the one below is; mastering it helps the one below too."""
        del held, chance, place
        chances = np.clip(self._quick * practice * self._ready(grade), 0, 1)
        gained = self.rng.random(chances.shape) < chances
        reached = np.arange(GRADES)[None, None, :] <= grade[:, None, None]
        self.mastered |= gained[:, :, None] & reached

    def rest(self) -> None:
        """Each mastered skill is forgotten with a small chance."""
        self.mastered &= self.rng.random(self.mastered.shape) > self.forgets


class AllOrNothing(Tracing):
    """Mastered at a stroke, never before the grade below, without partial credit, never lost."""

    mastered_at, else_at, forgets = 0.985, 0.76, 0.0

    def _ready(self, grade: Ints) -> Floats:
        below = self.mastered[self.rows, :, np.maximum(grade - 1, 0)]
        return np.where((grade == 0)[:, None] | below, 1.0, 0.0)


class ChallengePoint(Crowd):
    """A task teaches most where it is neither easy nor hopeless for this learner."""

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Grow by 4 p (1 - p) of the chance p of success: most at an even chance."""
        del grade, held, place
        self.level += 0.075 * self.speed * practice * (0.06 + 4 * chance * (1 - chance))


class Prerequisites(Crowd):
    """Later skills wait for earlier ones; a grade limits what can be learned at it."""

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """A step grows at a quarter while the step before it is unsure; a part helps neighbours."""
        del held, chance, place
        chances = self.chances(grade)
        before = np.concatenate((np.ones((len(self.rows), 1)), chances[:, :-1]), axis=1)
        spread = practice + 0.15 * (np.roll(practice, 1, axis=1) + np.roll(practice, -1, axis=1))
        room = np.clip(_TO_TEACH + self.harder * grade[:, None] - self.level, 0, None)
        self.level += 0.035 * self.speed * spread * room * np.where(before < 0.80, 0.25, 1.0)


class ErrorDriven(Crowd):
    """A skill is learned where it failed, and hardly where it held."""

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Grow by three tenths of a step where a skill failed, a fortieth where it held."""
        del chance, place
        room = np.clip(_TO_TEACH + 1.0 + self.harder * grade[:, None] - self.level, 0, 1)
        self.level += self.speed * practice * room * np.where(held, 0.025, 0.30)


class Saturating(Crowd):
    """Skills approach what the grade has to teach, and lose some of it each week."""

    closes, loses = 0.030, 0.02

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Each practice closes a part of the gap, by this learner's speed."""
        del held, chance, place
        room = np.clip(_TO_TEACH + self.harder * grade[:, None] - self.level, 0, None)
        self.level += self.closes * self.speed * practice * room

    def rest(self) -> None:
        """Every level sinks a little."""
        self.level -= self.loses * np.clip(self.level, 0, None)


class Forgetting(Saturating):
    """The same, quicker to learn and twice as quick to lose it."""

    closes, loses = 0.045, 0.04


class Peak(Crowd):
    """A task teaches most where this share of them comes out good."""

    peak, width = 0.5, 0.18

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Grow by a bell around the peak; a twentieth of it far off."""
        del grade, held, place
        worth = 0.05 + np.exp(-0.5 * ((chance - self.peak) / self.width) ** 2)
        self.level += 0.080 * self.speed * practice * worth


def peak_at(share: float, width: float = 0.18) -> type[Crowd]:
    """Learners who learn most where this share of whole settings comes out good."""
    return type(f"PeakAt{100 * share:.0f}", (Peak,), {"peak": share, "width": width})


class WeakestLink(Crowd):
    """Of a whole setting only the weakest skill is learned, well where it is nearly there."""

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """The weakest skill grows by what six would share; a part trains its own."""
        del held, chance, place
        chances = self.chances(grade)
        weakest = chances == chances.min(axis=1, keepdims=True)
        whole = (practice > 0).sum(axis=1, keepdims=True) > 1
        share = np.where(whole, 3.0 * weakest + 0.3, 1.0)
        self.level += 0.06 * self.speed * practice * share


class Tiring(Crowd):
    """The first settings of an evening teach most; gains shrink as the level rises."""

    def learn(
        self, grade: Ints, practice: Floats, held: Truths, chance: Floats, place: int
    ) -> None:
        """Each attempt of an evening brings nine tenths of the one before."""
        del held
        room = np.clip(_TO_TEACH + self.harder * grade[:, None] - self.level, 0, 2)
        worth = 0.9**place * (0.2 + chance)
        self.level += 0.05 * self.speed * practice * room * worth


Kind = Callable[[int, Sequence[Nature], np.random.Generator], Crowd]

KINDS: dict[str, Kind] = {
    "power law": PowerLaw,
    "tracing, forgets": Tracing,
    "challenge point": ChallengePoint,
    "prerequisites": Prerequisites,
    "error driven": ErrorDriven,
    "saturating, forgets": Saturating,
    "most at 0.50": peak_at(0.50),
    "most at 0.65": peak_at(0.65),
    "most at 0.75": peak_at(0.75),
    "most at 0.85": peak_at(0.85),
    "all or nothing": AllOrNothing,
}
"""The kinds that constants are chosen on."""

KEPT_APART: dict[str, Kind] = {
    "most at 0.58, narrow": peak_at(0.58, 0.12),
    "most at 0.70, wide": peak_at(0.70, 0.28),
    "most at 0.80, narrow": peak_at(0.80, 0.12),
    "weakest link": WeakestLink,
    "tiring": Tiring,
    "forgets twice as fast": Forgetting,
    "power law": PowerLaw,
    "challenge point": ChallengePoint,
    "error driven": ErrorDriven,
    "all or nothing": AllOrNothing,
}
"""Kinds and natures that no constant is chosen on (`APART`)."""


def natures(part_gains: Sequence[float], **values: float) -> tuple[Nature, ...]:
    """Even and uneven learners, for each worth of a part exercise."""
    return tuple(
        Nature(uneven=uneven, part_gain=gain, **values)
        for gain in part_gains
        for uneven in (False, True)
    )


CHOSEN_ON = natures((2.0, 4.0))
APART = (
    *natures((3.0,), harder=1.2, misleads=0.15),
    *natures((2.5,), harder=0.7, misleads=0.30),
)


class Crowds:
    """Several crowds as one: what each learner of each cell does next to the others."""

    def __init__(
        self, kinds: Sequence[Kind], each: Sequence[Nature], count: int, seed: int
    ) -> None:
        self.cells = [(kind, nature) for kind in range(len(kinds)) for nature in each]
        self.count = count
        self.crowds = [
            kind(count, each, np.random.default_rng((seed, number)))
            for number, kind in enumerate(kinds)
        ]
        self.misleads = np.repeat([n.misleads for _, n in self.cells], count)
        self.rng = np.random.default_rng((seed, 999))

    def __len__(self) -> int:
        return len(self.cells) * self.count

    def _slices(self) -> list[tuple[Crowd, slice]]:
        size = len(self.crowds[0].rows)
        return [(c, slice(n * size, (n + 1) * size)) for n, c in enumerate(self.crowds)]

    def do(self, grade: Ints, part: Ints, *, place: int) -> Truths:
        """One attempt each: which skills held."""
        return np.concatenate(
            [crowd.do(grade[at], part[at], place=place) for crowd, at in self._slices()]
        )

    def success(self, grade: int) -> Floats:
        """Chance of a whole setting to come out good at a grade."""
        return np.concatenate([crowd.success(grade) for crowd in self.crowds])

    def chances(self, grade: Ints) -> Floats:
        """Chance of each skill at a grade."""
        return np.concatenate([crowd.chances(grade[at]) for crowd, at in self._slices()])

    def rest(self) -> None:
        """The week between two evenings."""
        for crowd in self.crowds:
            crowd.rest()


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
class Failures:
    """What a failed skill shows as: attempts by row, how far each speaks against each skill."""

    shown: tuple[Attempt, ...]
    against: Floats
    by_skill: Floats

    @classmethod
    def by_table(cls) -> "Failures":
        """Read the defect-to-skill table backwards: by skill, the defects that show it failed."""
        rows = tuple(row for row in table_rows() if any(row.shares.values()))
        shown = tuple(
            Attempt(result=(row.defect,), severity=(2,)).with_values(
                **_SHOWN_AS.get(row.read_before, {})
            )
            for row in rows
        )
        against = np.array([[blame(a)[skill] for skill in SKILLS] for a in shown])
        columns = np.array([[row.shares[skill] for row in rows] for skill in SKILLS])
        weights = columns / columns.sum(axis=1, keepdims=True)
        return cls(shown, against, weights.cumsum(axis=1))

    def draw(self, held: Truths, misleads: Floats, rng: np.random.Generator) -> Ints:
        """A row of the table for each learner, meant where some skill failed; -1 where all held."""
        count = len(held)
        pick = rng.random(held.shape) * ~held
        skill = pick.argmax(axis=1)
        row = (rng.random(count)[:, None] > self.by_skill[skill]).sum(axis=1)
        anything = rng.integers(len(self.shown), size=count)
        row = np.where(rng.random(count) < misleads, anything, np.minimum(row, len(self.shown) - 1))
        return np.where(held.all(axis=1), -1, row)
