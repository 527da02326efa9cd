"""Progress: the grades in the course's order, one's own work under them, the one in focus in full.

Each grade tells a state in a word, counts and points; the first one is on top, as in Course, and
under the last one stands what was set outside the course and all together. The one in focus is
shown as its success curve, by setting or by date, or by the calendar.
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

from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.success.change import change_words
from platebook.practice.people.received import Received
from platebook.reports.text.figures import GRADES, SLIPPING, outlook_words, waits_for_sign_off
from platebook.reports.text.received_text import looks_line
from platebook.services.answers import progress
from platebook.services.from_others import from_others
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.grades.calendar_view import VIEWS, calendar_view
from platebook.tui.grades.curve_chart import curve_chart, now_line
from platebook.tui.grades.own_lines import OwnLines
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import NARROW, NOTHING, Head, Headline, bar, to_go_words
from platebook.tui.parts.plot import Plot
from platebook.tui.parts.signs import GRADE_STYLES, signs_before, with_slight
from platebook.tui.parts.text import MARK, fit, line, stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.analysis.grades.progress import GradeProgress, Progress
    from platebook.analysis.periods.calendar import By, Calendar
    from platebook.analysis.success.tally import Tally


STEP = 2
MANY = 5
TALL = 32
WORDS = 29
"""Cells of a step beside its title and its state."""
COUNTS = 16
"""Those of them that its counts take; in a narrow window the headline alone tells them."""


class Stair(Widget):
    """One line a grade, in the course's order, each step further in than the one above it."""

    DEFAULT_CSS = "Stair { height: auto; }"

    grades: reactive["Sequence[GradeProgress]"] = reactive((), layout=True)
    chosen: reactive[int] = reactive(0, layout=True)
    alone: reactive[bool] = reactive(default=False, layout=True)
    """Whether nothing stands under it, so that all steps have room."""

    def render(self) -> Content:
        """The stair, the course's first grade on top."""
        if not self.grades:
            return txt("")
        shown = self._shown()
        before, after = shown.start, len(self.grades) - shown.stop
        return stack(
            *([txt(f"  … {before} before", "$muted")] if before else []),
            *(self._step(place) for place in shown),
            *([txt(f"  … {after} after", "$muted")] if after else []),
        )

    def _shown(self) -> range:
        """The steps shown: all of them, or those around the chosen one where height is short."""
        count = len(self.grades)
        if count <= MANY or self.alone or self.app.size.height >= TALL:
            return range(count)
        first = min(max(self.chosen - MANY // 2, 0), count - MANY)
        return range(first, first + MANY)

    def _step(self, place: int) -> Content:
        grade = self.grades[place]
        step = STEP if len(self.grades) <= MANY else 1
        longest = max(len(GRADES[g.state].words) for g in self.grades)
        narrow = self.app.size.width < NARROW
        words = WORDS - COUNTS if narrow else WORDS
        room = max(self.size.width - step * len(self.grades) - words - longest, 8)
        indent = step * place
        mark = MARK if place == self.chosen else " "
        title = fit(grade.title or grade.grade, room)
        sign = GRADES[grade.state]
        state = f"{sign.drawn} {sign.words:<{longest}}"
        counted = f"{grade.good:>3} of {grade.attempts:<3} good" if grade.attempts else ""
        counts = "" if narrow else f" {counted:<{COUNTS - 1}} "
        points = f"{grade.points}/{grade.promote_at}"
        rest = " " * (step * (len(self.grades) - place - 1))
        return Content.assemble(
            (mark, "bold $accent"),
            ("▁" * indent, "$rule"),
            (" " + title, "bold" if place == self.chosen else ""),
            rest,
            " ",
            (state, GRADE_STYLES[grade.state]),
            f"{counts} {points:>5}",
        )


CURVE = "curve"
VIEW_NAMES = (CURVE, *VIEWS)
PAGE = 5
WAITING = "Counting …"
LATER = (
    "From the first whole setting on its curve stands here: how many of 100 come out good, with "
    "its limits; v shows months, terms and evenings. Part exercises are not counted."
)
EMPTY = "No whole setting is counted yet. Go to Now (n) and log the first one."


class ProgressScreen(BenchScreen[None]):
    """The stair on top, the grade in focus under it."""

    PLACE: ClassVar[str] = "progress"
    OF_A_SETTER = True
    DEFAULT_CSS = """
    ProgressScreen {
        #stair { height: auto; max-width: 80; padding: 0 1; }
        #told { height: auto; padding: 0 1; color: $text-warning; display: none; }
        #others { height: auto; padding: 0 1; color: $text-muted; display: none; }
        #curve { height: 1fr; padding: 0 1; }
        #later { height: auto; padding: 1 0 0 0; }
        #calendar { height: 1fr; padding: 0 0 0 1; display: none; scrollbar-size-vertical: 1; }
        #periods { padding: 0 1 0 0; }
        &.-tall #calendar { padding: 1 0 0 1; }
    }
    """

    VERTICAL_BREAKPOINTS = [(0, "-low"), (TALL, "-tall")]  # noqa: RUF012 - as Textual has it

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
        """A line from the top: the grades by their place, then those under the stair."""
        self.view = CURVE
        self.by_date = False

    def body(self) -> ComposeResult:
        """The line in focus as the headline, stair, curve."""
        yield Headline(WAITING)
        yield Words(id="told")
        with Vertical(id="stair"):
            yield Stair()
            yield OwnLines()
        yield Words(id="others")
        with Vertical(id="curve"):
            yield Words(id="later")
            yield Plot()
        with VerticalScroll(id="calendar", can_focus=False):
            yield Words(id="periods")

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        if self.told_to_a_teacher():
            return
        self.ask(partial(self.session.call, progress), self.Loaded, newest_only=True)
        self.ask(partial(self.session.call, from_others), self.OthersFound, newest_only=True)

    @on(OthersFound)
    def show_others(self, event: OthersFound) -> None:
        """Say how many looks by others there are, and the last of them."""
        sentence = looks_line(event.value)
        self.query_one("#others", Words).say(txt(sentence))

    def tell(self, sentence: str) -> None:
        """Say one sentence under the headline."""
        self.query_one("#told", Words).say(txt(sentence))

    @on(Loaded)
    def show_grades(self, event: Loaded) -> None:
        """Show the stair, the grade practised in focus."""
        self.tell("")
        self.progress = event.value
        grades = self.progress.grades
        practised = [i for i, g in enumerate(grades) if g.practised]
        self.chosen = practised[-1] if practised else 0
        self.show()

    def action_move(self, by: int) -> None:
        """A line up or down: the stair, then what lies under it."""
        if self.progress is not None and self.progress.grades:
            lines = len(self.progress.grades) + len(_under_the_stair(self.progress))
            self.chosen = min(max(self.chosen + by, 0), lines - 1)
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
            narrow = self.app.size.width < NARROW
            shown = calendar_view(event.value, self.view, narrow=narrow)
            self.query_one("#periods", Words).show(shown)
            self.query_one("#calendar").scroll_home(animate=False)

    def show(self) -> None:
        """Bring all parts up to date."""
        progress = self.progress
        if progress is None or not progress.grades:
            return
        others = _under_the_stair(progress)
        below = self.chosen - len(progress.grades)
        is_grade = below < 0
        tally = progress.grades[self.chosen] if is_grade else others[below]
        stair, own = self.query_one(Stair), self.query_one(OwnLines)
        stair.grades, stair.chosen = progress.grades, self.chosen
        stair.alone = not progress.together.attempts
        own.lines, own.chosen, own.display = others, None if is_grade else below, bool(others)
        brief = self.size.height < TALL and self.size.width >= NARROW
        if is_grade:
            head = _head_of_grade(progress.grades[self.chosen], brief=brief)
        else:
            head = _head_of(tally)
        if not progress.together.attempts:
            head = replace(head, mind=txt(EMPTY))
        self.query_one(Headline).show(head)
        self.query_one("#curve").display = self.view == CURVE
        self.query_one("#calendar").display = self.view != CURVE
        if self.view != CURVE:
            self.ask(partial(_periods, tally, VIEWS[self.view]), self.Periods, newest_only=True)
        else:
            chart = curve_chart(tally, by_date=self.by_date) if tally.curve else None
            plot = self.query_one(Plot)
            plot.chart, plot.display = chart, chart is not None
            told = "" if progress.together.attempts else LATER
            self.query_one("#later", Words).say(txt(told, "$muted"))


def _periods(tally: "Tally", by: "By") -> "Calendar":
    from platebook.analysis.periods.calendar import calendar

    return calendar(tally, by)


def _under_the_stair(progress: "Progress") -> "tuple[Tally, ...]":
    """Work outside the course, and all together; nothing before the first whole setting."""
    return (*progress.own_work, progress.together) if progress.together.attempts else ()


def _head_of(tally: "Tally") -> Head:
    """Work outside the course, or all together: what it is and how it goes."""
    counted = f"Counted for findings, not for points.{_best(tally)}"
    title = with_slight(txt(tally.title), tally.last)
    return Head(title, stack(*_how_it_goes(tally)), txt(counted, "$muted"))


def _how_it_goes(tally: "Tally", *, brief: bool = False) -> list[Content]:
    """The counts with the share now, and whether it changed; nothing before the first setting."""
    if not tally.attempts:
        return []
    counted = "" if brief else f"{tally.good} of {tally.attempts} good; "
    counts = signs_before(tally.last, f"{counted}{now_line(tally)}")
    change = change_words(tally.change)
    return [counts, txt(change)] if change else [counts]


def _best(tally: "Tally") -> str:
    row = tally.longest_run
    return f" Longest row of good ones: {row}." if row > 1 else ""


def _head_of_grade(grade: "GradeProgress", *, brief: bool = False) -> Head:
    """The grade with its state and points, how it goes, what is ahead, and how many are to go.

    In `brief`, where the curve needs the lines, what the stair counts is left out, and the longest
    row, which the calendar has.
    """
    sign = GRADES[grade.state]
    state = f"{sign.drawn} {sign.words}"
    title = Content.assemble(
        (line(grade.title or grade.grade), "bold"), " ", (state, GRADE_STYLES[grade.state])
    )
    points = f" {grade.points} of {count_of(grade.promote_at, 'point')}"
    far = with_slight(Content.assemble(bar(grade.points, grade.promote_at, 11), points), grade.last)
    further = _further(grade)
    best = "" if brief else _best(grade)
    first, *said = _how_it_goes(grade, brief=brief) or [NOTHING]
    said += [txt(f"{further}{best}".strip())] if further or best else []
    said += [txt(grade.not_enough, "$muted")] if grade.not_enough else []
    under = Content(" ").join(said) if brief else stack(*said)
    number = (
        str(grade.good_to_go) if grade.state in TO_BE_PASSED or grade.state == "slipping" else ""
    )
    caption = to_go_words(grade.good_to_go)
    far = stack(*filter(None, (far, first)))
    return Head(title, far, under, number, caption if number else "")


def _further(grade: "GradeProgress") -> str:
    """What its state asks for, or what lies ahead; empty where nothing is known."""
    if grade.state == "to be signed off":
        return waits_for_sign_off(grade.points, grade.promote_at)
    if grade.state == "passed":
        signed = f", signed off by {line(grade.signed_by)}" if grade.signed_by else ""
        return f"Passed{signed}. Watch against slipping back: {grade.watch} of {grade.watch_at}."
    ahead = outlook_words(grade.forecast) if grade.forecast else ""
    return f"{SLIPPING} {ahead}".strip() if grade.state == "slipping" else ahead
