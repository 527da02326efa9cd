"""Counted: what a finding says of its attempts, with the counts that its picture draws.

| function | gives |
|---|---|
| `count_and_tell` | the sentence with its counts: both sides, level by level, and what was tested |
| `not_steady` | that the shares do not go one way along the levels, where that is so |

An order is tested as a trend, over all its values; so its sentence says "fewer checks went with
high" and counts each level where they are few, else both sides of the cut that the picture draws
too. Where the shares do not go one way the sentence beside it says so: levels that are told and lie
against the trend are named, with whether chance does as much (Newcombe's interval of the
difference, at 5 % over all pairs of levels); ranges of a measured value only where chance does not.
What is tested by its distance from a wanted or usual value has two ends; one that shows it no more
often than the middle is named.

With one level nothing is compared, and with two the sentence counts both.
"""

from collections.abc import Sequence
from itertools import combinations, groupby

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.asking.levels import MOST_LEVELS, LevelRows, levels_of
from platebook.analysis.findings.telling import counts_in_sentences
from platebook.analysis.findings.telling.results import Count, Tested
from platebook.analysis.models.intervals import newcombe_difference
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt
from platebook.values import Value

CHANCE = 0.05
"""Levels against a trend are more than chance where fewer such logs show as much."""


class Shown(Value, eq=False):
    """Which of n attempts showed a defect, and which of those passed as good.

    `attempts` are theirs, for the words of a choice; empty where those are not at hand.
    """

    defect: str
    truth: Truths
    slight: Truths
    attempts: tuple[Attempt, ...] = ()

    @classmethod
    def of(cls, log: AttemptLog, defect: str) -> "Shown":
        """Of all attempts of a log."""
        return cls(defect, log.truths(defect), log.slight(defect), tuple(log.attempts))

    def count(self, label: str, rows: Truths) -> Count:
        """How many of these attempts showed it."""
        return Count(
            label=label,
            failed=int((self.truth & rows).sum()),
            of=int(rows.sum()),
            slight=int((self.truth & self.slight & rows).sum()),
        )

    def count_sides(self, cut: Cut) -> tuple[Count, Count]:
        """How many showed it on both sides of a cut: inside its phrase, then outside."""
        return self.count(cut.label, cut.inside), self.count(cut.rest_label, cut.outside)


class Counted(Value):
    """The counts of a finding's two sides and of its levels, and the sentence that tells them.

    `short` is the same without "went with". Where the sentence tells the levels `between` names the
    sides of the counts; it is empty elsewhere.
    """

    counts: tuple[Count, Count]
    levels: tuple[Count, ...]
    tested: Tested
    sentence: str
    short: str
    not_steady: str | None = None
    between: str = ""

    def with_notes(self, notes: tuple[str, ...]) -> tuple[str, ...]:
        """A finding's notes, first that its shares do not go one way where they do not."""
        return (self.not_steady, *notes) if self.not_steady is not None else notes


def count_and_tell(candidate: Candidate, cut: Cut, shown: Shown, *, more: bool) -> Counted:
    """Count and tell what a candidate went with; `more` says which end of it is meant."""
    levels = levels_of(candidate.column, cut, shown.attempts)
    counts = shown.count_sides(cut)
    of_levels = tuple(shown.count(level.name, level.rows) for level in levels)
    tested = what_is_tested(candidate)
    if tested != "trend":
        return Counted(
            counts,
            of_levels,
            tested,
            counts_in_sentences.went_with(shown.defect, cut.phrase, cut.rest, counts),
            counts_in_sentences.counted(shown.defect, cut.phrase, cut.rest, counts),
            not_steady=_one_end_only(levels, of_levels) if tested == "distance" else None,
        )
    of = variable(candidate.column.variable)
    told = tuple(reversed(of_levels)) if more else of_levels
    by_level = len(levels) <= MOST_LEVELS and all(level.single for level in levels)
    toward = of.toward(more=more)
    if by_level:
        sentence = counts_in_sentences.went_with_levels(shown.defect, toward, told)
        short = counts_in_sentences.counted_levels(shown.defect, of.spoken, told)
    else:
        sentence = counts_in_sentences.went_with_trend(shown.defect, toward, cut.sides, counts)
        short = counts_in_sentences.counted(shown.defect, cut.phrase, cut.rest, counts)
    return Counted(
        counts,
        of_levels,
        tested,
        sentence,
        short,
        not_steady=not_steady(told, named=by_level),
        between=" against ".join(cut.sides) if by_level else "",
    )


def what_is_tested(candidate: Candidate) -> Tested:
    """What the score of this candidate asks; of two values it is one side and the other."""
    values = candidate.column.values
    if len(np.unique(values[~np.isnan(values)])) <= 2:
        return "two sides"
    return "distance" if candidate.form == "distance" else "trend"


def not_steady(told: Sequence[Count], *, named: bool) -> str | None:
    """Which levels lie against the trend most, told from the end where more should show it.

    None where the shares fall from level to level, or, where the levels are not `named` in the
    sentence, where chance does as much.
    """
    pairs = [(a, b) for a, b in combinations(told, 2) if _share(b) > _share(a)]
    if not pairs:
        return None
    compared = max(len(told) * (len(told) - 1) // 2, 1)
    confidence = 1.0 - CHANCE / compared
    lows = [
        newcombe_difference((b.failed, b.of), (a.failed, a.of), confidence=confidence).low
        for a, b in pairs
    ]
    worst = max(range(len(pairs)), key=lows.__getitem__)
    if lows[worst] > 0.0:
        return counts_in_sentences.against_the_trend(*pairs[worst])
    return counts_in_sentences.not_at_each_level(*pairs[worst]) if named else None


def _share(count: Count) -> float:
    return count.failed / count.of


def _one_end_only(levels: Sequence[LevelRows], counts: Sequence[Count]) -> str | None:
    """That one end of an order shows it no more often than its middle; None where both do."""
    runs = [
        (inside, [counts[place] for place, _ in run])
        for inside, run in groupby(enumerate(levels), key=lambda pair: pair[1].inside)
    ]
    if len(runs) != 3:
        return None
    low, middle, high = (_pooled(run) for _, run in runs)
    away = runs[0][0]
    rises = [_share(end) - _share(middle) for end in (low, high)]
    sided = [rise > 0.0 if away else rise < 0.0 for rise in rises]
    if all(sided) or not any(sided):
        return None
    end, other = (low, high) if sided[0] else (high, low)
    return counts_in_sentences.at_one_end(end, middle, other)


def _pooled(counts: Sequence[Count]) -> Count:
    return Count(
        label=" or ".join(count.label for count in counts),
        failed=sum(count.failed for count in counts),
        of=sum(count.of for count in counts),
        slight=sum(count.slight for count in counts),
    )
