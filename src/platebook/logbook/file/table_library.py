"""sqlite-utils, which takes a file through its migrations, loaded without what no logbook needs.

It takes longer to load than a whole question to a logbook, and most programs only ask: whoever
makes or changes tables imports this where it is done.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType

_NOT_FOR_A_LOGBOOK = ("pandas", "numpy")
"""Modules that sqlite-utils loads where they are installed, though a logbook never needs them."""


@contextmanager
def _without_heavy_modules() -> Iterator[None]:
    loaded: dict[str, ModuleType | None] = {m: sys.modules.get(m) for m in _NOT_FOR_A_LOGBOOK}
    absent = [name for name, module in loaded.items() if module is None]
    for name in absent:
        sys.modules[name] = None  # type: ignore[assignment]  # makes importing it an ImportError
    try:
        yield
    finally:
        for name in absent:
            sys.modules.pop(name, None)


with _without_heavy_modules():
    from sqlite_utils import Database as Tables
    from sqlite_utils import Migrations

__all__ = ["Migrations", "Tables"]
