"""Claims and leads: what is claimed at a checkpoint, and what stands out beside it."""

import numpy as np
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.findings.deciding.claims import LeadLimit, claimed_families, standing_out
from platebook.analysis.findings.measured.upstream import upstream
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.values import replace

WIDE = planted(Plan(104, (Cause("clearance_mm", "loose", size=2.0),)), 5).attempts


def test_a_strong_planted_habit_is_claimed_from_its_last_checkpoint() -> None:
    """104 attempts are a checkpoint; thirty are none, and claim nothing."""
    log = attempt_log(WIDE)
    assert claimed_families(log, None, None, 1)[:1] == ("width of the seat",)
    assert claimed_families(log.first(30), None, None, 1) == ()


class Kept:
    """Decisions in memory, and how often one was kept."""

    def __init__(self) -> None:
        self.families: dict[str, tuple[str, ...]] = {}
        self.times = 0

    def find(self, mark: str) -> tuple[str, ...] | None:
        """The families claimed then."""
        return self.families.get(mark)

    def keep(self, mark: str, families: tuple[str, ...]) -> None:
        """Keep the families claimed."""
        self.families[mark] = families
        self.times += 1


def test_one_attempt_later_a_checkpoint_is_not_asked_again() -> None:
    """110 and 111 attempts have the checkpoint 104; an attempt changed before it is asked anew."""
    kept = Kept()
    attempts = planted(Plan(111, (Cause("clearance_mm", "loose", size=2.0),)), 5).attempts
    first = claimed_families(attempt_log(attempts[:110]), None, None, 1, kept)
    assert claimed_families(attempt_log(attempts), None, None, 1, kept) == first
    assert (kept.times, first[:1]) == (1, ("width of the seat",))
    changed = (replace(attempts[0], sheet_mm=1.3), *attempts[1:])
    claimed_families(attempt_log(changed), None, None, 1, kept)
    claimed_families(attempt_log(attempts), None, None, 2, kept)
    assert kept.times == 3


def test_a_kept_decision_is_the_answer() -> None:
    """What is found is given as it stands, without asking."""
    kept = Kept()
    log = attempt_log(WIDE)
    claimed_families(log, None, None, 1, kept)
    kept.families = dict.fromkeys(kept.families, ("the light",))
    assert claimed_families(log, None, None, 1, kept) == ("the light",)


def test_seats_keep_their_decisions_too() -> None:
    """Two responses, each decided once; the answer is the same with and without."""
    kept = Kept()
    answers = [upstream(WIDE, seed=1, decisions=kept) for _ in range(2)]
    assert kept.times == 2
    told = [
        [[family.ranked.family for family in answer.families] for answer in both]
        for both in (*answers, upstream(WIDE, seed=1))
    ]
    assert told[0] == told[1] == told[2]


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
