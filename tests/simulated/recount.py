"""Counting again what a sentence counts, from the rows as they were written down.

Nothing here asks the analysis. A sentence is read as a person reads it, lengths are taken apart as
decimals, words are the words of the rows. `recount` gives what the sentence says and what the rows
say; both are to be the same.
"""

import csv
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from importlib import resources
from itertools import zip_longest

Row = Mapping[str, str]
"""One attempt as a file has it, with its dated place from `in_time`."""

Sides = tuple[tuple[int, int], ...]
"""How many of how many: on the side of the phrase and on the other, or level by level."""

_NEEDED = Decimal("0.192")
_MICROMETRE = Decimal("0.001")
_PINS_APART = Decimal("0.10")
_SPOKEN = {"marred metal": "marred", "a scratched stone": "scratched", "a gap": "gap"}
_NUMBER = r"(\N{MINUS SIGN}?[\d.]+)"
_CLAUSE = re.compile(
    r"(?P<defect>.+?) went with (?P<phrase>.+): (?P<k>\d+) of (?P<of>\d+)(?P<here>[^:]*?),"
    r" against (?P<k_out>\d+) of (?P<of_out>\d+)(?P<rest>[^:]*?)(?:; and .*)?\."
)
_LEVELS = re.compile(
    r"(?P<defect>.+?) went with (?P<toward>[^:]+): (?P<levels>\d+ of \d+ \([^;]+\))"
    r"(?:; [^;]*slight)?(?:; and .*)?\."
)
_LEVEL = re.compile(r"(?P<k>\d+) of (?P<of>\d+) \((?P<name>[^)]+)\)")


@dataclass(frozen=True)
class Recounted:
    """What a sentence says, and what its rows say."""

    said: Sides
    counted: Sides


def in_time(rows: Sequence[Row]) -> list[Row]:
    """The rows in order, each with its place in time; a pause of three hours parts sessions."""
    dated: list[Row] = []
    start = last = None
    order = 0
    for row in sorted(rows, key=lambda row: row["began"]):
        began = datetime.fromisoformat(row["began"])
        days = dated[-1]["days_since_practice"] if dated else ""
        if last is None or began - last > timedelta(hours=3):
            days = "" if last is None else str((began.date() - last.date()).days)
            start, order = began, 0
        last, order = began, order + 1
        minutes = Decimal(int((began - (start or began)).total_seconds())) / 60
        dated.append(
            {
                **row,
                "days_since_practice": days,
                "minutes_into_session": str(minutes),
                "order_in_session": str(order),
            }
        )
    return dated


def _table() -> Mapping[str, Mapping[str, str]]:
    data = resources.files("platebook.analysis").joinpath("data", "variables.csv")
    return {row["variable"]: row for row in csv.DictReader(data.read_text().splitlines())}


def _length(row: Row, *names: str) -> tuple[Decimal, ...] | None:
    if any(not row.get(name) for name in names):
        return None
    return tuple(Decimal(row[name]) for name in names)


def _clearance(row: Row) -> Decimal | None:
    """By the seat as read, else by the middle between two pins that are 0.10 mm apart at most."""
    if pair := _length(row, "seat_diameter_mm", "stone_diameter_mm"):
        return pair[0] - pair[1]
    pins = _length(row, "seat_go_mm", "seat_nogo_mm", "stone_diameter_mm")
    if pins is None or not 0 < pins[1] - pins[0] <= _PINS_APART:
        return None
    return ((pins[0] + pins[1]) / 2).quantize(_MICROMETRE) - pins[2]


def _undersize(row: Row) -> Decimal | None:
    pair = _length(row, "stone_diameter_mm", "seat_bur_mm")
    return None if pair is None else pair[0] - pair[1]


def _depth_error(row: Row) -> Decimal | None:
    pair = _length(row, "seat_depth_mm", "stone_diameter_mm")
    return None if pair is None else pair[0] - (pair[1] * _NEEDED).quantize(_MICROMETRE)


def _pilot_ratio(row: Row) -> Decimal | None:
    pair = _length(row, "pilot_mm", "stone_diameter_mm")
    return None if pair is None else pair[0] / pair[1]


def _wall_ratio(row: Row) -> Decimal | None:
    pair = _length(row, "sheet_mm", "stone_diameter_mm")
    return None if pair is None else pair[0] * int(row.get("layers") or 1) / pair[1]


_DERIVED: Mapping[str, Callable[[Row], Decimal | None]] = {
    "clearance_mm": _clearance,
    "undersize_mm": _undersize,
    "depth_error_mm": _depth_error,
    "pilot_ratio": _pilot_ratio,
    "wall_ratio": _wall_ratio,
}


def _number(text: str) -> Decimal:
    return Decimal(text.replace("\N{MINUS SIGN}", "-"))


def _by_number(words: str) -> Callable[[Decimal], bool] | None:
    """What the words ask of a number; None where they ask nothing of one."""
    if match := re.match(rf"below {_NUMBER} or above {_NUMBER}", words):
        low, high = map(_number, match.groups())
        return lambda value: value < low or value > high
    if match := re.match(rf"from {_NUMBER} to {_NUMBER}", words):
        low, high = map(_number, match.groups())
        assert low < high, words
        return lambda value: low <= value <= high
    if match := re.match(rf"(above|below|other than|of) {_NUMBER}", words):
        word, limit = match.group(1), _number(match.group(2))
        asks: Mapping[str, Callable[[Decimal], bool]] = {
            "above": lambda value: value > limit,
            "below": lambda value: value < limit,
            "other than": lambda value: value != limit,
            "of": lambda value: value == limit,
        }
        return asks[word]
    return None


def _sides(variable: str, phrase: str, rows: Sequence[Row]) -> Iterator[bool | None]:
    """Of each row whether it is on the phrase's side; None where it says nothing."""
    about = _table().get(variable, {"phrase": variable, "spoken": variable, "yes": "", "no": ""})
    if phrase in {about["yes"], about["no"]} and phrase:
        wanted = "yes" if phrase == about["yes"] else "no"
        yield from (row[variable] == wanted if row.get(variable) else None for row in rows)
        return
    if phrase.startswith(f"another {about['spoken']} than "):
        level = phrase.removeprefix(f"another {about['spoken']} than ")
        yield from (row[variable] != level if row.get(variable) else None for row in rows)
        return
    before, _, after = about["phrase"].partition("{}")
    words = phrase.removeprefix(before).removesuffix(after).strip()
    asks = _by_number(words)
    if asks is None:
        levels = {"0", "none"} if words == "no" else set(words.split(" or "))
        yield from (row[variable] in levels if row.get(variable) else None for row in rows)
        return
    take = _DERIVED.get(variable)
    for row in rows:
        raw = row.get(variable)
        value = take(row) if take else Decimal(raw) if raw else None
        yield None if value is None else asks(value)


def spoken_of(phrase: str) -> str:
    """The variable that a phrase speaks of, by its words alone; AssertionError for none."""
    fits: dict[str, int] = {}
    for name, about in _table().items():
        before, _, after = about["phrase"].partition("{}")
        another = f"another {about['spoken']} than "
        if phrase in {about["yes"], about["no"]} or phrase.startswith(another):
            fits[name] = len(phrase)
        elif about["phrase"] and phrase.startswith(before) and phrase.endswith(after):
            fits[name] = len(before) + len(after)
    assert fits, phrase
    return max(fits, key=lambda name: fits[name])


def sides_of(phrase: str, rows: Sequence[Row]) -> Iterator[bool | None]:
    """Of each row whether it is on the phrase's side, by the words alone; None for neither."""
    return _sides(spoken_of(phrase), phrase, rows)


def shows(row: Row, defect: str) -> bool:
    """Whether the row shows the defect, or for `failure` whether it failed (clear or worse)."""
    results = re.split("[;+,]", row["result"])
    severities = re.split("[;+,]", row.get("severity") or "")
    if defect != "failure":
        return defect in results
    by_defect = zip_longest((r for r in results if r != "good"), severities, fillvalue="")
    return any(r == "loose" or (r and (s or "2") >= "2") for r, s in by_defect)


def _defect(match: re.Match[str]) -> str:
    return _SPOKEN.get(match["defect"].lower(), match["defect"].lower())


def of_trend(toward: str) -> str | None:
    """The variable one end of whose order these words name; None for none."""
    table = _table()
    return next((n for n, row in table.items() if toward in {row["more"], row["less"]}), None)


def side_of_trend(phrase: str, here: str) -> str:
    """The phrase of a side: of a trend its limit stands behind the counts; any other as it is."""
    limit = re.search(r"(?:above|below) [^ ]+", here)
    variable = of_trend(phrase)
    return phrase if variable is None or not limit else f"{_table()[variable]['phrase']} {limit[0]}"


def has_level(row: Row, variable: str, name: str) -> bool:
    """Whether the row has this level: one of some words, or one number."""
    take = _DERIVED.get(variable)
    value = row.get(variable) if take is None else take(row)
    if value in {None, ""}:
        return False
    number = re.fullmatch(rf"{_NUMBER}(?: .*|°|×)?", name)
    words = name.split(" or ")
    if value in words or number is None or not re.fullmatch(r"-?[\d.]+", str(value)):
        return value in words
    return Decimal(value) == _number(number[1])


def levels_said(levels: str) -> tuple[tuple[str, int, int], ...]:
    """Each level of "9 of 11 (0), 20 of 21 (1-2)" by its name, with its counts."""
    found = _LEVEL.finditer(levels)
    return tuple((one["name"], int(one["k"]), int(one["of"])) for one in found)


def _recount_levels(match: re.Match[str], variable: str, rows: Sequence[Row]) -> Recounted:
    """Each level of the sentence by its name."""
    said = levels_said(match["levels"])
    here = ([row for row in rows if has_level(row, variable, name)] for name, _, _ in said)
    counted = tuple((sum(shows(row, _defect(match)) for row in of), len(of)) for of in here)
    return Recounted(tuple((k, of) for _, k, of in said), counted)


def recount(sentence: str, variable: str, rows: Sequence[Row]) -> Recounted:
    """Count again what the sentence says of this variable; AssertionError for no such sentence."""
    if match := _LEVELS.fullmatch(sentence):
        return _recount_levels(match, variable, rows)
    match = _CLAUSE.fullmatch(sentence)
    assert match, sentence
    defect = _defect(match)
    counted = {True: [0, 0], False: [0, 0]}
    phrase = side_of_trend(match["phrase"], match["here"])
    for row, side in zip(rows, _sides(variable, phrase, rows), strict=True):
        if side is not None:
            counted[side][0] += shows(row, defect)
            counted[side][1] += 1
    said = (int(match["k"]), int(match["of"])), (int(match["k_out"]), int(match["of_out"]))
    here, there = counted[True], counted[False]
    return Recounted(said, ((here[0], here[1]), (there[0], there[1])))
