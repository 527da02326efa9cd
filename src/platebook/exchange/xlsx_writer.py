"""Attempts into an XLSX file as a person reads one: real dates, names before ids, nothing empty.

Days and times are date cells as a clock on the wall showed them, and the offset stands in a column
of its own, so that the file reads back exactly. A value that no cell holds exactly is text.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime

from platebook.exchange.xlsx_pages import Cells, Page, write_pages
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import SHEET_ROW
from platebook.practice.fields import fields
from platebook.practice.reading.attempt_rows import OFFSET, write_row
from platebook.practice.records import Inspection, SignOff
from platebook.values import Value

SHEET = "attempts"
LOOKS, SIGN_OFFS = "looks", "sign-offs"
_FIRST_YEAR = 1901
"""Before it the spreadsheets' own count of days is no calendar's."""

_IDS = ("attempt_id", "setter_id", "block", SHEET_ROW.name)
_FIRST = ("setter", "began", "minutes")


class Beside(Value, kw_only=True):
    """What others said of the attempts: their looks, and the grades they signed off by setter."""

    looks: tuple[Inspection, ...] = ()
    sign_offs: tuple[tuple[str, SignOff], ...] = ()


NOTHING_BESIDE = Beside()


def write_xlsx(attempts: Iterable[Attempt], beside: Beside = NOTHING_BESIDE) -> bytes:
    """All attempts with every field that is filled in any of them, and what others said.

    Numbers, lengths (mm), yes/no and dates are typed cells, everything else is text, never a
    formula. The line of headings stays in sight and filters.
    """
    logged = tuple(attempts)
    pages = [attempts_page(logged)]
    by_id = {attempt.attempt_id: attempt for attempt in logged}
    looks = [
        _look(look, by_id[look.attempt_id]) for look in beside.looks if look.attempt_id in by_id
    ]
    for title, others in ((LOOKS, looks), (SIGN_OFFS, [_signed(*s) for s in beside.sign_offs])):
        if others:
            names = [
                name for name in others[0] if any(row[name] not in {None, ""} for row in others)
            ]
            pages.append(Page(title=title, headings=tuple(names), rows=others))
    return write_pages(pages)


def attempts_page(attempts: Iterable[Attempt], title: str = SHEET) -> Page:
    """The sheet of these attempts, with every field that is filled in any of them."""
    rows = [_row(attempt) for attempt in attempts]
    return Page(title=title, headings=tuple(_columns(rows)), rows=rows)


def _row(attempt: Attempt) -> Cells:
    """The values of one attempt as they are put in cells: text wherever a value is not exact."""
    texts = write_row(attempt)
    typed: dict[str, object] = {n: getattr(attempt, n) for n in fields()} | dict(attempt.extra)
    cells: dict[str, object] = {}
    for name, text in texts.items():
        value = typed.get(name)
        if isinstance(value, datetime):
            cells |= _moment(name, value, attempt)
        elif isinstance(value, bool) or (isinstance(value, int | float) and _exact(value)):
            cells[name] = value
        elif text:
            cells[name] = text
    return cells


def _exact(value: float) -> bool:
    """Whether the number comes back from a cell as it is: the library writes 16 digits."""
    return float(f"{value:.16g}") == value


def _moment(name: str, began: datetime, attempt: Attempt) -> dict[str, object]:
    """A date cell and the offset beside it, or the text where a date cell is not exact."""
    if began.year < _FIRST_YEAR or began.microsecond % 1000:
        return {name: write_row(attempt)[name]}
    wall = began.replace(tzinfo=None)
    if attempt.day_only:
        return {name: wall.date()}
    return {name: wall, OFFSET: began.isoformat()[len(wall.isoformat()) :]}


def _columns(rows: Sequence[Cells]) -> list[str]:
    """Who and when, then the record's order, own columns, and the ids last; nothing empty."""
    filled = dict.fromkeys(name for row in rows for name in row)
    order = [*_FIRST, *fields(), *filled]
    names = [n for n in dict.fromkeys(order) if n in filled or not rows]
    last = [n for n in names if n in _IDS or n == OFFSET]
    return [*(n for n in names if n not in last), *last]


def _look(look: Inspection, attempt: Attempt) -> dict[str, object]:
    return {
        "setter": attempt.setter,
        "began": write_row(attempt)["began"],
        "plate": attempt.plate,
        "position": attempt.position,
        "looked by": look.inspector,
        "looked": look.looked.replace(tzinfo=None) if look.looked else None,
        "result": ";".join(look.result or ()),
        "severity": ";".join(map(str, look.severity or ())),
        "clock": look.clock,
        "comment": look.comment,
        "own result": ";".join(attempt.result or ()),
        "drawn at random": look.drawn_at_random,
        "attempt_id": look.attempt_id,
    }


def _signed(setter: str, sign_off: SignOff) -> dict[str, object]:
    return {
        "setter": setter,
        "grade": sign_off.grade,
        "course": sign_off.course,
        "signed by": sign_off.signed_by,
        "signed": sign_off.signed.replace(tzinfo=None) if sign_off.signed else None,
        "comment": sign_off.comment,
        "setter_id": sign_off.setter_id,
    }
