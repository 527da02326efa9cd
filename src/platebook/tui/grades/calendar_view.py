"""The calendar of one line of Progress as words on the screen, the newest period on top."""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.text.figures import in_columns
from platebook.tui.parts.headline import DONE
from platebook.tui.parts.text import stack, txt

if TYPE_CHECKING:
    from platebook.analysis.periods.calendar import By, Calendar

VIEWS: dict[str, "By"] = {
    "by month": "month",
    "by term": "term",
    "by evening": "evening",
    "year beside year": "month",
}
"""What each view is called, and the periods that it is made of."""

BESIDE = "year beside year"
MOST = 120
"""Periods that are shown; more evenings than a screen can be paged through help nobody."""

_WIDEST: tuple[int, ...] = (20, 8, 14, 18, 10, 14)
_EVENINGS, _BARS = 1, 4
"""Columns that have no room in a narrow window; an evening's own count of evenings says nothing."""

_BESIDE: tuple[int, ...] = (6, 11, 11, 11, 11, 11, 11)


def calendar_view(found: "Calendar", view: str, *, narrow: bool = False) -> Content:
    """The periods, newest first, or months under each other and years side by side.

    In a narrow window the evenings and the bars have no room.
    """
    from platebook.reports.text.calendar_text import (
        longest_words,
        period_cells,
        period_head,
        years_beside,
    )

    title = f"{found.title[0].upper()}{found.title[1:]}, {view}"
    if not found.periods:
        return stack(txt(title, "bold"), txt("No dated whole setting yet."))
    if view == BESIDE:
        rows, widest = years_beside(found.periods), _BESIDE
        told = "good of all, and of 100"
    else:
        head = period_head(found.by)
        newest = found.periods[::-1][:MOST]
        left_out = {_EVENINGS, _BARS} if narrow else {_EVENINGS} if found.by == "evening" else set()
        kept = [n for n in range(len(head)) if n not in left_out]
        cells = (head, *(_drawn(period_cells(period)) for period in newest))
        rows = tuple(tuple(row[n] for n in kept) for row in cells)
        widest = tuple(_WIDEST[n] for n in kept)
        told = "then: good of 100 at its end"
    head_line, *lines = in_columns(rows, widest[: len(rows[0])])
    longest = found.longest_run
    row = [longest_words(longest)] if longest is not None and longest.settings > 1 else []
    undated = [f"Without a date: {found.undated}"] if found.undated else []
    return stack(
        Content.assemble((title, "bold"), f"  ({told})"),
        *(txt(words) for words in (*row, *undated)),
        txt(head_line, "$muted"),
        *(txt(words) for words in lines),
    )


def _drawn(cells: tuple[str, ...]) -> tuple[str, ...]:
    """The cells of a period with its bar as a line, as bars are drawn on every screen."""
    return (*cells[:_BARS], DONE * len(cells[_BARS]), *cells[_BARS + 1 :])
