"""Findings that rest on heights: told by the defect that the height shows as, and by how far."""

import numpy as np

from platebook.analysis import shown, words
from platebook.analysis.claims import FoundFamily
from platebook.analysis.counted import Counted
from platebook.analysis.effect import Effect
from platebook.analysis.findings import Finding
from platebook.analysis.heights import SHOWS, Height
from platebook.analysis.shifts import Moved

_QUARTILE = 0.6745


def height_of(found: FoundFamily) -> Height | None:
    """The height that a finding rests on; None where it rests on a defect."""
    name = found.ranked.cell.outcome
    return next((height for height in found.search.heights if height.name == name), None)


def height_effect(found: FoundFamily) -> Effect:
    """The effect on a height in the scale of log odds, from its score and the cell's prior."""
    ranked, cell = found.ranked, found.ranked.cell
    precision = ranked.v + cell.sd**-2
    beta = (ranked.u + cell.mean * cell.sd**-2) / precision
    error = precision**-0.5
    weak, strong = sorted((beta - _QUARTILE * error, beta + _QUARTILE * error), key=abs)
    return Effect(beta, beta - 1.96 * error, beta + 1.96 * error, weak, strong, 1.0)


def shown_as(found: FoundFamily, log: Counted) -> tuple[str, bool]:
    """The defect that speaks for a height, the one seen most, and whether it is of more."""
    seen = {
        defect: int(log.events[defect].sum()) if defect in log.events else 0
        for defect, _ in SHOWS[found.ranked.cell.outcome]
    }
    signs = dict(SHOWS[found.ranked.cell.outcome])
    defect = max(seen, key=lambda name: seen[name])
    return defect, signs[defect] > 0


def height_finding(
    found: FoundFamily, height: Height, log: Counted, notes: tuple[str, ...]
) -> Finding:
    """The finding with its counts of the defect and the shift of the height."""
    defect, upward = shown_as(found, log)
    moved = Moved(found, height)
    shift, _ = moved.shift(upward=upward)
    split = shown.split(found.candidate, log, more=moved.more(upward=upward))
    truth = log.events.get(defect, np.zeros(len(log), dtype=bool))
    counts = shown.counts(split, truth)
    sentence = words.alone(shift.sentence)
    if truth.any():
        main = words.went_with(defect, split.phrase, split.rest, counts)
        sentence = words.followed_by(main, words.without_phrase(shift.sentence, split.phrase))
    return Finding(
        variable=shift.variable,
        family=shift.family,
        defect=defect,
        direction=shift.direction,
        status=shift.status,
        counts=counts,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=found.ranked.posterior,
        share=found.share,
        sentence=sentence,
        notes=notes,
        shifts=(shift,),
    )
