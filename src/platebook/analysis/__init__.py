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

import importlib
import sys
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platebook.analysis.agreement import agreement as agreement
    from platebook.analysis.find import find as find
    from platebook.analysis.find_class import find_class as find_class
    from platebook.analysis.hand import hand as hand
    from platebook.analysis.progress import progress as progress

_FUNCTIONS = ("agreement", "find", "find_class", "hand", "progress")


class _Package(ModuleType):
    """A package whose functions keep their names, though they live in modules of the same name."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _FUNCTIONS and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package


def __getattr__(name: str) -> object:
    if name not in _FUNCTIONS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{name}"), name)
