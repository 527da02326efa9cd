"""The class at a glance: a line a setter under headings, the reason beside it or under the mark."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Literal

from rich.cells import cell_len
from textual.content import Content
from textual.reactive import reactive

from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.reports.text.class_text import REASON_TOO, lately_words, who_has_reasons
from platebook.reports.text.figures import OUTCOMES
from platebook.trade.phrases import day_words
from platebook.tui.parts.signs import OUTCOME_STYLES
from platebook.tui.parts.text import MARK, fit, held_together, in_initials, line, txt
from platebook.tui.parts.widgets import PickList
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueReason, QueueRow, SetterLine


HEADINGS = ("name", "where", "to go", "last 8", "last seen", "why look")
TO_GO, SIGNS = 2, 3
MOST = (20, 18, 5, 8, 12)
"""So many cells each column takes at most, but for the reason, which has what is left."""

LEAST_NAME = 12
"""So many cells the names keep where the reason takes what it needs."""

WIDE = 110
"""From so many columns on every reason stands whole; below, one word or two for each."""

TALL = 32
"""From so many lines on, what the one marked used stands under the list."""

SHORT = {
    "keeps coming back": "comes back",
    "verdict": "odd verdict",
    "ready to move up": "may move up",
}
"""Shorter words for the reasons that need them; the others are said as the queue calls them."""

DRAWN = "*"
DRAWN_WORDS = "drawn at random, to see how eyes agree"
"""The sign of what was drawn at random on a plate, and what it means; it is no reason to look."""

LEFT = "left"

SLIM = 70
"""Below so many columns only name, grade and the last eight stand before the reason."""
SLIM_COLUMNS = (0, 1, SIGNS)

SIGN_STYLES = {OUTCOMES[outcome].drawn: style for outcome, style in OUTCOME_STYLES.items()}
"""By what is drawn of a setting that counts so."""


class Glance(Value):
    """One setter's cells: the five of `HEADINGS` before the reason, the reason short and whole.

    `about` is how it goes lately, for where a line of its own has room.
    """

    cells: tuple[str, str, str, str, str]
    short: str
    reason: str
    about: str = ""


def glance_of(setter: "SetterLine", queue: Sequence["QueueRow"]) -> Glance:
    """The line of a setter, with the weightiest reason of the queue to look at their work."""
    due = next((row for row in queue if row.setter_id == setter.setter_id), None)
    where = setter.grade_short or setter.grade or "-"
    to_go = str(setter.good_to_go) if setter.state in TO_BE_PASSED else "-"
    signs = "".join(OUTCOMES[outcome].drawn for outcome in setter.last)
    cells = (line(setter.name), line(where), to_go, signs or "-", last_seen(setter))
    about = "; ".join(lately_words(setter))
    if due is None and setter.left:
        return Glance(cells, LEFT, LEFT, about)
    if due is None or not due.reasons:
        return Glance(cells, "-", "", about)
    return Glance(cells, short_of(due.reasons[0]), line(due.reasons[0].sentence), about)


def short_of(reason: "QueueReason") -> str:
    """A reason in a word or two, with what came up again: loose again, 3 o'clock again."""
    return f"{reason.what} {SHORT.get(reason.why, reason.why)}".strip()


def due_row(row: "QueueRow", reasoned: Collection[str], *, whole: bool) -> str:
    """A row of the queue: whose it is, and each reason, in a word or two or `whole`.

    Of who was only drawn, that they have a row for a reason (`who_has_reasons`) as well.
    """
    if not row.reasons and row.setter_id in reasoned:
        words = REASON_TOO
    elif whole:
        words = "; ".join(reason.sentence for reason in row.reasons)
    else:
        words = ", ".join(map(short_of, row.reasons))
    return f"{row.setter}: {words}" if words else row.setter


def last_seen(setter: "SetterLine") -> str:
    """The day of the last practice as a person says it: today, yesterday, 3 March, 3 Mar 2025."""
    if not setter.last_day or setter.days_since is None:
        return "never" if not setter.attempts else "-"
    if setter.days_since < 2:
        return "yesterday" if setter.days_since else "today"
    day = date.fromisoformat(setter.last_day)
    today = day + timedelta(days=setter.days_since)
    return day_words(day, today) if day.year == today.year else f"{day.day} {day:%b %Y}"


class ClassList(PickList):
    """A list of rows, or with `glances` the class under its headings; `rows` are as many.

    The reason of the row `headlined` stands above the list and is not said again under it. A reason
    that the row has no room for stands under the row marked; where all fit, each row has its own
    under it, and where that fits too the others how it goes lately. Above the row `drawn_from`
    stands that what follows was only drawn at random.
    """

    glances: reactive[Sequence[Glance]] = reactive(())
    headlined: reactive[int | None] = reactive(None)
    drawn_from: reactive[int | None] = reactive(None)

    def show_class(
        self, standings: Sequence["SetterLine"], by_weight: Sequence["QueueRow"]
    ) -> None:
        """A glance at each setter; whoever the weightiest row is about is told of above."""
        self.wrapped, self.drawn_from = False, None
        self.rows = tuple((setter.name, "") for setter in standings)
        self.glances = tuple(glance_of(setter, by_weight) for setter in standings)
        first = by_weight[0].setter_id if by_weight else ""
        ids = [setter.setter_id for setter in standings]
        self.headlined = ids.index(first) if first in ids else None

    def show_queue(self, queue: Sequence["QueueRow"], *, whole: bool, drawn_last: bool) -> None:
        """What to look at, its reasons `whole` or short; what was only drawn may stand last."""
        self.wrapped, self.glances = True, ()
        reasoned = who_has_reasons(queue)
        self.rows = tuple((due_row(row, reasoned, whole=whole), "") for row in queue)
        drawn = (n for n, row in enumerate(queue) if not row.reasons)
        self.drawn_from = next(drawn, None) if drawn_last else None

    _each_told: Literal["no", "why", "all"] = "no"

    def head(self) -> list[Content]:
        """The headings, and which of how many is marked where not all fit; none for the queue."""
        if not self.glances:
            return []
        widths, gap = self._widths()
        headings = (self._who if cell_len(self._who) <= widths[0] else HEADINGS[0], *HEADINGS[1:])
        cells = (_padded(headings[n], n, width) for n, width in widths.items())
        return [Content.styled(f"  {gap.join((*cells, HEADINGS[-1]))}", "$muted")]

    def _shown(self) -> list[tuple[int, Content]]:
        why = [self._under(n) for n in range(len(self.glances))]
        told = [words or self.glances[n].about for n, words in enumerate(why)]
        self._each_told = "all" if self._fit(told) else "why" if self._fit(why) else "no"
        return super()._shown()

    def _fit(self, under: Sequence[str]) -> bool:
        """Whether these words have room, each under its row; a line that breaks takes two."""
        width = max(self.size.width - 4, 8)
        lines = (-(-cell_len(words) // max(width - 6, 2)) for words in under)
        return 1 + len(self.glances) + sum(lines) <= self.size.height

    def _under(self, place: int) -> str:
        """The reason that stands under a row where there is room; empty for none."""
        glance = self.glances[place]
        told = glance.reason != glance.short and place != self.headlined
        return glance.reason if told and not self._wide else ""

    @property
    def _wide(self) -> bool:
        return self.size.width >= WIDE

    @property
    def _who(self) -> str:
        """The heading of the names, with which of how many is marked where rows are hidden."""
        many, who = len(self.glances), HEADINGS[0]
        return f"{who} {self.marked + 1} of {many}" if many >= self.size.height else who

    def _widths(self) -> tuple[dict[int, int], str]:
        """The columns before the reason, as wide as they need, and what stands between."""
        widths = {
            n: min(
                max(
                    len((self._who, *HEADINGS[1:])[n]),
                    *(cell_len(glance.cells[n]) for glance in self.glances),
                ),
                most,
            )
            for n, most in enumerate(MOST)
            if self.size.width >= SLIM or n in SLIM_COLUMNS
        }
        if self._wide:
            return widths, "  "
        reason = max(len(HEADINGS[-1]), *(cell_len(glance.short) for glance in self.glances))
        missing = 2 + sum(widths.values()) + len(widths) + reason - self.size.width
        widths[0] -= max(0, min(missing, widths[0] - LEAST_NAME))
        return widths, " "

    def _row(self, place: int) -> list[Content]:
        if not self.glances:
            drawn = Content.styled("  drawn at random:", "$muted")
            return [*([drawn] if place == self.drawn_from else []), *super()._row(place)]
        glance, here = self.glances[place], place == self.marked
        widths, gap = self._widths()
        room = max(self.size.width - 2 - sum(widths.values()) - len(gap) * len(widths), 8)
        names = [each.cells[0] for each in self.glances]
        reason = (glance.reason or "-") if self._wide else glance.short
        texts = {n: glance.cells[n] for n in widths} | {
            0: in_initials(glance.cells[0], widths[0], names),
            len(MOST): reason,
        }
        widths[len(MOST)] = room
        columns = {n: folded(text, widths[n]) for n, text in texts.items()}
        lines = [
            Content.assemble(
                (f"{MARK} " if here and not n else "  ", "bold $accent"),
                Content(gap).join(
                    _cell(column[n] if n < len(column) else "", at, widths[at], here=here)
                    for at, column in columns.items()
                ),
            )
            for n in range(max(map(len, columns.values())))
        ]
        reason = self._under(place)
        told = reason or (glance.about if self._each_told == "all" else "")
        if told and (here or self._each_told != "no"):
            under = folded(told, max(self.size.width - 4, 8))
            style = "bold" if here and reason else "$muted"
            at = self.size.width - room
            if len(columns[len(MOST)]) > 1 and len(under) == 1 and cell_len(under[0]) + 5 <= at:
                # Beside the second line of why, where nothing stands yet.
                why = "".join(columns[len(MOST)][1:2])
                beside = (why, "bold" if here else "")
                lines[1] = Content.assemble((f"    {fit(under[0], at - 4)}", style), beside)
            else:
                lines += [Content.assemble("    ", (text, style)) for text in under]
        return lines


def folded(text: str, width: int) -> list[str]:
    """The text in lines of at most this width; all of it."""
    return [part.plain.strip() for part in held_together(txt(text), width).wrap(width)] or [""]


def _cell(text: str, at: int, width: int, *, here: bool) -> Content:
    padded = _padded(text, at, width)
    if at == SIGNS:
        return Content.assemble(*((sign, SIGN_STYLES.get(sign, "$muted")) for sign in padded))
    return Content.styled(padded, "bold" if here else "")


def _padded(text: str, at: int, width: int) -> str:
    """In exactly this width; numbers and signs end where their column does."""
    return f"{text:>{width}}" if at in {TO_GO, SIGNS} else fit(text, width)
