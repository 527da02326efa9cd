"""Agreement of two pairs of eyes: the setter's own look and an instructor's, or a second look.

| function | gives |
|---|---|
| `agreement` | for each defect how often both say the same, kappa, and who is kinder |
| `kappa` | Cohen's kappa of a square table, with its interval; weighted where asked |

Only inspections of positions drawn at random count, since an instructor's own choice of what to
look at is not a sample; of several looks at one position the first, since looks at one position are
not independent. At 0 shared looks everything is empty; below `FEW` no kappa is told. Where one of
them says the same word every time the other's words agree with it as chance has it: kappa would be
0 with an interval of no width, cannot be told and is None. Kappa falls when a defect is rare, at
equal eyes, so the counts stand beside it. The verdict is whether it passes as good: a slight mark
beside it is a remark, not another verdict. Sources: Cohen, Educ Psychol Meas 1960;20:37; Cohen,
Psychol Bull 1968;70:213 (weights); Fleiss, Cohen & Everitt, Psychol Bull 1969;72:323 (interval).
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from statistics import NormalDist

import numpy as np
from pydantic import BaseModel, ConfigDict

from platebook.analysis.models.intervals import wilson
from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD
from platebook.practice.records import Inspection
from platebook.practice.results import DEFECTS, failed, severity_of
from platebook.trade.phrases import count_of
from platebook.values import Value

FEW = 10
"""Shared looks below which kappa is not told: judgement."""

_CONFIDENCE = 0.95
_NEVER = datetime.max.replace(tzinfo=UTC)


class _Value(BaseModel):
    """Base of the values here: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Kappa(_Value):
    """Kappa with its interval; all None where it cannot be told."""

    value: float | None
    low: float | None = None
    high: float | None = None


class DefectAgreement(_Value):
    """One defect, or `good` for the verdict as a whole.

    `both`, `setter_only`, `inspector_only` and `neither` count who saw it; `same` is the share on
    which they agree, with `low` and `high` (Wilson, 95 %).
    """

    defect: str
    both: int
    setter_only: int
    inspector_only: int
    neither: int
    same: float
    low: float
    high: float
    kappa: Kappa


class Agreement(_Value):
    """All defects that either of them saw, the verdict, and who is kinder.

    `severity_kappa` is weighted linearly over nothing, slight, clear and lost. `kinder` counts the
    looks where the setter saw less than the inspector, `harder` where more; `bias` is the mean
    severity of the inspector minus the setter's: above 0 the setter is too kind.
    """

    looks: int
    left_out: int
    verdict: DefectAgreement | None
    defects: tuple[DefectAgreement, ...]
    severity_kappa: Kappa
    kinder: int
    harder: int
    bias: float | None
    not_enough: str | None
    sentence: str


def kappa(table: Sequence[Sequence[int]], *, weighted: bool = False) -> Kappa:
    """Cohen's kappa of counts, rows one observer and columns the other.

    `weighted` takes the distance of the categories as the weight of a disagreement. None where
    nothing was counted, or where one observer always said the same.
    """
    counts = np.asarray(table, dtype=float)
    total = counts.sum()
    words = [int((counts.sum(axis=axis) > 0).sum()) for axis in (0, 1)]
    if min(words) < 2:
        return Kappa(value=None)
    shares = counts / total
    size = len(counts)
    places = np.arange(size)
    apart = np.abs(places[:, None] - places[None, :]) / max(size - 1, 1)
    weights = 1 - apart if weighted else np.eye(size)
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    observed = float((weights * shares).sum())
    expected = float((weights * np.outer(rows, columns)).sum())
    value = (observed - expected) / (1 - expected)
    by_row, by_column = weights @ columns, weights.T @ rows
    mixed = by_row[:, None] + by_column[None, :]
    spread = (shares * (weights - mixed * (1 - value)) ** 2).sum()
    variance = (spread - (value - expected * (1 - value)) ** 2) / (total * (1 - expected) ** 2)
    half = NormalDist().inv_cdf((1 + _CONFIDENCE) / 2) * max(float(variance), 0.0) ** 0.5
    return Kappa(value=value, low=max(value - half, -1.0), high=min(value + half, 1.0))


class _Pair(Value):
    """The setter's own look at one position and the inspector's."""

    own: Attempt
    other: Attempt

    def severities(self) -> tuple[int, int]:
        """The worst that each of them saw, 0 for nothing."""
        return _worst(self.own), _worst(self.other)

    def saw(self, defect: str) -> tuple[bool, bool]:
        """Whether each of them saw this defect, at any severity."""
        return bool(severity_of(self.own, defect)), bool(severity_of(self.other, defect))

    def called_good(self, failure_from: int) -> tuple[bool, bool]:
        """Whether it passes as good by what each of them saw."""
        own, other = (
            not failed(
                Attempt(result=look.result, severity=look.severity), failure_from=failure_from
            )
            for look in (self.own, self.other)
        )
        return own, other


def _worst(look: Attempt) -> int:
    return max((severity_of(look, defect) or 0 for defect in DEFECTS), default=0)


def _compare(defect: str, saw: Sequence[tuple[bool, bool]]) -> DefectAgreement:
    """How far they agree on one defect; `saw` says for each pair whether each of them saw it."""
    counts = [[0, 0], [0, 0]]
    for setter, inspector in saw:
        counts[setter][inspector] += 1
    agreed = counts[1][1] + counts[0][0]
    limits = wilson(agreed, len(saw), confidence=_CONFIDENCE)
    return DefectAgreement(
        defect=defect,
        both=counts[1][1],
        setter_only=counts[1][0],
        inspector_only=counts[0][1],
        neither=counts[0][0],
        same=agreed / len(saw),
        low=limits.low,
        high=limits.high,
        kappa=kappa(counts) if len(saw) >= FEW else Kappa(value=None),
    )


def _sentence(looks: int, verdict: DefectAgreement | None, kinder: int, harder: int) -> str:
    if verdict is None:
        return "No position drawn at random has been looked at by both yet."
    agreed = verdict.both + verdict.neither
    same = f"Of {count_of(looks, 'position')} drawn at random, {agreed} got the same verdict"
    if looks < FEW:
        return f"{same}; not enough yet to say more ({looks} of {FEW})."
    if not kinder and not harder:
        return f"{same}; neither saw more than the other."
    by_word = sorted([(kinder, "less"), (harder, "more")], key=lambda pair: -pair[0])
    first, second = (
        f"{word} {_times(count)}" if count else f"never {word}" for count, word in by_word
    )
    return f"{same}; the setter saw {first} and {second}."


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _first_looked(inspection: Inspection) -> tuple[bool, datetime, str]:
    """By time of the look; those without one come last, in the order of their ids."""
    when = inspection.looked
    return when is None, when or _NEVER, inspection.inspection_id or ""


def _pairs(
    attempts: Iterable[Attempt], inspections: Iterable[Inspection]
) -> tuple[list[_Pair], int]:
    """First looks at positions drawn at random, beside the setter's own; how many are left out.

    An attempt that is not there, or a look without a result, gives no pair.
    """
    by_id = {a.attempt_id: a for a in attempts if a.attempt_id is not None}
    pairs: dict[str, _Pair] = {}
    left_out = 0
    for inspection in sorted(inspections, key=_first_looked):
        own = by_id.get(inspection.attempt_id)
        first = inspection.drawn_at_random and inspection.attempt_id not in pairs
        if own is None or not first or own.result is None or inspection.result is None:
            left_out += 1
            continue
        look = Attempt(result=inspection.result, severity=inspection.severity)
        pairs[inspection.attempt_id] = _Pair(own, look)
    return list(pairs.values()), left_out


def agreement(
    attempts: Iterable[Attempt], inspections: Iterable[Inspection], *, failure_from: int = 2
) -> Agreement:
    """How far the inspections of randomly drawn positions agree with the attempts' own looks.

    The attempts' own looks are those of before they heard of the inspections. `failure_from` is the
    lowest severity that the course fails.
    """
    pairs, left_out = _pairs(attempts, inspections)
    enough = len(pairs) >= FEW
    severities = [pair.severities() for pair in pairs]
    kinder = sum(setter < inspector for setter, inspector in severities)
    harder = sum(setter > inspector for setter, inspector in severities)
    verdict = _compare(GOOD, [pair.called_good(failure_from) for pair in pairs]) if pairs else None
    by_defect = {defect: [pair.saw(defect) for pair in pairs] for defect in DEFECTS}
    return Agreement(
        looks=len(pairs),
        left_out=left_out,
        verdict=verdict,
        defects=tuple(
            _compare(defect, saw) for defect, saw in by_defect.items() if any(map(any, saw))
        ),
        severity_kappa=_severity_kappa(severities) if enough else Kappa(value=None),
        kinder=kinder,
        harder=harder,
        bias=float(np.mean([b - a for a, b in severities])) if pairs else None,
        not_enough=None if enough else f"not enough yet: {len(pairs)} of {FEW} positions",
        sentence=_sentence(len(pairs), verdict, kinder, harder),
    )


def _severity_kappa(severities: Sequence[tuple[int, int]]) -> Kappa:
    """Weighted over nothing, slight, clear and lost."""
    table = np.zeros((4, 4), dtype=int)
    for setter, inspector in severities:
        table[setter, inspector] += 1
    return kappa(table.tolist(), weighted=True)
