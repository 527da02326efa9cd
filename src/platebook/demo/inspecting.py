"""What an invented instructor saw of the class: one position an evening, drawn at random.

Most setters see what the instructor sees. The eyes named in `KIND_EYES` pass over what is a little
high or tilted, and one is harder on itself than anybody else: agreement has something to find.
"""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import groupby
from zlib import crc32

import numpy as np

from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD
from platebook.practice.inspection import Inspection
from platebook.practice.look import severity_of
from platebook.practice.setter import Setter

INSTRUCTOR = "Marta Corvo"
KIND_EYES = ("Rashid Benkara", "Oluchi Eze-Barr")
HARD_EYE = "Mei Hanakawa"
COMMENTS: Mapping[str, str] = {
    "high": "Deepen the seat, then try again before burnishing.",
    "tilted": "Level it before the first stroke.",
    "loose": "Burnish again in opposite pairs.",
}
_MISSED, _SEEN_TOO = 0.45, 0.08
_TAKEN_BACK = 0.5
_LATER = timedelta(hours=15)


def inspections_of(
    setters: Sequence[Setter], attempts: Mapping[str, Sequence[Attempt]], *, seed: int
) -> tuple[Inspection, ...]:
    """The looks at each setter's evenings, in the order of the roster, then of the evenings."""
    found: list[Inspection] = []
    for setter in setters:
        rng = np.random.default_rng((seed, crc32(setter.name.encode()), 7))
        judged = [a for a in attempts[setter.setter_id or ""] if a.result and a.kind == "whole"]
        for _, evening in groupby(judged, key=lambda a: a.began.date() if a.began else None):
            here = list(evening)
            found.append(_look(here[int(rng.integers(len(here)))], setter.name, rng))
    return tuple(found)


def _look(attempt: Attempt, name: str, rng: np.random.Generator) -> Inspection:
    seen = {d: severity_of(attempt, d) or 2 for d in attempt.result or () if d != GOOD}
    passed_over = _MISSED if name in KIND_EYES else _SEEN_TOO
    if rng.random() < passed_over:
        seen.setdefault(str(rng.choice(["high", "tilted"])), 2)
    if name == HARD_EYE and rng.random() < _TAKEN_BACK:
        seen = {defect: size for defect, size in seen.items() if size > 1}
    looked = attempt.began + _LATER if attempt.began is not None else None
    return Inspection(
        attempt_id=attempt.attempt_id or "",
        inspector=INSTRUCTOR,
        result=tuple(seen) or (GOOD,),
        severity=tuple(seen.values()) or None,
        clock=attempt.clock if seen else None,
        comment=next((COMMENTS[d] for d in seen if d in COMMENTS), ""),
        drawn_at_random=True,
        looked=looked,
    )
