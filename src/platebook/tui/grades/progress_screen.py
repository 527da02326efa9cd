"""Progress: the grades as a stair, work of one's own under it, and the one in focus in full.

Each step of the stair tells a state in a word, counts and points; the easiest lies at the foot, and
under it what was set outside the course and all together. The one in focus is shown as its success
curve, by setting or by date, or by the calendar.
"""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.practice.received import Received
from platebook.reports.text.figures import (
    GRADES,
    SLIPPING,
    count_of,
    outlook_words,
    waits_for_sign_off,
)
from platebook.reports.text.received_text import looks_line
from platebook.services.answers import progress
from platebook.services.from_others import from_others
from platebook.tui.base_screen import Answered, BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.grades.calendar_view import VIEWS, calendar_view
from platebook.tui.grades.curve_chart import all_line, curve_chart, now_line
from platebook.tui.grades.own_lines import OwnLines
from platebook.tui.plot import Plot
from platebook.tui.text import MARK, fit, line, stack, txt
from platebook.tui.widgets import Words

if TYPE_CHECKING:
    from platebook.analysis.grades.calendar import By, Calendar
    from platebook.analysis.grades.progress import GradeProgress, Progress
    from platebook.analysis.grades.tally import Tally


STYLES = {
    "passed": "$text-success",
    "practised": "bold $accent",
    "tried": "$accent",
    "to be signed off": "$text-success",
    "slipping": "$text-warning",
    "ahead": "$muted",
}
STEP = 2
MANY = 5
TALL = 32
WORDS = 29


class Stair(Widget):
    """One line a grade, each step further in than the one below it."""

    DEFAULT_CSS = "Stair { height: auto; }"

    grades: reactive["Sequence[GradeProgress]"] = reactive((), layout=True)
    chosen: reactive[int] = reactive(0, layout=True)

    def render(self) -> Content:
        """The stair, hardest grade on top."""
        if not self.grades:
            return txt("")
        shown = self._shown()
        above, below = len(self.grades) - shown.stop, shown.start
        return stack(
            *([txt(f"  … {above} harder", "$muted")] if above else []),
            *(self._step(place) for place in reversed(shown)),
            *([txt(f"  … {below} easier", "$muted")] if below else []),
        )

    def _shown(self) -> range:
        """The steps shown: all of them, or those around the chosen one where height is short."""
        count = len(self.grades)
        if count <= MANY or self.app.size.height >= TALL:
            return range(count)
        first = min(max(self.chosen - MANY // 2, 0), count - MANY)
        return range(first, first + MANY)

    def _step(self, place: int) -> Content:
        grade = self.grades[place]
        step = STEP if len(self.grades) <= MANY else 1
        longest = max(len(g.state) for g in self.grades)
        room = max(self.size.width - step * len(self.grades) - WORDS - longest, 8)
        indent = step * place
        mark = MARK if place == self.chosen else " "
        title = fit(grade.title or grade.grade, room)
        state = f"{GRADES[grade.state].drawn} {grade.state:<{longest}}"
        counts = f"{grade.good:>3} of {grade.attempts:<3} good"
        points = f"{grade.points}/{grade.promote_at}"
        rest = " " * (step * (len(self.grades) - place - 1))
        return Content.assemble(
            (mark, "bold $accent"),
            ("▁" * indent, "$rule"),
            (" " + title, "bold" if place == self.chosen else ""),
            rest,
            " ",
            (state, STYLES[grade.state]),
            f" {counts}  {points:>5}",
        )


CURVE = "curve"
VIEW_NAMES = (CURVE, *VIEWS)
PAGE = 5
WAITING = "Counting …"
EMPTY = "No whole setting is counted yet. Go to Now (n) and log the first one."


class ProgressScreen(BenchScreen[None]):
    """The stair on top, the grade in focus under it."""

    PLACE: ClassVar[str] = "progress"
    DEFAULT_CSS = """
    ProgressScreen {
        #stair { height: auto; padding: 0 1; }
        #words { height: auto; padding: 1 1 0 1; }
        #others { height: auto; padding: 0 1; color: $text-muted; display: none; }
        #curve { height: 1fr; padding: 0 1; }
        #calendar { height: 1fr; padding: 0 1; display: none; scrollbar-size-vertical: 1; }
    }
    """

    class Loaded(Answered["Progress"]):
        """The progress."""

    class OthersFound(Answered[Received]):
        """What others saw and wrote."""

    class Periods(Answered["Calendar"]):
        """The calendar of the line in focus."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.progress: Progress | None = None
        self.chosen = 0
        """A grade by its place, the easiest 0; below 0 a line under the stair, the upper one -1."""
        self.view = CURVE
        self.by_date = False

    def body(self) -> ComposeResult:
        """Stair, words, curve."""
        with Vertical(id="stair"):
            yield Stair()
            yield OwnLines()
        yield Words(txt(WAITING), id="words")
        yield Words(id="others")
        with Vertical(id="curve"):
            yield Plot()
        with VerticalScroll(id="calendar", can_focus=False):
            yield Words(id="periods")

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.ask(partial(self.session.call, progress), self.Loaded, newest_only=True)
        self.ask(partial(self.session.call, from_others), self.OthersFound, newest_only=True)

    @on(OthersFound)
    def show_others(self, event: OthersFound) -> None:
        """Say how many looks by others there are, and the last of them."""
        sentence = looks_line(event.value)
        words = self.query_one("#others", Words)
        words.show(txt(sentence))
        words.display = bool(sentence)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the stair."""
        self.query_one("#words", Words).show(txt(sentence))

    @on(Loaded)
    def show_grades(self, event: Loaded) -> None:
        """Show the stair, the grade practised in focus."""
        self.progress = event.value
        grades = self.progress.grades
        practised = [i for i, g in enumerate(grades) if g.practised]
        self.chosen = practised[-1] if practised else 0
        self.show()

    def action_move(self, by: int) -> None:
        """A line up or down: the stair, then what lies under it."""
        if self.progress is not None and self.progress.grades:
            # The stair is drawn with the hardest grade on top, so up is the next harder one.
            lowest = -len(_under_the_stair(self.progress))
            self.chosen = min(max(self.chosen - by, lowest), len(self.progress.grades) - 1)
            self.show()

    def action_view(self) -> None:
        """The curve, then the calendar in one way after the other."""
        self.view = VIEW_NAMES[(VIEW_NAMES.index(self.view) + 1) % len(VIEW_NAMES)]
        self.show()

    def action_axis(self) -> None:
        """The curve by date, or by setting again."""
        self.by_date, self.view = not self.by_date, CURVE
        self.show()

    def action_page(self, by: int) -> None:
        """More of the calendar, where it does not fit."""
        self.query_one("#calendar").scroll_relative(y=by * PAGE, animate=False)

    @on(Periods)
    def show_periods(self, event: Periods) -> None:
        """Show the calendar, where it is still what is looked at."""
        if VIEWS.get(self.view) == event.value.by:
            self.query_one("#periods", Words).show(calendar_view(event.value, self.view))
            self.query_one("#calendar").scroll_home(animate=False)

    def show(self) -> None:
        """Bring all parts up to date."""
        progress = self.progress
        if progress is None or not progress.grades:
            return
        others = _under_the_stair(progress)
        below = -1 - self.chosen if self.chosen < 0 else None
        tally = progress.grades[self.chosen] if below is None else others[below]
        stair, own = self.query_one(Stair), self.query_one(OwnLines)
        stair.grades, stair.chosen = progress.grades, self.chosen
        own.lines, own.chosen, own.display = others, below, bool(others)
        if self.view != CURVE:
            words = _counts(tally)
        else:
            words = _words(progress.grades[self.chosen]) if below is None else _own_words(tally)
        empty = [txt(EMPTY, "bold")] if not progress.together.attempts else []
        self.query_one("#words", Words).show(stack(*empty, *words))
        self.query_one("#curve").display = self.view == CURVE
        self.query_one("#calendar").display = self.view != CURVE
        if self.view != CURVE:
            self.ask(partial(_periods, tally, VIEWS[self.view]), self.Periods, newest_only=True)
        else:
            chart = curve_chart(tally, by_date=self.by_date) if tally.curve else None
            self.query_one(Plot).chart = chart


def _periods(tally: "Tally", by: "By") -> "Calendar":
    from platebook.analysis.grades.calendar import calendar

    return calendar(tally, by)


def _under_the_stair(progress: "Progress") -> "tuple[Tally, ...]":
    """Work outside the course, and all together; nothing before the first whole setting."""
    return (*progress.own_work, progress.together) if progress.together.attempts else ()


def _counts(tally: "Tally") -> list[Content]:
    counts = [txt(f"{all_line(tally)}; {now_line(tally)}")] if tally.attempts else []
    return [txt(tally.title, "bold $accent"), *counts]


def _own_words(tally: "Tally") -> list[Content]:
    return [
        *_counts(tally),
        txt(f"Counted for findings, not for points.{_best(tally)}"),
    ]


def _best(tally: "Tally") -> str:
    row = tally.longest_run
    return f" Longest row of good ones: {row}." if row > 1 else ""


def _words(grade: "GradeProgress") -> list[Content]:
    parts = _counts(grade)
    parts.append(txt(f"{_points(grade)}{_best(grade)}"))
    if grade.not_enough:
        parts.append(txt(grade.not_enough, "$muted"))
    return parts


def _points(grade: "GradeProgress") -> str:
    if grade.state == "slipping":
        return f"{SLIPPING} {_to_go(grade)}"
    if grade.state == "to be signed off":
        return waits_for_sign_off(grade.points, grade.promote_at)
    if grade.state == "passed":
        signed = f", signed off by {line(grade.signed_by)}" if grade.signed_by else ""
        return f"Passed{signed}. Watch against slipping back: {grade.watch} of {grade.watch_at}."
    return _to_go(grade)


def _to_go(grade: "GradeProgress") -> str:
    ones = count_of(grade.good_to_go, "good one", "good ones in a row")
    to_go = f"{ones} to go (points {grade.points} of {grade.promote_at})"
    ahead = f"; {outlook_words(grade.forecast)}" if grade.forecast else ""
    return f"{to_go}{ahead}."
