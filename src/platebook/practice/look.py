"""The judging: results, severities and when a result counts as a failure.

Severity 1 is "good, with a remark": counted as good, still analysed. `loose` is a failure at any
severity. A course may be stricter (`failure_from`). `culet out` counts only where the grade says
that the back must enclose the point.
"""

from platebook.practice.attempt import Attempt

GOOD = "good"
MISSED = "missed"
NOT_RESCUED = "no"
LOOSE = "loose"
CULET_OUT = "culet out"
DEFECTS = (
    "loose",
    "high",
    "low",
    "tilted",
    "chipped",
    "marred",
    "scratched",
    "gap",
    "off mark",
)
RESULT_KEYS = {str(key): name for key, name in enumerate((GOOD, *DEFECTS))}
SEVERITIES = {1: "slight", 2: "clear", 3: "lost"}
DEFAULT_SEVERITY = 2


def severity_of(attempt: Attempt, defect: str) -> int | None:
    """Severity of one defect of the attempt; None where the attempt does not show that defect."""
    if attempt.result is None or defect not in attempt.result or defect == GOOD:
        return None
    place = attempt.result.index(defect)
    given = attempt.severity or ()
    return given[place] if place < len(given) else DEFAULT_SEVERITY


def failed(attempt: Attempt, *, failure_from: int = 2, enclosed: bool = False) -> bool | None:
    """Whether the attempt is a failure; None where it was not judged.

    What was rescued by recutting or with a larger stone is never as good as a good one: it failed
    once, whatever came of it in the end (common practice).
    `failure_from` is the lowest severity that fails a defect other than loose (a stricter course
    says 1). `enclosed` says that the grade counts `culet out`.
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
        if defect == GOOD or (defect == CULET_OUT and not enclosed):
            continue
        severity = severity_of(attempt, defect)
        if defect == LOOSE or (severity is not None and severity >= failure_from):
            return True
    return False
