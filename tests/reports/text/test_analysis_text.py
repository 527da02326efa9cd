"""What analysis answers, in words: what goes with failure and how sure; rates, and no promise."""

import re
from datetime import timedelta
from typing import Any

import pytest
from tests.builders import BEGAN, an_attempt, clearances, fits_of_failures, some_course
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling.results import (
    Count,
    Finding,
    Findings,
    MoreNeeded,
    NotJudged,
    Retired,
)
from platebook.analysis.grades.progress import Progress, progress
from platebook.practice.attempt import Attempt
from platebook.reports.text.analysis_text import (
    findings_lines,
    grade_line,
    progress_lines,
    support_line,
    values_line,
)
from platebook.reports.text.figures import FINDINGS
from platebook.values import replace

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
    """Sentence, the difference of its counts with the interval, and its notes."""
    counts = (Count(label="wide", failed=9, of=20), Count(label="others", failed=2, of=40))
    support = support_of(counts, "claim")
    assert findings_lines(_found(_finding(notes=("A note.",), support=support))) == (
        "60 attempts judged, 11 failed.",
        "",
        "Well supported:",
        "* Loose went with a wide seat: 9 of 20, against 2 of 40.",
        "  40 more in 100 (may be 18 to 61)",
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


def test_what_holds_no_longer_stands_below_what_does() -> None:
    """Under its own title, with what was counted since."""
    gone = Retired(attempt=81, day=None, counts=(), sentence="No longer so since attempt 81.")
    retired = _finding(sentence="A habit of old.", retired=gone)
    assert findings_lines(_found(_finding(sentence="A claim."), retired=(retired,)))[1:] == (
        "",
        "Well supported:",
        "* A claim.",
        "",
        "No longer so:",
        "~ A habit of old.",
        "  No longer so since attempt 81.",
    )


def test_what_moved_is_told_by_its_own_sentence() -> None:
    """How far a table moved stands in the sentence already."""
    counts = (Count(label="", failed=9, of=20), Count(label="", failed=2, of=40))
    moved = support_of(counts, "claim").model_copy(update={"unit": "mm"})
    assert support_line(_finding(support=moved)) == ""


def test_the_sides_are_named_where_the_sentence_counts_levels() -> None:
    """What is compared is read beside how much it is."""
    counts = (Count(label="", failed=29, of=32), Count(label="", failed=1, of=19))
    told = _finding(support=support_of(counts, "claim"), between="0 or 1-2 against 3-5 or 6+")
    assert support_line(told) == ("85 more in 100 (may be 61 to 93), 0 or 1-2 against 3-5 or 6+.")


def test_what_could_not_be_judged_is_said_once_a_reason() -> None:
    """Together with all that share it, by the names that the findings have for them."""
    not_judged = (
        NotJudged(variable="pilot_mm", reason="never changed"),
        NotJudged(variable="speed_step", reason="never changed"),
        NotJudged(variable="runout", reason="never changed"),
        NotJudged(variable="lubricant", reason="changed in 1 of 51 attempts"),
    )
    assert findings_lines(_found(not_judged=not_judged))[-3:] == (
        "Could not be judged:",
        "- pilot, speed, run-out: never changed",
        "- lubricant: changed in 1 of 51 attempts",
    )


def test_where_things_are_only_counted_nothing_is_excused() -> None:
    """A short log cannot judge anything, and a list of it all would say nothing."""
    short = find([an_attempt(result=("loose",)), an_attempt()])
    lines = findings_lines(short)
    assert lines == short.answer
    assert not any(sign.title in line for sign in FINDINGS.values() for line in lines)


CLEARANCES = clearances((0.03, 0.06, 0.11), (-0.02, 0.0, 0.01, 0.04), unmeasured=2)
FITS = fits_of_failures((), ("enters tilted and snaps", "drops in", "drops in and moves"))


def test_measured_values_are_told_by_middle_and_ends() -> None:
    """The middle one of four is the second: a value that was measured."""
    assert values_line(CLEARANCES) == (
        "loose: 3, middle 0.06 (0.03 to 0.11) mm; "
        "others: 4, middle 0.00 (\N{MINUS SIGN}0.02 to 0.04) mm; not written down on 2"
    )


def test_choices_are_counted_each() -> None:
    """In their order, those that were seen; nobody there is said to be none."""
    assert values_line(FITS) == "failed: 1 drops in, 2 drops in and moves; good: none"


def test_two_numbers_never_stand_beside_each_other() -> None:
    """A choice that is a number itself is counted "2 at 0"."""
    names = ((1.0, "0"), (2.0, "1-2"))
    checks = replace(FITS, showed=(1.0, 1.0, 2.0), others=(), names=names)
    assert values_line(checks) == "failed: 2 at 0, 1 at 1-2; good: none"


def test_values_stand_below_their_own_finding() -> None:
    """A finding without values stands alone."""
    first, second = _finding(sentence="One."), _finding(sentence="Two.")
    lines = findings_lines(_found(first, second), (None, CLEARANCES))
    at = lines.index("* Two.")
    assert lines[at + 1 :] == (f"  {values_line(CLEARANCES)}",)
    assert sum("middle" in line for line in lines) == 1


@pytest.mark.slow
def test_a_whole_answer_never_speaks_of_causes() -> None:
    """What was built into the log is found, with counts, and said to go with failure."""
    findings = find(planted(LONG, 7).attempts)
    text = "\n".join(findings_lines(findings))
    assert findings.findings
    assert all(f.sentence in text for f in findings.findings)
    assert not re.search(r"\bcaus", text, re.IGNORECASE)
    assert "went with" in text
    assert "(may be " in text


COURSE = some_course()


def _settings(*results: str, grade: str = "copper-1.5") -> list[Attempt]:
    return [
        an_attempt(
            grade=grade, result=(r,), began=BEGAN + timedelta(minutes=20 * n), attempt_id=f"{n:03}"
        )
        for n, r in enumerate(results)
    ]


def _line(shown: Progress, grade: str = "copper-1.5") -> str:
    standing = shown.grade(grade)
    assert standing is not None
    return grade_line(standing)


def test_an_empty_log_has_grades_ahead_and_no_rate() -> None:
    """Nothing is counted, and nothing is said of when practice was last."""
    head, *grades = progress_lines(progress(COURSE, []))
    assert head == "0 whole settings counted."
    assert len(grades) == len(COURSE.grades)
    assert not any("%" in line for line in grades)


def test_a_rate_stands_with_its_interval() -> None:
    """0 of 20 good: Wilson 0 to 0.1611, Newcombe, Stat Med 1998;17:857."""
    line = _line(progress(COURSE, _settings(*["loose"] * 20)))
    assert "0 of 20 good, 0 in 100 (may be 0 to 16)." in line
    assert "0 of 11 points: 11 good ones to go." in line


def test_the_other_end_is_the_mirror_image() -> None:
    """20 of 20 good: Wilson 0.8389 to 1, the same source turned round."""
    line = _line(progress(COURSE, _settings(*["good"] * 20)))
    assert "20 of 20 good, 100 in 100 (may be 84 to 100)." in line
    assert line.startswith("* 1.5 mm in copper: passed.")


def test_few_settings_are_not_enough_yet() -> None:
    """And forecast nothing."""
    line = _line(progress(COURSE, _settings("good", "loose")))
    assert line.startswith("> 1.5 mm in copper: now.")
    assert "Not enough yet: 2 of 5 settings." in line
    assert "At this rate" not in line


def test_an_outlook_is_a_chance_or_a_number_with_its_quartiles() -> None:
    """All failed is far off; nine good ones of eleven are near."""
    far = _line(progress(COURSE, _settings(*["loose"] * 12)))
    assert "Passed within 20 more settings: less than 1 in 100." in far
    near = _line(progress(COURSE, _settings(*["good"] * 7)))
    assert "4 good ones to go. About 4 more settings at this rate (4 to " in near
    last = _line(progress(COURSE, _settings(*["good"] * 10)))
    assert "1 good one to go. About 1 more setting at this rate." in last


def test_a_grade_that_slips_back_says_what_is_due() -> None:
    """Passed with eleven good ones, then failure after failure."""
    line = _line(progress(COURSE, _settings(*["good"] * 11, *["loose"] * 12)))
    assert line.startswith("! 1.5 mm in copper: slipping.")
    assert "it is to be passed again" in line


def test_work_of_ones_own_has_its_lines() -> None:
    """A stone outside the course stands under the grades, and in the line over everything."""
    log = [
        *_settings("good"),
        *(an_attempt(grade=None, stone_diameter_mm=5.02, metal="18k gold"),) * 3,
    ]
    *_, head, own, together = progress_lines(progress(COURSE, log))
    assert head == "Outside the course, counted for findings and not for points:"
    assert own.startswith("5.0 mm in 18k gold: 3 of 3 good, 100 in 100 (may be 44 to 100). ")
    assert "Longest row of good ones: 3." in own
    assert together.startswith("all whole settings: 4 of 4 good")


def test_what_does_not_count_is_counted_apart() -> None:
    """Parts and what was not judged, in a number."""
    log = [*_settings("good"), an_attempt(kind="part", part="width"), an_attempt(result=None)]
    head = progress_lines(progress(COURSE, log, today=BEGAN.date()))[0]
    assert head == (
        "1 whole setting counted; no points for 1 part exercise and 1 not judged; "
        "last practice today."
    )


def test_days_are_said_as_people_say_them() -> None:
    """Today, yesterday, then by number."""
    heads = [
        progress_lines(
            progress(COURSE, _settings("good"), today=BEGAN.date() + timedelta(days=days))
        )[0]
        for days in (0, 1, 9)
    ]
    assert [h.rpartition("last practice ")[2] for h in heads] == [
        "today.",
        "yesterday.",
        "9 days ago.",
    ]
