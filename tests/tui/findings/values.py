"""What Findings shows in tests: a claim, a lead and a mechanism of an invented setter."""

from datetime import date
from typing import Any

from tests.builders import clearances

from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling.pictures import Level, Picture
from platebook.analysis.findings.telling.results import (
    ClockPattern,
    Count,
    Finding,
    Findings,
    MoreNeeded,
    NotJudged,
    Retired,
)
from platebook.analysis.models.intervals import wilson


def some_findings() -> Findings:
    """A claim, a lead and a mechanism from 64 attempts."""
    return Findings(
        setter="Ottoline Marsh",
        attempts=64,
        failures=19,
        evidence="claims",
        findings=(
            a_finding("clearance_mm", "loose", "claim", ("above 0.05 mm", 7, 10), (2, 15)),
            a_finding("ledge", "tilted", "lead", ("wider one side", 5, 12), (4, 40)),
            a_finding("depth_error_mm", "high", "mechanism", ("cut shallow", 6, 7), (0, 20)),
        ),
        retired=(a_retired_finding(),),
        clocks=(a_clock_pattern(),),
        not_judged=(
            NotJudged(variable="metal", reason="no change but with the grade"),
            NotJudged(variable="runout", reason="noted on 4 of 64 attempts"),
        ),
        checked="Checked 21 things against 4 defects.",
        more_needed=MoreNeeded(low=8, high=24),
        answer=("64 attempts, 19 of them failed.", "The next decision comes at 72 attempts."),
    )


def a_retired_finding() -> Finding:
    """A claim of the spring that the summer did not bear out."""
    spring = a_finding("effort", "chipped", "claim", ("a hard effort", 9, 20), (3, 60))
    since = (
        Count(label="a hard effort", failed=0, of=12),
        Count(label="others", failed=1, of=30),
    )
    sentence = "No longer so: 0 of 12, against 1 of 30, since 2 June 2026 (attempt 81)."
    gone = Retired(attempt=81, day=date(2026, 6, 2), counts=since, sentence=sentence)
    return spring.model_copy(update={"retired": gone})


def a_clock_pattern() -> ClockPattern:
    """Seven of nine high ones on one side."""
    by_hour = (0, 0, 2, 3, 2, 0, 0, 0, 1, 0, 0, 1)
    return ClockPattern(
        defect="high",
        first=3,
        last=5,
        count=7,
        of=9,
        by_hour=by_hour,
        share=0.0142,
        sentence="7 of 9 high ones were at 3 to 5 o'clock.",
    )


def a_finding(
    variable: str, defect: str, status: Any, here: tuple[str, int, int], rest: tuple[int, int]
) -> Finding:
    """One finding with its two sides."""
    label, failed, of = here
    return Finding(
        variable=variable,
        family=variable,
        defect=defect,
        direction="higher",
        status=status,
        counts=(
            Count(label=label, failed=failed, of=of),
            Count(label="others", failed=rest[0], of=rest[1]),
        ),
        odds_ratio=None if status == "mechanism" else 2.4,
        low=None if status == "mechanism" else 1.3,
        high=None if status == "mechanism" else 4.6,
        posterior=0.8,
        share=0.02,
        sentence=f"{defect.capitalize()} went with {label}: {failed} of {of}, "
        f"against {rest[0]} of {rest[1]} of the others.",
        support=support_of(
            [Count(label="", failed=failed, of=of), Count(label="", failed=rest[0], of=rest[1])],
            status,
        ),
        notes=("A lead this strong turns up in 1 such log in 50 with nothing behind it.",),
    )


RANGES = (
    ("\N{MINUS SIGN}0.09 to 0.01 mm", 1, 8),
    ("0.02 to 0.05 mm", 1, 7),
    ("0.06 to 0.11 mm", 7, 10),
)


def a_picture(finding: Finding) -> Picture:
    """The ranges of the clearance; of any other finding its two sides."""
    sides = [(count.label, count.failed, count.of) for count in finding.counts]
    named = RANGES if finding.variable == "clearance_mm" else sides
    inside = len(named) - 1 if finding.variable == "clearance_mm" else 0
    levels = tuple(
        Level(name, failed, of, *wilson(failed, of), inside=place == inside)
        for place, (name, failed, of) in enumerate(named)
    )
    return Picture(finding.variable, finding.defect, levels)


VALUES = (
    clearances(
        (-0.01, 0.03, 0.06, 0.06, 0.07, 0.08, 0.08, 0.09, 0.11),
        (
            *(-0.09, -0.07, -0.06, -0.05, -0.05, -0.04, -0.02, -0.01),
            *(0.0, 0.01, 0.02, 0.03, 0.04, 0.06, 0.07, 0.09),
        ),
        unmeasured=39,
    ),
    None,
)


def no_findings() -> Findings:
    """The answer for an empty log."""
    return Findings(
        setter="Ottoline Marsh",
        attempts=0,
        failures=0,
        evidence="counts only",
        findings=(),
        not_judged=(),
        checked="Nothing was checked yet.",
        more_needed=MoreNeeded(low=20, high=40),
        answer=("No attempts are judged yet.",),
    )
