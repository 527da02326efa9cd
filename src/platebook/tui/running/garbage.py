"""What the program has loaded is looked through for garbage no more.

Python looks through all that lives once it has grown by a quarter, wherever that falls: with the
app's modules that held up a key by a tenth of a second. What stands when Now is first filled stays
for as long as the program runs, and is set aside.
"""

import gc
from typing import Any

from textual.app import App


def set_aside_what_is_loaded(app: App[Any]) -> None:
    """Leave all that lives now out of later searches; an app without a terminal is left alone.

    Many such apps run in one process, and what one leaves behind has to go.
    """
    if not app.is_headless:
        gc.freeze()
