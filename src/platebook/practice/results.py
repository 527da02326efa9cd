"""Results and severities: as people type them, and when a result counts as a failure.

Severity 1 is "good, with a remark": counted as good, still analysed. A course may be stricter
(`failure_from`). Which defects fail at any severity, and which only where the grade says that the
back must enclose the point, stands in the table of defects.
"""

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING, Literal

from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD, MISSED, defects, verdicts
from platebook.practice.fields import choices
from platebook.practice.reading.field_values import read_choice
from platebook.practice.text import clean

if TYPE_CHECKING:
    from platebook.practice.courses.course import Course

NOT_RESCUED = "no"
DEFECTS = tuple(defect.name for defect in defects().values() if not defect.computed)
"""What is seen by looking, in the order of the table."""

COMPUTED = tuple(defect.name for defect in defects().values() if defect.computed)
"""What follows from stone and sheet, so that nothing is to be found out about it."""

RESULT_KEYS: Mapping[str, str] = {v.key: v.name for v in verdicts().values() if v.key}
"""What each digit of the number pad says, and each letter once the digits are taken."""

Outcome = Literal["", "good", "slight", "failed"]
"""How an attempt counts: slight is good with a remark, and empty is not judged."""
LAST = 8
"""So many settings are shown one by one, the last of them."""

SEVERITIES = {1: "slight", 2: "clear", 3: "lost"}
"""The answers to how bad a defect is."""

BEHIND_A_DEFECT = {1: "slight", 2: "clearly", 3: "setting lost"}
"""The same where they stand behind the defect alone: "high, clear" would read as nothing wrong."""

DEFAULT_SEVERITY = 2
NOT_JUDGED = "not judged"


def severity_of(attempt: Attempt, defect: str) -> int | None:
    """Severity of one defect of the attempt; None where the attempt does not show that defect."""
    if attempt.result is None or defect not in attempt.result or defect == GOOD:
        return None
    place = attempt.result.index(defect)
    severities = attempt.severity or ()
    return severities[place] if place < len(severities) else DEFAULT_SEVERITY


def fails(
    defect: str, severity: int | None, *, failure_from: int = 2, enclosed: bool = False
) -> bool:
    """Whether a defect of this severity makes a failure; None as the severity makes none.

    `failure_from` is the lowest severity that fails where the table does not say otherwise (a
    stricter course says 1). `enclosed` says that the grade wants the point enclosed. A word that is
    no defect of the table counts as an ordinary one.
    """
    known = defects().get(defect)
    rule = known.fails if known is not None else "clear"
    if severity is None or (rule == "enclosed" and not enclosed):
        return False
    return rule == "slight" or severity >= failure_from


def verdict(result: Sequence[str], severity: Sequence[int | None]) -> str:
    """A verdict in words: "high, clearly + gap, slight"; "not judged" for none."""
    return " + ".join(with_weights(result, severity)) or NOT_JUDGED


def with_weights(result: Sequence[str], severity: Sequence[int | None]) -> tuple[str, ...]:
    """Each defect with how bad it is: ("high, clearly", "gap, slight")."""
    return tuple(
        f"{defect}, {BEHIND_A_DEFECT.get(size, size)}" if size is not None else defect
        for defect, size in _pairs(result, severity)
    )


def as_typed(result: Sequence[str], severity: Sequence[int]) -> str:
    """A verdict as it is typed and read again: "high 2; gap 1"."""
    pairs = _pairs(result, severity)
    return "; ".join(f"{defect} {size}" if size is not None else defect for defect, size in pairs)


def _pairs(
    result: Sequence[str], severity: Sequence[int | None]
) -> Iterator[tuple[str, int | None]]:
    return zip_longest(result, severity[: len(result)])


def result_or_reason(attempt: Attempt) -> tuple[str, ...]:
    """What came out, else in one word why the attempt was not judged, as far as that is known."""
    return attempt.result or (attempt.ended or NOT_JUDGED,)


def slight_words(*, failure_from: int = 2) -> str:
    """How a slight fault of a whole setting counts, in a sentence; `failure_from` as in `fails`."""
    if failure_from < DEFAULT_SEVERITY:
        return "A slight fault counts as failed."
    strict = " or ".join(d.name for d in defects().values() if d.fails == "slight")
    never = f"; one that is {strict} never does" if strict else ""
    return f"A slight fault counts as good and is noted with it{never}."


def failed(attempt: Attempt, *, failure_from: int = 2, enclosed: bool = False) -> bool | None:
    """Whether the attempt is a failure; None where it was not judged.

    What was rescued by recutting or with a larger stone is never as good as a good one: it failed
    once, whatever came of it in the end (common practice). `failure_from` and `enclosed` are those
    of `fails`.
    """
    if attempt.result is None:
        return None
    if attempt.rescued not in (None, NOT_RESCUED):
        return True
    if attempt.result == (GOOD,):
        return False
    if MISSED in attempt.result:
        return True
    for defect in attempt.result:
        severity = severity_of(attempt, defect)
        if fails(defect, severity, failure_from=failure_from, enclosed=enclosed):
            return True
    return False


def failed_in(course: "Course", attempt: Attempt) -> bool | None:
    """Whether the attempt is a failure as this course judges, by its grade; None if not judged."""
    enclosed = course.encloses(attempt.grade)
    return failed(attempt, failure_from=course.failure_from, enclosed=enclosed)


def outcome_of(attempt: Attempt, *, failed: bool | None) -> Outcome:
    """How an attempt counts that is known to have `failed` or not; None where it was not judged."""
    if failed is None:
        return ""
    if failed:
        return "failed"
    return "good" if attempt.result == (GOOD,) else "slight"


_BETWEEN_RESULTS = re.compile(r"[;+,]")
_BETWEEN_SEVERITIES = re.compile(r"\s*[;+,]\s*|\s+")
_SEVERITY_WORDS: Mapping[str, int] = {
    **{str(size): size for size in SEVERITIES},
    **{name: size for size, name in SEVERITIES.items()},
    "clearly": 2,
}


def read_result(text: str, *, part: bool = False) -> tuple[tuple[str, ...] | None, str]:
    """`good`, or the defects in the order typed; for a part exercise `good` or `missed`.

    An empty text is an attempt that was not judged: (None, "").
    """
    words = [word for word in map(str.strip, _BETWEEN_RESULTS.split(clean(text))) if word]
    if part:
        return _read_part_result(words)
    results: list[str] = []
    for word in words:
        value, expected = read_choice(RESULT_KEYS.get(word.casefold(), word), choices()["result"])
        if expected or not isinstance(value, str):
            return None, _nearest(word) + expected
        if value in results:
            return None, f"each defect once; {value} stands twice"
        results.append(value)
    if GOOD in results and len(results) > 1:
        return None, "good alone, or defects alone"
    return tuple(results) or None, ""


def read_severity(text: str) -> tuple[tuple[int, ...] | None, str]:
    """Severities in the order of the defects; a gap between two stands for "clear"."""
    typed = clean(text).casefold().rstrip("; +,")
    if not typed:
        return None, ""
    sizes: list[int] = []
    for word in _BETWEEN_SEVERITIES.split(typed):
        size = _SEVERITY_WORDS.get(word) if word else DEFAULT_SEVERITY
        if size is None:
            return None, "1 slight, 2 clear or 3 lost, in the order of the defects"
        sizes.append(size)
    return tuple(sizes), ""


def too_many_severities(severity: tuple[int, ...] | None, result: tuple[str, ...] | None) -> str:
    """What was expected where there are more severities than defects, else ""."""
    defects = [word for word in result or () if word not in {GOOD, MISSED}]
    if severity is None or len(severity) <= len(defects):
        return ""
    return f"at most one severity a defect; defects here: {len(defects)}"


def _nearest(word: str) -> str:
    near = difflib.get_close_matches(word.casefold(), [c.value for c in choices()["result"]], 1)
    return f"{near[0]}, or " if near else ""


def _read_part_result(words: list[str]) -> tuple[tuple[str, ...] | None, str]:
    if not words:
        return None, ""
    word = words[0].casefold()
    if len(words) == 1 and word in {GOOD, "ok", "0"}:
        return (GOOD,), ""
    if len(words) == 1 and word == MISSED:
        return (MISSED,), ""
    return None, f"{GOOD} or {MISSED}, as this is a part exercise"
