"""Findings in words: what goes with failure, how sure, and what could not be judged."""

import re
from typing import Any

import pytest
from tests.builders import an_attempt
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.cutoffs import RawValues
from platebook.analysis.findings.results import Finding, Findings, MoreNeeded, NotJudged
from platebook.reports.signs import FINDINGS
from platebook.reports.text.findings_text import findings_lines, values_line

LONG = Plan(attempts=64, causes=(Cause("clearance_mm", "loose", size=1.6),))


def _finding(**values: Any) -> Finding:
    return Finding(
        **{
            "variable": "clearance_mm",
            "family": "width",
            "defect": "loose",
            "direction": "higher",
            "status": "claim",
            "counts": (),
            "odds_ratio": 3.26,
            "low": 1.4,
            "high": 8.05,
            "posterior": 0.912,
            "share": None,
            "sentence": "Loose went with a wide seat: 9 of 20, against 2 of 40.",
        }
        | values
    )


def _found(*findings: Finding, **values: Any) -> Findings:
    return Findings(
        **{
            "setter": "Ada Quill",
            "attempts": 60,
            "failures": 11,
            "evidence": "claims",
            "findings": findings,
            "not_judged": (),
            "checked": "",
            "more_needed": MoreNeeded(low=None, high=None),
            "answer": ("60 attempts judged, 11 failed.",),
        }
        | values
    )


def test_a_finding_stands_with_its_numbers() -> None:
    """Sentence, odds ratio with its interval, probability, and its notes."""
    assert findings_lines(_found(_finding(notes=("A note.",)))) == (
        "60 attempts judged, 11 failed.",
        "",
        "Well supported:",
        "* Loose went with a wide seat: 9 of 20, against 2 of 40.",
        "  odds ratio 3.3 (95 % interval 1.4 to 8.1), probability 91 %",
        "  A note.",
    )


def test_what_is_weaker_stands_under_its_own_title() -> None:
    """Best supported first, each with its sign."""
    lead = _finding(status="lead", sentence="A lead.")
    mechanism = _finding(status="mechanism", sentence="How.", odds_ratio=None, low=None, high=None)
    lines = findings_lines(_found(lead, mechanism, _finding(sentence="A claim.")))
    heads = [line for line in lines if line.endswith(":")]
    assert heads == ["Well supported:", "Worth watching:", "How it came about:"]
    assert ["* A claim." in lines, "> A lead." in lines, "- How." in lines] == [True] * 3


def test_what_could_not_be_judged_is_said_once_a_reason() -> None:
    """Together with all that share it, in words a setter knows."""
    not_judged = (
        NotJudged(variable="pilot_mm", reason="never changed"),
        NotJudged(variable="speed_step", reason="never changed"),
        NotJudged(variable="lubricant", reason="changed in 1 of 51 attempts"),
    )
    assert findings_lines(_found(not_judged=not_judged))[-3:] == (
        "Could not be judged:",
        "- pilot, speed step: never changed",
        "- lubricant: changed in 1 of 51 attempts",
    )


def test_where_things_are_only_counted_nothing_is_excused() -> None:
    """A short log cannot judge anything, and a list of it all would say nothing."""
    short = find([an_attempt(result=("loose",)), an_attempt()])
    lines = findings_lines(short)
    assert lines == short.answer
    assert not any(sign.title in line for sign in FINDINGS.values() for line in lines)


CLEARANCES = RawValues(
    variable="clearance_mm",
    defect="loose",
    unit="mm",
    decimals=2,
    showed=(0.03, 0.06, 0.11),
    others=(-0.02, 0.0, 0.01, 0.04),
    unmeasured=2,
    cuts=(0.05,),
)
FITS = RawValues(
    variable="fit",
    defect="any",
    unit="",
    decimals=0,
    showed=(4.0, 5.0, 5.0),
    others=(),
    unmeasured=0,
    names=((3.0, "enters tilted and snaps"), (4.0, "drops in"), (5.0, "drops in and moves")),
)


def test_measured_values_are_told_by_middle_and_ends() -> None:
    """The middle one of four is the second: a value that was measured."""
    assert values_line(CLEARANCES) == (
        "loose: 3, middle 0.06 (0.03 to 0.11) mm; "
        "others: 4, middle 0.00 (\N{MINUS SIGN}0.02 to 0.04) mm; not written down on 2"
    )


def test_choices_are_counted_each() -> None:
    """In their order, those that were seen; nobody there is said to be none."""
    assert values_line(FITS) == "failed: 1 drops in, 2 drops in and moves; good: none"


def test_values_stand_below_their_own_finding() -> None:
    """A finding without values stands alone."""
    first, second = _finding(sentence="One."), _finding(sentence="Two.")
    lines = findings_lines(_found(first, second), (None, CLEARANCES))
    at = lines.index("* Two.")
    assert lines[at + 2 : at + 4] == (f"  {values_line(CLEARANCES)}",)
    assert sum("middle" in line for line in lines) == 1


@pytest.mark.slow
def test_a_whole_answer_never_speaks_of_causes() -> None:
    """What was built into the log is found, with counts, and said to go with failure."""
    found = find(planted(LONG, 7).attempts)
    text = "\n".join(findings_lines(found))
    assert found.findings
    assert all(f.sentence in text for f in found.findings)
    assert not re.search(r"\bcaus", text, re.IGNORECASE)
    assert "went with" in text
    assert "95 % interval" in text
