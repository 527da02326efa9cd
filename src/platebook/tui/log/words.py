"""What the Log says: how many it shows and how they came out, and a result in a few words."""

from typing import TYPE_CHECKING

from rich.cells import cell_len

from platebook.analysis.grades.whole_settings import WHOLE
from platebook.practice.results import LAST, with_weights
from platebook.reports.text.figures import good_of_line
from platebook.trade.phrases import count_of
from platebook.tui.parts.headline import Head
from platebook.tui.parts.signs import signs_before, with_slight
from platebook.tui.parts.text import txt
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.logbook.attempts.wanted_attempts import Order
    from platebook.services.attempts.log import LogRow

ORDERS: "dict[Order, str]" = {
    "time": "newest first",
    "stone": "largest stone first",
    "grade": "by grade, newest first",
}


class Shown(Value, kw_only=True):
    """What the list holds: the rows read so far, of `total` where that is known.

    `words` are what it is filtered by; `of_all` says that the rows are of every setter, `more` that
    not all of them are read.
    """

    rows: "tuple[LogRow, ...]"
    total: int | None
    order: "Order"
    words: str
    of_all: bool
    more: bool


def head_of(shown: Shown) -> Head:
    """How many attempts are shown and in which order, and how those read so far came out."""
    count = f"{len(shown.rows)} and more attempts"
    if shown.total is not None:
        count = count_of(shown.total, "attempt")
    count += f" with “{shown.words}”" if shown.words else ""
    whose = "of all setters" if shown.of_all else ""
    title = txt(", ".join(filter(None, (count, whose, ORDERS[shown.order]))))
    whole = [row for row in shown.rows if row.outcome and row.exercise == WHOLE]
    if not whole:
        return Head(title)
    good = sum(row.outcome != "failed" for row in whole)
    share = f"{_counted(shown)}: {good_of_line(good, len(whole))}"
    if shown.order != "time" or shown.of_all:
        return Head(title, txt(share))
    last = [row.outcome for row in reversed(whole[:LAST])]
    return Head(with_slight(title, last), signs_before(last, share))


def _counted(shown: Shown) -> str:
    """What the share is of: only what was read so far can be counted."""
    if not shown.more:
        return "whole settings"
    which = "newest" if shown.order == "time" else "first"
    return f"of the {which} {len(shown.rows)}"


def verdict_of(row: "LogRow", room: int | None = None) -> str:
    """The result with how bad each defect is, "high, clearly + gap, slight"; what has room."""
    results = with_weights(row.result, row.severity)
    ways = []
    for shown in range(len(results), 0, -1):
        left = len(results) - shown
        ways.append(" + ".join([*results[:shown], *([f"{left} more"] if left else [])]))
    # Where even the first is too long with how bad it is, the row marked says that.
    more = f" +{len(results) - 1}" if len(results) > 1 else ""
    ways += [f"{results[0]}{more}", f"{row.result[0]}{more}"]
    return next((said for said in ways if room is None or cell_len(said) <= room), ways[-1])
