"""What the program has loaded is not looked through for garbage.

Python looks through all that lives once it has grown by a quarter, wherever that falls: while the
app starts that is work for nothing (5 to 15 % of the imports, a rough figure), and with its modules
it held up a key by a tenth of a second. So it is looked for seldom until Now is first filled, or
says that a teacher has no exercise. What stands then stays for as long as the program runs, and is
set aside.
"""

import gc
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from textual.app import App

_AS_PYTHON_BEGINS = gc.get_threshold()
_WHILE_STARTING = 500_000
"""Objects made between two searches: a start makes a hundred and fifty thousand, which stay."""


def look_seldom_while_starting() -> None:
    """Search rarely from here until what is loaded is set aside."""
    gc.set_threshold(_WHILE_STARTING, *_AS_PYTHON_BEGINS[1:])


def set_aside_what_is_loaded(app: "App[Any]") -> None:
    """Leave all that lives now out of later searches; an app without a terminal is left alone.

    Many such apps run in one process, and what one leaves behind has to go.
    """
    if not app.is_headless:
        gc.freeze()
        gc.set_threshold(*_AS_PYTHON_BEGINS)
