"""The calendar of one line of Progress as words on the screen, the newest period on top."""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.text.figures import in_columns
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
_BESIDE: tuple[int, ...] = (6, 11, 11, 11, 11, 11, 11)


def calendar_view(found: "Calendar", view: str) -> Content:
    """The periods, newest first, or months under each other and years side by side."""
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
        rows, widest = (head, *(period_cells(period) for period in newest)), _WIDEST
        told = "then: good of 100 at its end"
    head_line, *lines = in_columns(rows, widest[: len(rows[0])])
    row = [longest_words(found.longest_run)] if found.longest_run is not None else []
    undated = [f"Without a date: {found.undated}"] if found.undated else []
    return stack(
        Content.assemble((title, "bold"), f"  ({told})"),
        *(txt(words) for words in (*row, *undated)),
        txt(head_line, "$muted"),
        *(txt(words) for words in lines),
    )
