"""The judging: results, severities and when a result counts as a failure.

Severity 1 is "good, with a remark": counted as good, still analysed. A course may be stricter
(`failure_from`). Which defects fail at any severity, and which only where the grade says that the
back must enclose the point, stands in the table of defects.
"""

from collections.abc import Mapping

from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD, MISSED, defects, verdicts

NOT_RESCUED = "no"
DEFECTS = tuple(defect.name for defect in defects().values() if not defect.computed)
"""What is seen by looking, in the order of the table."""

COMPUTED = tuple(defect.name for defect in defects().values() if defect.computed)
"""What follows from stone and sheet, so that nothing is to be found out about it."""

RESULT_KEYS: Mapping[str, str] = {v.key: v.name for v in verdicts().values() if v.key}
"""What each digit of the number pad says, and each letter once the digits are taken."""

SEVERITIES = {1: "slight", 2: "clear", 3: "lost"}
DEFAULT_SEVERITY = 2


def severity_of(attempt: Attempt, defect: str) -> int | None:
    """Severity of one defect of the attempt; None where the attempt does not show that defect."""
    if attempt.result is None or defect not in attempt.result or defect == GOOD:
        return None
    place = attempt.result.index(defect)
    given = attempt.severity or ()
    return given[place] if place < len(given) else DEFAULT_SEVERITY


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
    return any(
        fails(
            defect,
            severity_of(attempt, defect),
            failure_from=failure_from,
            enclosed=enclosed,
        )
        for defect in attempt.result
        if defect != GOOD
    )
