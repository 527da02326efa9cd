"""The set-up sheet for a stone someone asks about, from text as people type it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from platebook.practice.problem import Problem
from platebook.practice.text import clean
from platebook.practice.values import read_field
from platebook.services.stone_tools import StoneTool
from platebook.trade import Drawer, Hand, Sheet, Stone, check_sheet, check_stone, size
from platebook.trade.gauges import gauge_mm
from platebook.trade.lengths import read_length
from platebook.trade.rules import RuleBook, choosable, conflicts
from platebook.trade.rules import rules as all_rules
from platebook.trade.setup_sheet import SeatMethod, SetUpSheet
from platebook.trade.sizing import METHODS
from platebook.trade.thickness import customary_gauge

_RANGE = re.compile(r"(?<=\d)\s*(?:-|–|to)\s*(?=[\d.])")
"""Between two diameters: a hyphen, a dash or a word, with digits around it."""


OF_THE_RECORD = {"material": "stone_material", "metal": "metal"}
ENDS = ("diameter_min_mm", "diameter_max_mm")


@dataclass(frozen=True)
class Sized:
    """The answer with notices, or the problems that stand in its way."""

    sizes: SetUpSheet | None
    problems: tuple[Problem, ...]


def sizes_for(
    typed: Mapping[str, str],
    *,
    drawer: Drawer | None = None,
    hand: Hand | None = None,
    rules: Sequence[str] = (),
    read_with: StoneTool | None = None,
) -> Sized:
    """Sizes from typed values.

    Keys: `diameter` (or the smallest and largest of an uneven stone, such as 1.95-2.01), `depth`,
    `sheet`, `layers`, `material`, `metal`, `method`. Only `diameter` has to be there; without a
    sheet the customary gauge for that stone is taken. `rules` are ids of rules of thumb to go by.
    With `read_with` the diameter is corrected by that tool's check and its uncertainty counts.
    """
    faults: list[Problem] = [*rule_problems(rules)]
    read = _read(typed, faults)
    if faults:
        return Sized(None, tuple(faults))
    notices: list[Problem] = []
    stone_values, measured = _as_measured(
        read.stone_values(_choice("material", typed.get("material"), notices)), read_with
    )
    sheet_values = read.sheet_values(_choice("metal", typed.get("metal"), notices))
    if wrong := (*check_stone(stone_values), *check_sheet(sheet_values)):
        told = (Problem(0, f.field.removesuffix("_mm"), f.read, f.expected) for f in wrong)
        return Sized(None, tuple(told))
    answer = size(
        Stone.model_validate(stone_values),
        Sheet.model_validate(sheet_values),
        method=cast("SeatMethod", read.method),
        drawer=drawer,
        hand=hand,
        book=RuleBook(chosen=tuple(rules)),
    )
    if measured:
        stone = answer.stone.model_copy(update={"measured": measured})
        answer = answer.model_copy(update={"stone": stone})
    if read.sheet_mm is None:
        assumed = f"No sheet was given: custom's {read.gauge} ga is taken."
        answer = answer.model_copy(update={"cautions": (*answer.cautions, assumed)})
    return Sized(answer, tuple(notices))


@dataclass(frozen=True, slots=True)
class _Read:
    """What was typed, as numbers; `ends` are the two diameters of an uneven stone."""

    diameter_mm: float
    ends: Mapping[str, float]
    depth_mm: float | None
    sheet_mm: float | None
    layers: int
    method: str

    @property
    def gauge(self) -> int:
        """The gauge of sheet that is customary for this stone."""
        return customary_gauge(self.diameter_mm)

    def stone_values(self, material: str | None) -> Mapping[str, object]:
        """The stone, for `check_stone`."""
        diameters = {"diameter_mm": self.diameter_mm, **self.ends}
        return {**diameters, "depth_mm": self.depth_mm, "material": material}

    def sheet_values(self, metal: str | None) -> Mapping[str, object]:
        """The sheet, for `check_sheet`: the customary one where none was given."""
        sheet_mm = gauge_mm(self.gauge) if self.sheet_mm is None else self.sheet_mm
        return {"sheet_mm": sheet_mm, "layers": self.layers, "metal": metal}


def _read(typed: Mapping[str, str], faults: list[Problem]) -> _Read:
    """What was typed; what cannot be read is added to the faults."""
    typed, ends = _uneven(typed, faults)
    lengths = {
        name: _length(name, typed[name], faults)
        for name in ("diameter", "depth", "sheet")
        if typed.get(name)
    }
    if "diameter" not in lengths:
        faults.append(Problem(0, "diameter", "nothing", "the stone's diameter, such as 1.98"))
    layers = _layers(typed.get("layers") or "1", faults)
    method = " ".join(clean(typed.get("method") or "snap in").casefold().replace("-", " ").split())
    if method not in METHODS:
        faults.append(Problem(0, "method", method, f"one of {', '.join(METHODS)}"))
    return _Read(
        diameter_mm=lengths.get("diameter", 0.0),
        ends=ends,
        depth_mm=lengths.get("depth"),
        sheet_mm=lengths.get("sheet"),
        layers=layers,
        method=method,
    )


def _as_measured(
    typed: Mapping[str, object], read_with: StoneTool | None
) -> tuple[Mapping[str, object], str | None]:
    """The stone as it counts after its tool's check, and the sentence that says so.

    Impossible values stay as typed, so that what is told of them is what was read.
    """
    diameter = typed["diameter_mm"]
    if read_with is None or not isinstance(diameter, float) or check_stone(typed):
        return typed, None
    found = read_with.measured(diameter)
    if found is None:
        return typed, None
    read = {n: mm for n in ("diameter_mm", *ENDS) if isinstance(mm := typed.get(n), float)}
    corrected = {name: round(mm - found.bias_mm, 6) for name, mm in read.items()}
    told = read_with.sentence(min(read.values()), max(read.values()), found)
    return {**typed, **corrected, "diameter_u_mm": found.standard_mm}, told


def rule_problems(rules: Sequence[str]) -> tuple[Problem, ...]:
    """What is wrong with rules that someone chose: unknown ones, and two for one question."""
    known = all_rules()
    listed = ", ".join(choosable())
    unknown = [Problem(0, "rule", clean(n), f"one of {listed}") for n in rules if n not in known]
    pairs = conflicts([name for name in rules if name in known])
    return (
        *unknown,
        *(
            Problem(0, "rule", other, f"one rule for {known[one].purpose}; {one} is for it too")
            for one, other in pairs
        ),
    )


def _uneven(
    typed: Mapping[str, str], faults: list[Problem]
) -> tuple[Mapping[str, str], dict[str, float]]:
    """A stone that is out of round, typed as its smallest and largest diameter: the mean counts."""
    parts = [part for part in _RANGE.split(typed.get("diameter", "")) if part.strip()]
    if len(parts) != 2:
        return typed, {}
    low, high = sorted(_length("diameter", part.strip(), faults) for part in parts)
    mean = f"{(low + high) / 2:.4f}"
    return {**typed, "diameter": mean}, {"diameter_min_mm": low, "diameter_max_mm": high}


def _length(name: str, text: str, faults: list[Problem]) -> float:
    read, expected = read_length(text)
    if read is None:
        faults.append(Problem(0, name, clean(text), expected))
        return 0.0
    return read


def _layers(text: str, faults: list[Problem]) -> int:
    try:
        return int(text)
    except ValueError:
        faults.append(Problem(0, "layers", clean(text), "a whole number of layers, such as 1"))
        return 1


def _choice(name: str, text: str | None, notices: list[Problem]) -> str | None:
    """The record's word for a material or metal, as the record reads it; others stay as typed."""
    if not text or not clean(text):
        return None
    value, expected = read_field(OF_THE_RECORD[name], text)
    if expected:
        told = f"{expected}; of others nothing is known"
        notices.append(Problem(0, name, clean(text), told, "notice"))
    return value if isinstance(value, str) else None
