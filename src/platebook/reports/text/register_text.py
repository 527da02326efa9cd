"""The register of a class in words and signs, alike on a terminal and on the class's page.

`o` came, `.` missed, a blank: not in the class on that evening; the newest evening is at the right.
"""

from collections.abc import Sequence
from datetime import date

from rich.cells import cell_len

from platebook.analysis.classes.register import Register, RegisterRow, Sign
from platebook.reports.text.figures import GAP
from platebook.trade.phrases import count_of, day_words, full_day, stretch_words
from platebook.values import Value

CAME, MISSED, NOT_THERE = "o", ".", " "
LEGEND = "o came, . missed, blank: not in the class. The newest evening is at the right."
APART = "No longer coming:"
NO_EVENINGS = "Nobody of the class has logged anything in its dates yet."
ENOUGH_TO_SAY = 2
"""Weeks that somebody has been missing before it is said in words (judgement): one evening missed
is seen from the sign."""

WIDEST_NAME = 24
FEWEST_SIGNS = 8


def signs_of(signs: Sequence[Sign], apart: str = "") -> str:
    """A sign an evening, with `apart` between two."""
    of_sign: dict[Sign, str] = {"came": CAME, "missed": MISSED, None: NOT_THERE}
    return apart.join(of_sign[sign] for sign in signs)


def signs_in_words(evenings: Sequence[date], signs: Sequence[Sign]) -> str:
    """The signs for who hears them: missed 12 March, 19 March; not in the class on 3 evenings."""
    pairs = zip(evenings, signs, strict=True)
    missed = ", ".join(day_words(day, evenings[-1]) for day, sign in pairs if sign == "missed")
    words = [f"missed {missed}"] if missed else []
    if not missed and "came" in signs:
        words.append("came each time")
    if None in signs:
        words.append(f"not in the class on {count_of(signs.count(None), 'evening')}")
    return "; ".join(words)


def months_above(evenings: Sequence[date], each: int = 1) -> str:
    """The months over the signs, each where its first evening is; one without room is left out.

    A sign takes `each` cells, with what parts it from the next.
    """
    line, last = "", None
    for number, evening in enumerate(evenings):
        place, month = number * each, (evening.year, evening.month)
        if month != last and (not line or len(line) < place):
            line = f"{line:<{place}}{evening:%b}"
        last = month
    return line


def evenings_words(row: RegisterRow) -> str:
    """How often somebody came: 9 of 12 evenings."""
    return f"{row.came} of {count_of(row.of, 'evening')}" if row.of else "no evening yet"


def missing_words(row: RegisterRow) -> str:
    """For how long somebody has been missing; empty for who is not, or for a week only."""
    if row.left or not row.active:
        return "left" if row.left else "put aside"
    if row.missing_since is None:
        return ""
    if row.missing_weeks is None:
        return "never seen"
    weeks = row.missing_weeks
    return f"not seen for {weeks} weeks" if weeks >= ENOUGH_TO_SAY else ""


def newest_words(called: str, register: Register) -> str:
    """How many came on the newest evening: "Monday: 9 of 10 came on 15 June 2026"."""
    if not register.rows:
        return f"{called}: nobody is in it yet"
    if not register.evenings:
        return f"{called}: nobody has logged anything yet"
    newest = [row.signs[-1] for row in register.rows]
    there = len(newest) - newest.count(None)
    day = register.evenings[-1]
    return f"{called}: {newest.count('came')} of {there} came on {full_day(day)}"


def missing_names(register: Register) -> str:
    """Who has been missing for longer than a week, and for how long; empty for nobody."""
    missing = ((row.name, missing_words(row)) for row in register.coming)
    return "; ".join(f"{name} {words}" for name, words in missing if words)


class RegisterLine(Value):
    """A line of the register, in three so that a screen can colour its signs."""

    before: str
    signs: str = ""
    behind: str = ""

    @property
    def text(self) -> str:
        """All of it."""
        return f"{self.before}{self.signs}{self.behind}".rstrip()


def register_lines(called: str, register: Register, width: int) -> tuple[RegisterLine, ...]:
    """The register as lines of at most `width` cells; as many evenings as fit, the newest ones."""
    if not register.rows:
        return (RegisterLine(f"{called}: nobody is in it yet."),)
    if not register.evenings:
        people = count_of(len(register.rows), "person", "people")
        return RegisterLine(f"{called}: {people}."), RegisterLine(NO_EVENINGS)
    names = [cell_len(row.name) for row in register.rows]
    name_width = max((n for n in names if n <= WIDEST_NAME), default=0)
    counted = max(len(evenings_words(row)) for row in register.rows)
    words = max(len(missing_words(row)) for row in register.rows)
    beside = name_width + GAP + GAP + counted + (GAP + words if words else 0)
    room = width - beside
    each = 2 if 2 * len(register.evenings) <= room else 1
    shown = min(len(register.evenings), max(FEWEST_SIGNS, room))

    gap = " " * GAP

    def lines_of(row: RegisterRow) -> tuple[RegisterLine, ...]:
        # A name that is too wide for the column has a line to itself: no name is cut.
        alone = cell_len(row.name) > name_width
        name = "" if alone else row.name
        line = RegisterLine(
            name + " " * (name_width - cell_len(name)) + gap,
            f"{signs_of(row.signs[-shown:], ' ' * (each - 1)):<{shown * each - (each - 1)}}",
            f"{gap}{evenings_words(row):<{counted}}{gap}{missing_words(row)}".rstrip(),
        )
        return (RegisterLine(row.name), line) if alone else (line,)

    title = f"{called}: {count_of(len(register.evenings), 'evening')}"
    if shown < len(register.evenings):
        title += f", the last {shown} shown"
    title += f", {stretch_words(register.evenings[0], register.evenings[-1])}"
    above = " " * (name_width + GAP) + months_above(register.evenings[-shown:], each)
    coming = [line for row in register.coming for line in lines_of(row)]
    apart = [line for row in register.apart for line in lines_of(row)]
    no_longer = (RegisterLine(""), RegisterLine(APART), *apart) if apart else ()
    head = RegisterLine(f"{title}."), RegisterLine(above.rstrip())
    return (*head, *coming, *no_longer, RegisterLine(""), RegisterLine(LEGEND))
