"""The cells of one column, turned into the record's own words: what is meant, or what is unclear.

Each distinct value is looked at once, however often it stands in the sheet. What the record reads
by itself is handed on as it is; else the words of other languages and what was answered are asked.
"""

import functools
import re
from collections.abc import Callable, Iterable, Mapping

from platebook.exchange.sheets.answers import KEEP, LEAVE_OUT, NUMBER
from platebook.exchange.sheets.days import AMBIGUOUS, as_iso, time_of_day
from platebook.exchange.sheets.words import ROW_ID, TIME, bare, meanings
from platebook.practice.defects import verdicts
from platebook.practice.fields import Choice, FieldType, choices
from platebook.practice.reading.field_values import read_clean_value, read_yes_no, spelling, unit_of
from platebook.practice.reading.timestamps import EXPECTED, SlashOrder
from platebook.practice.records import name_key
from platebook.practice.results import RESULT_KEYS, read_result, read_severity
from platebook.practice.text import LONGEST_LINE, clean
from platebook.values import Value


class Meant(Value):
    """What a cell means: its text in the record's words, and a severity told along with it.

    `unknown` are the words of it that nobody knows, with what was expected of them.
    """

    text: str
    severity: str = ""
    unknown: tuple[str, ...] = ()
    expected: str = ""
    needs_order: bool = False


NOTHING = Meant("")

SHORTEST_NAME = 4
"""Shorter names may differ by a letter and be two people: Ann and Anna, Jo and Joe (judgement)."""

_UNITLESS = re.compile(r"[#0-9.,/\s]*[0-9][0-9.,/\s]*")
_A_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_BETWEEN = re.compile(r"\s*[;+,/&\n]\s*")
_AND = re.compile(r"\s+(?:und|and|et|y|e|sowie|mit|with|avec|con)\s+", re.IGNORECASE)
_BRACKETS = re.compile(r"[()\[\]]")

LENGTH_UNITS: Mapping[str, str] = {
    **dict.fromkeys(("mm", "millimeter", "millimetre", "millimetres"), "mm"),
    **dict.fromkeys(("in", "inch", "inches", '"', "zoll", "pouce", "pouces", "pollici"), "in"),
    **dict.fromkeys(("um", "\u00b5m", "\u03bcm", "micron", "microns"), "um"),
    **dict.fromkeys(("thou", "mil", "mils"), "thou"),
    **dict.fromkeys(("ga", "gauge", "awg", "b s"), "ga"),
    "swg": "swg",
}
"""Units that a heading may give to all lengths under it."""


def is_length(name: str) -> bool:
    """Whether a field's numbers are millimetres, so that a heading's unit belongs to them."""
    return unit_of(name) == "mm"


class CellReader:
    """Reads the cells of one column, each distinct text once.

    `kind` is the type of the field or own column; `meant` are the answers by spelling. `listed` are
    the values of a choice, or the people whom the logbook knows.
    """

    def __init__(  # noqa: PLR0913 - all that a column may be read by
        self,
        name: str,
        kind: FieldType,
        listed: tuple[Choice, ...] = (),
        *,
        unit: str = "",
        meant: Mapping[str, str] | None = None,
        unreadable: str = "",
        dates: SlashOrder | None = None,
    ) -> None:
        self.name = name
        self._kind = kind
        self._listed = listed or choices().get(name, ())
        self._unit = "" if unit == "mm" else unit
        self._meant = meant or {}
        self._unreadable = unreadable
        self._dates = dates
        self._known: dict[str, Meant] = {}
        self._way = self._way_of(name, kind)

    def __call__(self, cell: str) -> Meant:
        """What the cell means."""
        known = self._known.get(cell)
        if known is None:
            known = self._known[cell] = self._first(cell)
        return known

    def _first(self, cell: str) -> Meant:
        typed = clean(cell, multiline=self.name == "note")
        if not typed:
            return NOTHING
        answer = self._meant.get(spelling(typed))
        if answer == LEAVE_OUT:
            return NOTHING
        if answer == KEEP:
            return Meant(typed)
        if answer is not None:
            return self._way(answer)
        return self._way(typed)

    def _way_of(self, name: str, kind: FieldType) -> Callable[[str], Meant]:
        ways: Mapping[str, Callable[[str], Meant]] = {
            "choice": self._choice,
            "yes/no": self._yes_no,
            "length": self._measured,
            "number": self._measured,
            "integer": self._measured,
            "datetime": self._moment,
            "defects": self._result,
            "list": self._severity,
            "uuid7": self._as_read,
        }
        if name == TIME:
            return self._clock
        if name == "setter" and self._listed:
            return self._person
        return Meant if name == ROW_ID else ways.get(kind, Meant)

    def _as_read(self, typed: str) -> Meant:
        _, expected = read_clean_value(self.name, self._kind, typed, self._listed)
        return self._unread(typed, expected) if expected else Meant(typed)

    def _choice(self, typed: str) -> Meant:
        _, expected = read_clean_value(self.name, "choice", typed, self._listed)
        if not expected or len(typed) > LONGEST_LINE:
            return Meant(typed)
        word = meanings(self.name).get(bare(typed))
        return Meant(word) if word else Meant(typed, unknown=(typed,), expected=expected)

    def _person(self, typed: str) -> Meant:
        """A name as it is, unless it is nearly that of somebody known."""
        names = tuple(person.value for person in self._listed)
        if name_key(typed) in map(name_key, names) or not nearly(typed, names):
            return Meant(typed)
        return Meant(typed, unknown=(typed,), expected="a setter of the logbook, or a new person")

    def _yes_no(self, typed: str) -> Meant:
        value, expected = read_yes_no(typed)
        if value is not None or typed in {"-", "\N{EN DASH}", "n/a"}:
            return Meant(typed)
        word = meanings("yes/no").get(bare(typed))
        return Meant(word) if word else self._unread(typed, expected)

    def _measured(self, typed: str) -> Meant:
        with_unit = typed
        if self._unit and _UNITLESS.fullmatch(typed) and not typed.startswith("#"):
            with_unit = f"{typed} {self._unit}"
        _, expected = read_clean_value(self.name, self._kind, with_unit)
        if not expected:
            return Meant(with_unit)
        return self._unread(typed, expected)

    def _moment(self, typed: str) -> Meant:
        iso, needs_order = as_iso(typed, self._dates)
        if iso is not None:
            return Meant(iso)
        if needs_order:
            return Meant(typed, unknown=(typed,), expected=AMBIGUOUS, needs_order=True)
        return self._unread(typed, EXPECTED)

    def _clock(self, typed: str) -> Meant:
        clock = time_of_day(typed)
        return Meant(clock) if clock else self._unread(typed, "a time of day such as 18:30")

    def _unread(self, typed: str, expected: str) -> Meant:
        """A text that is no value: as was answered for all such, else unknown."""
        if self._unreadable == LEAVE_OUT:
            return NOTHING
        if self._unreadable == NUMBER and (number := number_in(typed)):
            again = CellReader(self.name, self._kind, self._listed, unit=self._unit)(number)
            if not again.unknown:
                return again
        return Meant(typed, unknown=(typed,), expected=expected)

    def _severity(self, typed: str) -> Meant:
        _, expected = read_severity(typed)
        if not expected:
            return Meant(typed)
        words = [w for w in _BETWEEN.split(typed) if w]
        sizes = [meanings("severity").get(bare(word), "") for word in words]
        if words and all(sizes):
            return Meant(";".join(sizes))
        return self._unread(typed, expected)

    def _result(self, typed: str) -> Meant:
        """A verdict in words: one thing, or several with the signs and words between them."""
        _, expected = read_result(typed)
        if not expected or (bare(typed) == "missed"):
            return Meant(typed)
        if (whole := self._verdict(typed)) is not None:
            return _joined([whole])
        parts: list[tuple[str, str] | None] = []
        unknown: list[str] = []
        for words in filter(None, _BETWEEN.split(typed)):
            pieces = [words] if self._verdict(words) is not None else _AND.split(words)
            for piece in pieces:
                verdict = self._verdict(piece)
                if verdict is None and piece.strip():
                    unknown.append(piece.strip())
                parts.append(verdict)
        if unknown:
            return Meant(typed, unknown=tuple(dict.fromkeys(unknown)), expected=expected)
        said = list(dict.fromkeys(part for part in parts if part is not None and part[0]))
        names = [name for name, _ in said]
        if len(set(names)) < len(names) or ("good" in names and len(names) > 1):
            return Meant(typed, unknown=(typed,), expected="good alone, or each defect once")
        return _joined(said)

    def _verdict(self, words: str) -> tuple[str, str] | None:
        """One verdict and its severity ("" where none is said); None where it is not known."""
        answer = self._meant.get(spelling(words))
        if answer == LEAVE_OUT:
            return "", ""
        if answer is not None and answer != KEEP:
            return _known_verdict(answer)
        return _known_verdict(words)


def _joined(said: list[tuple[str, str]]) -> Meant:
    names = ";".join(name for name, _ in said)
    sizes = [size for name, size in said if name != "good"]
    return Meant(names, severity=";".join(sizes).rstrip(";") if any(sizes) else "")


def _known_verdict(words: str) -> tuple[str, str] | None:
    typed = RESULT_KEYS.get(words.strip().casefold(), words)
    name = _by_alias().get(spelling(typed)) or meanings("result").get(bare(typed))
    if name is not None:
        return name, ""
    tokens = bare(_BRACKETS.sub(" ", typed)).split(" ")
    sizes = meanings("severity")
    for cut in (1, 2):
        if len(tokens) <= cut:
            break
        for qualifier, rest in ((tokens[:cut], tokens[cut:]), (tokens[-cut:], tokens[:-cut])):
            word = " ".join(qualifier)
            size = word if cut == 1 and word in {"1", "2", "3"} else sizes.get(word, "")
            inner = " ".join(rest)
            name = _by_alias().get(inner) or meanings("result").get(inner)
            if size and name is not None and name != "good":
                return name, size
    return None


@functools.cache
def _by_alias() -> Mapping[str, str]:
    known = verdicts().values()
    return {spelling(word): v.name for v in known for word in (v.name, *v.aliases)}


def nearly(typed: str, names: Iterable[str]) -> tuple[str, ...]:
    """Those of these names that a name may be a slip of: a letter off, or a part of it alone."""
    said = bare(typed)
    return tuple(name for name in names if _a_letter_off(said, bare(name)) or _a_part(said, name))


def _a_letter_off(said: str, name: str) -> bool:
    """Whether one letter is missing, too many or another one, or two neighbours are swapped."""
    if abs(len(said) - len(name)) > 1 or min(len(said), len(name)) < SHORTEST_NAME:
        return False
    same = next((n for n, (a, b) in enumerate(zip(said, name, strict=False)) if a != b), None)
    if same is None:
        return True
    left, right = said[same:], name[same:]
    swapped = left[1::-1] + left[2:] == right
    return swapped or left[1:] == right[1:] or left[1:] == right or left == right[1:]


def _a_part(said: str, name: str) -> bool:
    """Whether somebody is called by the first or the last of their names, or by both turned."""
    words, known = said.split(" "), bare(name).split(" ")
    return len(known) > 1 and words in (known[:1], known[-1:], known[::-1])


def number_in(typed: str) -> str:
    """The one number that stands in a text, "" where there is none or more than one."""
    numbers = _A_NUMBER.findall(typed)
    return numbers[0] if len(numbers) == 1 else ""
