"""How a table is meant by whoever hands it over, and which headings mean something."""

import functools
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, tzinfo

from platebook.exchange.sheets.answers import NO_ANSWERS, Answers
from platebook.exchange.sheets.cells import LENGTH_UNITS
from platebook.exchange.sheets.words import bare, heading_meanings
from platebook.practice.courses.course import SHEET_ROW, Course, ExtraField
from platebook.practice.fields import fields
from platebook.practice.reading.attempt_rows import OFFSET
from platebook.practice.reading.field_values import spelling
from platebook.values import Value, field, replace

_UNIT = re.compile(
    r"[\[(]\s*([^\[\]()]{1,12})\s*[\])]|\b(?:in|en)\s+(mm|inch|zoll|µm|um|thou|mil)\s*$"
)
_LAST_UNIT = re.compile(r"[\s,/]+(mm|inch|zoll|µm|μm|um|thou|mils?|swg|\")\s*$", re.IGNORECASE)


class TableMeaning(Value, kw_only=True):
    """How a table is meant.

    `column_map` are meanings typed for this one file: each has to be there. `answers` may say more
    than a file needs. `people` are the names that are known. `watch` is told how many rows are
    read, of how many; the others are those of `read_attempts`.
    """

    column_map: Mapping[str, str] = field(default_factory=dict)
    answers: Answers = NO_ANSWERS
    course: Course | None = None
    zone: tzinfo = UTC
    people: tuple[str, ...] = ()
    watch: Callable[[int, int], None] | None = None

    def answering(self, answers: Answers) -> "TableMeaning":
        """The same with these answers."""
        return replace(self, answers=answers)

    def watched(self, rows: Sequence[Mapping[str, str]]) -> Iterator[Mapping[str, str]]:
        """The rows one after the other, as `watch` is told."""
        for number, row in enumerate(rows):
            if self.watch is not None:
                self.watch(number, len(rows))
            yield row

    @property
    def extra(self) -> tuple[ExtraField, ...]:
        """Fields beside the record's own."""
        return (*(self.course.extra if self.course is not None else ()), SHEET_ROW)

    def known(self, headings: Sequence[str]) -> int:
        """How many of these headings hold a field, are mapped to one or are words for one."""
        said = {spelling(name) for name in (*self.column_map, *self.answers.columns)}
        names = names_by_key(tuple(f.name for f in self.extra))
        count = 0
        for heading in headings:
            known = key_of(heading) in names or spelling(heading) in said
            count += bool(heading.strip()) and (known or word_of(heading) in heading_meanings())
        return count


@functools.lru_cache(maxsize=2048)
def heading_and_unit(heading: str) -> tuple[str, str]:
    """The words of a heading and the unit that stands with them: "Stein Ø (mm)", "bur [µm]"."""
    for pattern in (_UNIT, _LAST_UNIT):
        match = pattern.search(heading)
        if match is None:
            continue
        typed = next(group for group in match.groups() if group)
        unit = LENGTH_UNITS.get(typed.casefold().strip()) or LENGTH_UNITS.get(bare(typed))
        if unit is not None:
            rest = f"{heading[: match.start()]} {heading[match.end() :]}".strip()
            if rest:
                return rest, unit
    return heading.strip(), ""


_NUMBERED = {"n", "no", "nr", "num", "number", "nummer", "numero"}


@functools.lru_cache(maxsize=2048)
def word_of(heading: str) -> str:
    """What a heading says without its unit: "N° plaque" and "Plate no." are the plate."""
    word = bare(heading_and_unit(heading)[0])
    if word in heading_meanings():
        return word
    first, *others = word.split(" ")
    shorter = [" ".join(others)] if first in _NUMBERED else []
    if others and others[-1] in _NUMBERED:
        shorter.append(" ".join([first, *others[:-1]]))
    return next((short for short in shorter if short in heading_meanings()), word)


@functools.lru_cache(maxsize=8)
def names_by_key(extra: tuple[str, ...]) -> Mapping[str, str]:
    """The record's fields and these beside them, by what the spellings of each share."""
    return {key_of(name): name for name in (*fields(), OFFSET, *extra)}


def key_of(heading: str) -> str:
    """What two spellings of one heading have in common; a heading of signs only is itself."""
    words = re.sub(r"[\W_]+", "_", heading.casefold()).strip("_")
    return words or heading
