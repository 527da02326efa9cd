"""Under the stair of grades: work of one's own, and all whole settings together, a line each."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.parts.text import MARK, fit, line, stack, txt

if TYPE_CHECKING:
    from platebook.analysis.success.tally import Tally

SHOWN = 2
"""Lines that are shown of many: those around the one in focus."""

COUNTS = 20


class OwnLines(Widget):
    """Title and counts of each; the most practised on top, all together at the foot."""

    DEFAULT_CSS = "OwnLines { height: auto; }"

    lines: reactive["Sequence[Tally]"] = reactive((), layout=True)
    chosen: reactive[int | None] = reactive(None, layout=True)

    def render(self) -> Content:
        """The lines, or those around the chosen one where there are many."""
        if not self.lines:
            return txt("")
        shown = self._shown()
        more = len(self.lines) - len(shown)
        return stack(
            *(self._line(place) for place in shown),
            *([txt(f"  … {more} more outside the course (down)", "$muted")] if more else []),
        )

    def _shown(self) -> range:
        count = len(self.lines)
        if count <= SHOWN:
            return range(count)
        first = min(max((self.chosen or 0) - SHOWN // 2, 0), count - SHOWN)
        return range(first, first + SHOWN)

    def _line(self, place: int) -> Content:
        tally, here = self.lines[place], place == self.chosen
        counts = f"{tally.good} of {tally.attempts} good"
        room = max(self.size.width - COUNTS - 3, 8)
        return Content.assemble(
            (MARK if here else " ", "bold $accent"),
            (" " + fit(line(tally.title), room), "bold" if here else ""),
            f" {counts:>{COUNTS}}",
        )
