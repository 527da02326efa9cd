"""The pages that keys lead to, each imported when it is first shown."""

from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.running.settings import Settings


def page_at(place: str, session: BenchSession, settings: Settings) -> BenchScreen[None]:
    """A new screen of this place, as it was set."""
    match place:
        case "log":
            from platebook.tui.log.screen import LogScreen

            return LogScreen(session)
        case "findings":
            from platebook.tui.findings.screen import FindingsScreen

            return FindingsScreen(session, method=settings.method)
        case "progress":
            from platebook.tui.grades.progress_screen import ProgressScreen

            return ProgressScreen(session)
        case "course":
            from platebook.tui.grades.course_screen import CourseScreen

            return CourseScreen(session, method=settings.method)
        case "drawer":
            from platebook.tui.drawer_screen import DrawerScreen

            return DrawerScreen(session)
        case "class":
            from platebook.tui.classroom.screen import ClassScreen

            return ClassScreen(session)
    raise ValueError(place)
