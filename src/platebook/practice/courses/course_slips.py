"""Slips of the pen in a course file: sizes that read as something else than was meant.

They are told of a file that somebody writes; a text that a logbook keeps is read as it is.
"""

import re
from collections.abc import Iterator

from platebook.practice.courses.course_toml import DEFAULTS, CourseSource, Path
from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.text import number_text
from platebook.trade.lengths import read_length

_UNIT_LEFT_OUT = re.compile(r"\s*[0-9.,]+\s*")
_THICKEST_SHEET_MM = 5.0
"""No sheet is thicker (judgement): a bare number over it was meant as a gauge, not millimetres."""


def check_slips(source: CourseSource) -> Iterator[Problem]:
    """A decimal comma, a stone of no size there is, a gauge without its unit."""
    for at, table in enumerate(source.tables("grades")):
        yield from _stones(source, ("grades", at, "stones_mm"), table.get("stones_mm"))
        yield from _sheet(source, ("grades", at, "sheet"), table.get("sheet"))
    defaults = source.raw.get(DEFAULTS)
    if isinstance(defaults, dict):
        yield from _stones(source, (DEFAULTS, "stones_mm"), defaults.get("stones_mm"))
        yield from _sheet(source, (DEFAULTS, "sheet"), defaults.get("sheet"))


def _stones(source: CourseSource, path: Path, stones: object) -> Iterator[Problem]:
    if not isinstance(stones, list) or any(type(size) not in {int, float} for size in stones):
        return
    limits = fields()["stone_diameter_mm"]
    smallest, largest = limits.low or 0.0, limits.high or 0.0
    read = f"[{', '.join(map(number_text, stones))}]"
    if len(stones) > 1 and any(type(size) is int for size in stones):
        row = f"[{', '.join(str(float(size)) for size in stones)}] for several"
        slip = len(stones) == 2 and all(type(size) is int for size in stones)
        one = f"[{stones[0]}.{stones[1]}] for one stone, or " if slip else ""
        yield source.problem(path, f"{one}{row}", read=read)
    elif not all(smallest <= size <= largest for size in stones):
        expected = f"diameters from {smallest:g} to {largest:g} mm"
        yield source.problem(path, expected, read=read)


def _sheet(source: CourseSource, path: Path, sheet: object) -> Iterator[Problem]:
    if not isinstance(sheet, str) or not _UNIT_LEFT_OUT.fullmatch(sheet):
        return
    measured, _ = read_length(sheet)
    if measured is not None and measured > _THICKEST_SHEET_MM:
        yield source.problem(path, f'a thickness with its unit: "{sheet.strip()} ga" or "0.8 mm"')
