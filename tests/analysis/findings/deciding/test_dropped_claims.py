"""A claim that a later checkpoint drops retires with its date, and comes back when it returns."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.deciding.dropped_claims import (
    DroppedClaim,
    dropped_claims,
    with_dropped,
)
from platebook.analysis.findings.find import SEED, find
from platebook.analysis.findings.telling.results import Findings, Retired
from platebook.analysis.variables.attempt_log import Window
from platebook.practice.attempt import Attempt

FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
AN_EVENING = 8
DRY = "lubricant"

Spell = tuple[int, float, float]
"""Attempts, the share that is chipped dry, and the share that is chipped with wax."""


def _log(*spells: Spell, dated: bool = True) -> tuple[Attempt, ...]:
    """Every third attempt dry; shares are met exactly, in an order that follows no evening."""
    rows: list[Attempt] = []
    for attempts, dry, waxed in spells:
        met = {True: 0.0, False: 0.0}
        for _ in range(attempts):
            number = len(rows)
            is_dry = number * 5 % 3 == 0
            met[is_dry] += dry if is_dry else waxed
            chipped = met[is_dry] >= 1.0
            met[is_dry] -= chipped
            evening, place = divmod(number, AN_EVENING)
            began = FIRST + timedelta(days=3 * evening, minutes=9 * place)
            rows.append(
                Attempt(
                    result=("chipped",) if chipped else ("good",),
                    severity=(2,) if chipped else None,
                    began=began if dated else None,
                    plate=f"P{evening}",
                    lubricant="none" if is_dry else "wax",
                    speed_step=("slow", "medium", "fast")[number * 7 % 11 % 3],
                )
            )
    return tuple(rows)


HABIT, HARMLESS, WEAKER = (0.55, 0.1), (0.12, 0.12), (0.2, 0.14)


def _claims(found: Findings) -> list[str]:
    return [f.variable for f in found.findings if f.status == "claim"]


def _retired(found: Findings) -> dict[str, Retired]:
    return {f.variable: f.retired for f in found.retired if f.retired is not None}


def _sides(attempts: Sequence[Attempt]) -> list[tuple[int, int]]:
    dry = [a for a in attempts if a.lubricant == "none"]
    waxed = [a for a in attempts if a.lubricant == "wax"]
    return [(sum(a.result == ("chipped",) for a in side), len(side)) for side in (dry, waxed)]


def test_a_claim_that_a_later_checkpoint_drops_retires_with_its_date() -> None:
    """Claimed at 48, at 72 and 152 no more: it is listed with the day since which it ended."""
    attempts = _log((48, *HABIT), (110, *HARMLESS))
    assert _claims(find(attempts[:48])) == [DRY]
    assert dropped_claims(FindingsLog.of(attempts), None, SEED) == (DroppedClaim(DRY, 48, 72),)
    found = find(attempts)
    assert (_claims(found), [f.variable for f in found.findings]) == ([], [])
    retired = _retired(found)[DRY]
    began = attempts[48].began
    assert began is not None
    assert (retired.attempt, retired.day) == (49, began.date())
    assert f"since {began:%-d %B %Y} (attempt 49)" in retired.sentence
    assert [(c.failed, c.of) for c in retired.counts] == _sides(attempts[48:])


def test_where_no_date_is_likeliest_it_is_counted_until_it_was_supported_last() -> None:
    """Then since: both are what the rows say, and the sentence says which attempts it counts."""
    attempts = _log((48, *HABIT), (62, *WEAKER))
    asked = FindingsLog.of(attempts)
    _, (gone,) = with_dropped((), dropped_claims(asked, None, SEED), asked, None)
    assert [(c.failed, c.of) for c in gone.counts] == _sides(attempts[:48])
    assert gone.retired is not None
    assert [(c.failed, c.of) for c in gone.retired.counts] == _sides(attempts[48:])
    assert gone.retired.sentence.startswith(
        "So counted up to attempt 48, when it was well supported; at 72 it was not any more. "
        "Since 30 January 2026 (attempt 49): "
    )


def test_it_is_a_claim_again_when_it_returns() -> None:
    """A checkpoint that supports it once more makes it one of those that hold."""
    attempts = _log((48, *HABIT), (110, *HARMLESS), (180, 0.7, 0.1))
    assert DRY in _retired(find(attempts[:158]))
    found = find(attempts)
    assert (_claims(found), _retired(found)) == ([DRY], {})


def test_a_lead_that_was_a_claim_once_says_so() -> None:
    """Worth watching still, and not listed as gone."""
    found = find(_log((48, *HABIT), (40, *WEAKER)))
    (lead,) = [f for f in found.findings if f.variable == DRY]
    assert lead.status == "lead"
    assert lead.notes[-1] == "It was well supported at attempt 48, and at 72 not any more."
    assert found.retired == ()


def test_without_dates_the_attempt_is_told_alone() -> None:
    """No day is made up."""
    retired = _retired(find(_log((48, *HABIT), (110, *HARMLESS), dated=False)))[DRY]
    assert (retired.attempt, retired.day) == (49, None)
    assert retired.sentence.endswith("since attempt 49.")


def test_what_left_the_window_is_told_no_more() -> None:
    """Two years later nothing is said of a claim that none of those attempts bears on."""
    early = _log((48, *HABIT), (110, *HARMLESS))
    late = [
        a.with_values(began=a.began + timedelta(days=900))
        for a in _log((60, *HARMLESS))
        if a.began is not None
    ]
    assert DRY in _retired(find(early))
    found = find([*early, *late])
    assert (found.retired, found.attempts) == ((), 60)


def test_asked_since_a_day_it_is_told_by_the_same_numbers() -> None:
    """Attempts before that day are left out and counted all the same."""
    before, rest = _log((32, *HARMLESS)), _log((48, *HABIT), (110, *HARMLESS))
    later = [a.with_values(began=a.began + timedelta(days=60)) for a in rest if a.began is not None]
    began = later[0].began
    assert began is not None
    window = Window(since=began.date())
    asked = FindingsLog.of([*before, *later], window=window)
    assert dropped_claims(asked, None, SEED) == (DroppedClaim(DRY, 32 + 48, 32 + 72),)
    retired = _retired(find([*before, *later], window=window))[DRY]
    assert retired.attempt == 32 + 49
    assert [(c.failed, c.of) for c in retired.counts] == _sides(later[48:])


class _Kept:
    """Keeps decisions in memory, and counts how many were made."""

    def __init__(self) -> None:
        self.families: dict[str, tuple[str, ...]] = {}
        self.made = 0

    def find(self, mark: str) -> tuple[str, ...] | None:
        return self.families.get(mark)

    def keep(self, mark: str, families: tuple[str, ...]) -> None:
        self.made += 1
        self.families[mark] = families


def test_checkpoints_decided_before_are_not_decided_again() -> None:
    """What is kept of them gives the same answer."""
    kept, asked = _Kept(), FindingsLog.of(_log((48, *HABIT), (110, *HARMLESS)))
    first = dropped_claims(asked, None, SEED, kept)
    made = kept.made
    assert made > 1
    assert dropped_claims(asked, None, SEED, kept) == first == dropped_claims(asked, None, SEED)
    assert kept.made == made


def test_few_attempts_have_dropped_nothing() -> None:
    """None, one, and as many as the first checkpoint takes."""
    for count in (0, 1, 32):
        asked = FindingsLog.of(_log((48, *HABIT))[:count])
        assert dropped_claims(asked, None, SEED) == ()
