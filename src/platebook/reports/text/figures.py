"""How numbers, columns and states are written for people, alike in text, on pages and screens.

Plain signs go with any terminal and printer; what a screen draws is given beside them. Nothing
heavy is loaded for it, so that a first screen has all of it before the logbook is open.
"""

import re
import textwrap
from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from rich.cells import cell_len, chop_cells

from platebook.trade.phrases import count_of, full_day, share_with_band
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow
    from platebook.analysis.grades.outlook import Forecast


def good_of_line(good: int, of: int) -> str:
    """Counts and share with its band, Wilson's: "21 of 30 good, 70 in 100 (may be 52 to 83)"."""
    counts = f"{good} of {of} good"
    if not of:
        return counts
    from platebook.analysis.models.intervals import wilson

    limits = wilson(good, of)
    return f"{counts}, {share_with_band(good / of, limits.low, limits.high)}"


def millimetres(length_mm: float | None) -> str:
    """A length with the decimals it has, at least two; a dash for none."""
    if length_mm is None:
        return "-"
    text = f"{length_mm:.3f}"
    return text.removesuffix("0")


def hundredths(length_mm: float) -> str:
    """A length to a hundredth, as near as one is cut or read at a bench."""
    return f"{length_mm:.2f}"


def in_whole_hundreds(turns: float | None) -> str:
    """A speed limit rounded down to whole hundreds; empty for none."""
    return "" if turns is None else f"{turns // 100 * 100:.0f}"


_NO_BREAK = "\u00a0"
_WITH_UNIT = re.compile(r"(?<=\d) (?=(?:mm|ga|in 100|degrees)\b|%)")
"""The blank between a number and its unit: a line does not end there."""


def folded(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most this width, each number with its unit; what has a hyphen stays whole.

    `first` begins the first line and `rest` the others. Ids of rules are typed, so they are never
    parted.
    """
    lines = textwrap.wrap(
        _WITH_UNIT.sub(_NO_BREAK, text),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    )
    return [line.replace(_NO_BREAK, " ") for line in lines]


def bytes_in_words(size: int) -> str:
    """So many bytes as a person says it: 900 bytes, 12 kB, 3.4 MB."""
    for unit, name in ((10**9, "GB"), (10**6, "MB")):
        if size >= unit:
            return f"{size / unit:.1f} {name}"
    return f"{round(size / 1000)} kB" if size >= 1000 else count_of(size, "byte")


def place_on_plate(plate: str, position: str) -> str:
    """Where an attempt lies, for somebody who looks for it: plate B, position 3."""
    return f"plate {plate}, position {position}" if plate else "no plate noted"


def place_in_queue(row: "QueueRow") -> str:
    """Where an attempt that is due lies; without a plate which one of which day it is."""
    if row.plate or not row.day:
        return place_on_plate(row.plate, row.position)
    day = full_day(date.fromisoformat(row.day))
    return f"attempt {row.number_of_day} of {day}, no plate noted"


GAP = 2


def in_columns(rows: Iterable[Sequence[str]], most: Sequence[int]) -> tuple[str, ...]:
    """The rows as lines, columns as wide as they need and `most` at most, two blanks between.

    A cell that needs more is folded at its blanks, and a word wider than its column is cut; what is
    left of it stands under it. Widths are in cells of a terminal, of which some letters take two.
    """
    table = [tuple(row) for row in rows]
    widths = [
        min(max((cell_len(row[n]) for row in table), default=0), limit)
        for n, limit in enumerate(most)
    ]
    return tuple(line for row in table for line in _lines(row, widths))


def _lines(row: Sequence[str], widths: Sequence[int]) -> Iterable[str]:
    cells = [_folded(cell, width) for cell, width in zip(row, widths, strict=True)]
    for n in range(max(map(len, cells), default=0)):
        parts = [cell[n] if n < len(cell) else "" for cell in cells]
        padded = (p + " " * (w - cell_len(p)) for p, w in zip(parts, widths, strict=True))
        yield (" " * GAP).join(padded).rstrip()


def _folded(text: str, width: int) -> list[str]:
    lines = [""]
    for word in text.split():
        # A letter of two cells does not fit a column of one, and is not cut either. A word that
        # takes no cells, such as a skin tone with nothing to colour, gives no pieces.
        first, *more = chop_cells(word, max(width, 2)) or [word]
        if lines[-1] and cell_len(lines[-1]) + 1 + cell_len(word) <= width:
            lines[-1] += f" {word}"
            continue
        lines += [first, *more]
        if not lines[0]:
            lines.pop(0)
    return lines


class Sign(Value):
    """One of a few things that something can be: in words, as a plain sign, as one on a screen."""

    words: str
    plain: str
    drawn: str

    @property
    def title(self) -> str:
        """The words with a capital, to begin a line."""
        return self.words.capitalize()


FINDINGS = {
    "claim": Sign("well supported", "*", "▲"),
    "lead": Sign("worth watching", ">", "△"),
    "mechanism": Sign("how it came about", "-", "↳"),
}
"""By status, the best first; what is drawn is no sign of a grade or of an outcome."""

RETIRED = Sign("no longer so", "~", "◌")
"""What was well supported once, and later attempts do not bear out."""

OUTCOMES = {
    "good": Sign("good", "+", "●"),
    "slight": Sign("slight", "~", "◐"),
    "failed": Sign("failed", "x", "×"),
    "": Sign("not judged", "·", "·"),
}
"""How a setting counts, the words of it everywhere; slight is good with a remark."""

SLIGHT_IS_GOOD = "counts as good"
"""Stands behind the sign of a slight fault where it is shown."""

GRADES = {
    "passed": Sign("passed", "*", "■"),
    "practised": Sign("now", ">", "▸"),
    "tried": Sign("tried", "-", "▫"),
    "to be signed off": Sign("to be signed off", "=", "□"),
    "slipping": Sign("slipping", "!", "↓"),
    "ahead": Sign("ahead", " ", "·"),
}
"""By state (`states`), in the words of screens, pages and commands; JSON keeps the state itself."""

SLIPPING = "Failures have come back since it was passed: it is to be passed again."
"""What is said of a grade that slipped back."""

ALL_ATTEMPTS = "All attempts."
"""Stands before findings that were asked of everything."""

PERSONAL = "One setter's own, worth watching at most:"
"""Stands above findings of a class that hold for one setter alone."""


def waits_for_sign_off(points: int, promote_at: int) -> str:
    """What is said of a grade that has its points and nobody's signature."""
    return f"{points} of {count_of(promote_at, 'point')}; waits for an instructor's sign-off."


PARTS_DO_NOT_COUNT = "parts do not count for them"
"""Stands beside the good ones to go where what is practised next moves no points."""


def outlook_words(forecast: "Forecast") -> str:
    """How soon a grade is passed: a number with its quartiles where they are finite, else a chance.

    "About 12 more settings at this rate (8 to 20).", or "Passed within 20 more settings: about 44
    in 100.".
    """
    if forecast.middle is None:
        ones = count_of(forecast.within, "more setting")
        return f"Passed within {ones}: {in_hundred(forecast.chance)}."
    ones = count_of(forecast.middle, "more setting")
    # One number in place of a range that has both its ends there.
    within = f" ({forecast.low} to {forecast.high})" if forecast.low != forecast.high else ""
    return f"About {ones} at this rate{within}."


def in_hundred(chance: float) -> str:
    """A chance in words: "about 44 in 100"; never none and never certain."""
    hundredths = round(100 * chance)
    if hundredths < 1:
        return "less than 1 in 100"
    return f"about {hundredths} in 100" if hundredths < 100 else "more than 99 in 100"
