"""The grades as a stair, easiest at the foot: state in a word, counts and points on each step."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.reports.signs import GRADES
from platebook.tui.text import MARK, fitted, stacked, txt

if TYPE_CHECKING:
    from platebook.analysis.grades.progress import GradeProgress


STYLES = {
    "passed": "$text-success",
    "working": "bold $accent",
    "waiting": "$text-success",
    "slipping": "$text-warning",
    "ahead": "$muted",
}
STEP = 2
MANY = 5
TALL = 32
WORDS = 37


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
        return stacked(
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
        room = max(self.size.width - step * len(self.grades) - WORDS, 8)
        indent = step * place
        mark = MARK if place == self.chosen else " "
        title = fitted(grade.title or grade.grade, room)
        state = f"{GRADES[grade.state].drawn} {grade.state:<8}"
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
