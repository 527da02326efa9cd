"""Claims and leads: what is claimed at a checkpoint, and what stands out beside it."""

import numpy as np
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.findings.claims import LeadLimit, claimed_families, standing_out
from platebook.analysis.findings.search import PreparedLog
from platebook.analysis.variables.attempt_log import attempt_log

WIDE = planted(Plan(104, (Cause("clearance_mm", "loose", size=2.0),)), 5).attempts


def test_a_strong_planted_habit_is_claimed_from_its_last_checkpoint() -> None:
    """104 attempts are a checkpoint; thirty are none, and claim nothing."""
    log = attempt_log(WIDE)
    assert claimed_families(log, None, None, 1)[:1] == ("width of the seat",)
    assert claimed_families(log.first(30), None, None, 1) == ()


def test_a_claim_that_stands_is_shown_though_no_lead_may_be() -> None:
    """With no room for leads the claimed family alone stands out."""
    prepared = PreparedLog.of(attempt_log(WIDE))
    (family,) = standing_out(
        prepared.search,
        ["width of the seat"],
        np.random.default_rng(2),
        leads=LeadLimit(most=0, share=0.5),
    )
    assert (family.ranked.family, family.claimed) == ("width of the seat", True)
