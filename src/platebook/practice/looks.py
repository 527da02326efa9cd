"""Results and severities as people type them: `good`, `loose; tilted` with `2 1`, `4+1`."""

import difflib
import re
from collections.abc import Mapping

from platebook.practice.defects import GOOD, MISSED
from platebook.practice.fields import choices
from platebook.practice.look import DEFAULT_SEVERITY, RESULT_KEYS, SEVERITIES
from platebook.practice.text import clean
from platebook.practice.values import read_choice

_BETWEEN_RESULTS = re.compile(r"[;+,]")
_BETWEEN_SEVERITIES = re.compile(r"\s*[;+,]\s*|\s+")
_SEVERITY_WORDS: Mapping[str, int] = {
    **{str(size): size for size in SEVERITIES},
    **{name: size for size, name in SEVERITIES.items()},
}


def read_result(text: str, *, part: bool = False) -> tuple[tuple[str, ...] | None, str]:
    """`good`, or the defects in the order typed; for a part exercise `good` or `missed`.

    An empty text is an attempt that was not judged: (None, "").
    """
    words = [word for word in map(str.strip, _BETWEEN_RESULTS.split(clean(text))) if word]
    if part:
        return _read_part_result(words)
    found: list[str] = []
    for word in words:
        value, expected = read_choice(RESULT_KEYS.get(word.casefold(), word), choices()["result"])
        if expected or not isinstance(value, str):
            return None, _nearest(word) + expected
        if value in found:
            return None, f"each defect once; {value} stands twice"
        found.append(value)
    if GOOD in found and len(found) > 1:
        return None, "good alone, or defects alone"
    return tuple(found) or None, ""


def read_severity(text: str) -> tuple[tuple[int, ...] | None, str]:
    """Severities in the order of the defects; a gap between two stands for "clear"."""
    typed = clean(text).casefold().rstrip("; +,")
    if not typed:
        return None, ""
    found: list[int] = []
    for word in _BETWEEN_SEVERITIES.split(typed):
        size = _SEVERITY_WORDS.get(word) if word else DEFAULT_SEVERITY
        if size is None:
            return None, "1 slight, 2 clear or 3 lost, in the order of the defects"
        found.append(size)
    return tuple(found), ""


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
