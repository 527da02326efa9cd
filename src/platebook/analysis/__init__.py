"""Records in, results out: what goes with failure, the hand, progress, promotion, agreement.

| name | answers |
|---|---|
| `agreement` | how far a setter's eye agrees with an inspector's |
| `find` | what goes with failure in one setter's log |
| `find_class` | what a class shares, and what is one setter's own |
| `hand` | how wide the setter's seats come out, by bur shape |
| `progress` | how far the setter has come, grade by grade |

Each is loaded when first asked for, so that a command that needs none of it starts fast.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.analysis.classes.agreement import agreement
    from platebook.analysis.classes.find_class import find_class
    from platebook.analysis.findings.find import find
    from platebook.analysis.grades.progress import progress
    from platebook.analysis.measurements.hand import hand

__all__ = ["agreement", "find", "find_class", "hand", "progress"]

_ROOMS = {
    "agreement": "classes.agreement",
    "find": "findings.find",
    "find_class": "classes.find_class",
    "hand": "measurements.hand",
    "progress": "grades.progress",
}

__getattr__ = lazy_names(__name__, _ROOMS)
