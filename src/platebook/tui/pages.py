"""Which screen stands at which place; each is imported, with its use cases, when it is shown."""

from platebook.tui.bench_session import BenchSession
from platebook.tui.frame import BenchScreen


def page_at(place: str, session: BenchSession) -> BenchScreen[None]:
    """A new screen of this place."""
    match place:
        case "log":
            from platebook.tui.screens.log import LogScreen

            return LogScreen(session)
        case "findings":
            from platebook.tui.screens.findings import FindingsScreen

            return FindingsScreen(session)
        case "progress":
            from platebook.tui.screens.progress import ProgressScreen

            return ProgressScreen(session)
        case "course":
            from platebook.tui.screens.course import CourseScreen

            return CourseScreen(session)
        case "drawer":
            from platebook.tui.screens.drawer import DrawerScreen

            return DrawerScreen(session)
        case "class":
            from platebook.tui.screens.classroom import ClassScreen

            return ClassScreen(session)
    raise ValueError(place)
