"""Which screen stands at which place; imported when one of them is first shown."""

from typing import TYPE_CHECKING

from platebook.tui.frame import BenchScreen
from platebook.tui.screens.classroom import ClassScreen
from platebook.tui.screens.course import CourseScreen
from platebook.tui.screens.drawer import DrawerScreen
from platebook.tui.screens.findings import FindingsScreen
from platebook.tui.screens.log import LogScreen
from platebook.tui.screens.progress import ProgressScreen

if TYPE_CHECKING:
    from platebook.tui.services import Services

SCREENS: dict[str, type[BenchScreen[None]]] = {
    "log": LogScreen,
    "findings": FindingsScreen,
    "progress": ProgressScreen,
    "course": CourseScreen,
    "drawer": DrawerScreen,
    "class": ClassScreen,
}


def page_at(place: str, services: "Services") -> BenchScreen[None]:
    """A new screen of this place."""
    return SCREENS[place](services)
