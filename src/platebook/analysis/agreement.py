"""Agreement of two pairs of eyes: the setter's own look and an instructor's, or a second look.

| function | gives |
|---|---|
| `agreement` | for each defect how often both say the same, kappa, and who is kinder |
| `kappa` | Cohen's kappa of a square table, with its interval; weighted where asked |

Only inspections of positions drawn at random count, since an instructor's own choice of what to
look at is not a sample; of several looks at one position the first, since looks at one position are
not independent. At 0 shared looks everything is empty; below `FEW` no kappa is told. Where
both always say the same word kappa cannot be told and is None. Kappa falls when a defect is rare,
at equal eyes, so the counts stand beside it. Sources: Cohen, Educ Psychol Meas 1960;20:37; Cohen,
Psychol Bull 1968;70:213 (weights); Fleiss, Cohen & Everitt, Psychol Bull 1969;72:323 (interval).
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from statistics import NormalDist

import numpy as np
from pydantic import BaseModel, ConfigDict

from platebook.analysis.intervals import wilson
from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD
from platebook.practice.inspection import Inspection
from platebook.practice.look import DEFECTS, severity_of

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
    nothing was counted or where chance alone agrees fully.
    """
    counts = np.asarray(table, dtype=float)
    total = counts.sum()
    if total == 0:
        return Kappa(value=None)
    shares = counts / total
    size = len(counts)
    places = np.arange(size)
    apart = np.abs(places[:, None] - places[None, :]) / max(size - 1, 1)
    weights = 1 - apart if weighted else np.eye(size)
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    observed = float((weights * shares).sum())
    expected = float((weights * np.outer(rows, columns)).sum())
    if expected >= 1:
        return Kappa(value=None)
    value = (observed - expected) / (1 - expected)
    by_row, by_column = weights @ columns, weights.T @ rows
    mixed = by_row[:, None] + by_column[None, :]
    spread = (shares * (weights - mixed * (1 - value)) ** 2).sum()
    variance = (spread - (value - expected * (1 - value)) ** 2) / (total * (1 - expected) ** 2)
    half = NormalDist().inv_cdf((1 + _CONFIDENCE) / 2) * max(float(variance), 0.0) ** 0.5
    return Kappa(value=value, low=max(value - half, -1.0), high=min(value + half, 1.0))


def _as_seen(look: Attempt | Inspection) -> Attempt:
    """A look as an attempt, so that one rule reads both."""
    if isinstance(look, Attempt):
        return look
    return Attempt(result=look.result, severity=look.severity)


def _severity(seen: Attempt) -> int:
    return max((severity_of(seen, defect) or 0 for defect in DEFECTS), default=0)


def _compare(defect: str, pairs: Sequence[tuple[bool, bool]]) -> DefectAgreement:
    counts = [[0, 0], [0, 0]]
    for one, two in pairs:
        counts[one][two] += 1
    agreed = counts[1][1] + counts[0][0]
    limits = wilson(agreed, len(pairs), confidence=_CONFIDENCE)
    return DefectAgreement(
        defect=defect,
        both=counts[1][1],
        setter_only=counts[1][0],
        inspector_only=counts[0][1],
        neither=counts[0][0],
        same=agreed / len(pairs),
        low=limits.low,
        high=limits.high,
        kappa=kappa(counts) if len(pairs) >= FEW else Kappa(value=None),
    )


def _sentence(looks: int, verdict: DefectAgreement | None, kinder: int, harder: int) -> str:
    if verdict is None:
        return "No position drawn at random has been looked at by both yet."
    agreed = verdict.both + verdict.neither
    drawn = "1 position" if looks == 1 else f"{looks} positions"
    said = f"Of {drawn} drawn at random, {agreed} got the same verdict"
    if looks < FEW:
        return f"{said}; not enough yet to say more ({looks} of {FEW})."
    if kinder > harder:
        return f"{said}; the setter saw less {_times(kinder)} and more {_times(harder)}."
    return f"{said}; the setter saw more {_times(harder)} and less {_times(kinder)}."


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _first_looked(inspection: Inspection) -> tuple[bool, datetime, str]:
    """By time of the look; those without one come last, in the order of their ids."""
    when = inspection.looked
    return when is None, when or _NEVER, inspection.inspection_id or ""


def agreement(attempts: Iterable[Attempt], inspections: Iterable[Inspection]) -> Agreement:
    """How far the inspections of randomly drawn positions agree with the attempts' own looks.

    The attempts' own looks are those of before they heard of the inspections.
    """
    by_id = {a.attempt_id: a for a in attempts if a.attempt_id is not None}
    pairs: list[tuple[Attempt, Attempt]] = []
    left_out = 0
    counted: set[str] = set()
    for inspection in sorted(inspections, key=_first_looked):
        own = by_id.get(inspection.attempt_id)
        drawn = inspection.drawn_at_random and inspection.attempt_id not in counted
        if own is None or not drawn or own.result is None or inspection.result is None:
            left_out += 1
            continue
        counted.add(inspection.attempt_id)
        pairs.append((own, _as_seen(inspection)))
    seen = [d for d in DEFECTS if any(severity_of(look, d) for pair in pairs for look in pair)]
    table = np.zeros((4, 4), dtype=int)
    for own, other in pairs:
        table[_severity(own), _severity(other)] += 1
    verdict = (
        _compare(GOOD, [(a.result == (GOOD,), b.result == (GOOD,)) for a, b in pairs])
        if pairs
        else None
    )
    kinder = sum(_severity(own) < _severity(other) for own, other in pairs)
    harder = sum(_severity(own) > _severity(other) for own, other in pairs)
    enough = len(pairs) >= FEW
    return Agreement(
        looks=len(pairs),
        left_out=left_out,
        verdict=verdict,
        defects=tuple(
            _compare(d, [(bool(severity_of(a, d)), bool(severity_of(b, d))) for a, b in pairs])
            for d in seen
        ),
        severity_kappa=kappa(table.tolist(), weighted=True) if enough else Kappa(value=None),
        kinder=kinder,
        harder=harder,
        bias=float(np.mean([_severity(b) - _severity(a) for a, b in pairs])) if pairs else None,
        not_enough=None if enough else f"not enough yet: {len(pairs)} of {FEW} positions",
        sentence=_sentence(len(pairs), verdict, kinder, harder),
    )
