"""Public names of a package, each loaded from its room when it is first asked for.

So a package says what it gives without loading it: a command needs a few rooms of many.
"""

import sys
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def lazy_names(package: str, rooms: Mapping[str, str]) -> Callable[[str], Any]:
    """The `__getattr__` of a package; `rooms` are its modules by the name that each holds."""

    def load(name: str) -> Any:
        if name not in rooms:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value = getattr(import_module(f"{package}.{rooms[name]}"), name)
        # Kept there, it is found without this function from now on.
        setattr(sys.modules[package], name, value)
        return value

    return load
