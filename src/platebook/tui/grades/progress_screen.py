"""Progress: the grades as a stair, the success curve of the one in focus, and its points.

Each step of the stair tells a state in a word, counts and points; the easiest lies at the foot.
"""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.reports.text.figures import (
    GRADES,
    SLIPPING,
    count_of,
    outlook_words,
    waits_for_sign_off,
)
from platebook.services.answers import progress
from platebook.tui.base_screen import Answered, BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.findings.charts import all_line, curve_chart, now_line
from platebook.tui.plot import Plot
from platebook.tui.text import MARK, fit, line, stack, txt
from platebook.tui.widgets import Words

if TYPE_CHECKING:
    from platebook.analysis.grades.progress import GradeProgress, Progress


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


WAITING = "Counting …"
EMPTY = "No whole setting is counted yet. Go to Now (n) and log the first one."


class ProgressScreen(BenchScreen[None]):
    """The stair on top, the grade in focus under it."""

    PLACE: ClassVar[str] = "progress"
    DEFAULT_CSS = """
    ProgressScreen {
        #stair { height: auto; padding: 0 1; }
        #words { height: auto; padding: 1 1 0 1; }
        #curve { height: 1fr; padding: 0 1; }
    }
    """

    class Loaded(Answered["Progress"]):
        """The progress."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.progress: Progress | None = None
        self.chosen = 0

    def body(self) -> ComposeResult:
        """Stair, words, curve."""
        with Vertical(id="stair"):
            yield Stair()
        yield Words(txt(WAITING), id="words")
        with Vertical(id="curve"):
            yield Plot()

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.ask(partial(self.session.call, progress), self.Loaded, newest_only=True)

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
        """A grade up or down the stair."""
        if self.progress is not None and self.progress.grades:
            # The stair is drawn with the hardest grade on top, so up is the next harder one.
            self.chosen = min(max(self.chosen - by, 0), len(self.progress.grades) - 1)
            self.show()

    def show(self) -> None:
        """Bring all parts up to date."""
        progress = self.progress
        if progress is None or not progress.grades:
            return
        grade = progress.grades[self.chosen]
        stair = self.query_one(Stair)
        stair.grades, stair.chosen = progress.grades, self.chosen
        empty = [txt(EMPTY, "bold")] if not progress.settings else []
        self.query_one("#words", Words).show(stack(*empty, *_words(grade)))
        self.query_one(Plot).chart = curve_chart(grade) if grade.curve else None


def _words(grade: "GradeProgress") -> list[Content]:
    parts = [txt(grade.title or grade.grade, "bold $accent")]
    if grade.attempts:
        parts.append(txt(f"{all_line(grade)}; {now_line(grade)}"))
    parts.append(txt(_points(grade)))
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
