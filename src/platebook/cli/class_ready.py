"""After a school's attempts came in: what its class screen shows is worked out at once.

So the first opening takes no longer than the next. It is nothing that could be lost: stopped, or
never done, it is worked out when the screen is opened.
"""

from typing import TYPE_CHECKING

from platebook.cli.bar import long_work

if TYPE_CHECKING:
    from platebook.cli.bar import Work
    from platebook.services.desk import Desk


def make_ready(desk: "Desk") -> None:
    """Work out what a large class's screen shows, where something of it has changed."""
    from platebook.services.class_answers import read_ahead

    with long_work("Reading the class for its screen", left_unread) as work:
        read_ahead(desk, work)


def left_unread(work: "Work") -> str:  # noqa: ARG001 - as `long_work` asks
    """What is left where the reading is stopped."""
    return "everything came in; the class screen reads the rest when it is opened."
