"""What stands first in one setter's log beside what the class shares.

The setter's own share of the class's question is judged once more by itself, with what the others
expect. Of a share without enough attempts or failures nothing is said.
"""

from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis import shown, words
from platebook.analysis.bootstrap import Share, best_log_odds
from platebook.analysis.class_findings import Personal
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.class_share import CellValues, ClassShare
from platebook.analysis.cutoffs import cut as cut_at
from platebook.analysis.evidence import evidence
from platebook.analysis.scores import Scores
from platebook.analysis.search import rank
from platebook.analysis.weigh import Key, Prior

PERSONAL_DRAWS = 99
PERSONAL_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Lead:
    """The cell that stands first, which way it points, and how often chance alone is as strong."""

    key: Key
    family: str
    more: bool
    posterior: float
    share: float


def lead_of(
    share: ClassShare, prior: ClassPrior | None, common: AbstractSet[str] = frozenset()
) -> Lead | None:
    """The setter's own lead; None where chance gives one as strong too often, or the class has it.

    Pure; `common` are the families that the class shares.
    """
    usual = np.flatnonzero(share.usual)
    if evidence(share.attempts, share.failures) == "counts only" or not len(usual):
        return None
    expected = prior.expectations() if prior is not None else {}
    cells = [share.cells[place] for place in usual]
    weighed = Prior.of([replace(cell, by_class=expected.get(cell.key)) for cell in cells])
    v = share.own.v[:, usual]
    first = rank(weighed, Scores(share.own.u[:, usual], v))[0]
    if first.family in common:
        return None
    drawn = Scores(share.drawn.u(PERSONAL_DRAWS)[:, usual], np.repeat(v, PERSONAL_DRAWS, axis=0))
    as_strong = int((best_log_odds(drawn, weighed) >= first.log_odds).sum())
    by_chance = Share(as_strong, PERSONAL_DRAWS).value
    if by_chance > PERSONAL_SHARE:
        return None
    return Lead(first.cell.key, first.family, first.u >= 0.0, first.posterior, by_chance)


def personal_finding(setter: str, lead: Lead, values: CellValues) -> Personal:
    """The lead with its counts, as a person reads it."""
    cut = cut_at(values.candidate, np.ones(len(values.truth), dtype=bool), more=lead.more)
    counts = shown.counts(cut, values.truth)
    return Personal(
        setter=setter,
        variable=lead.key.variable,
        family=lead.family,
        defect=lead.key.outcome,
        direction=shown.direction(values.candidate, more=lead.more),
        posterior=lead.posterior,
        share=lead.share,
        sentence=words.went_with(lead.key.outcome, cut.phrase, cut.rest, counts),
    )
