"""The set-up sheet for a stone someone asks about, the tool that measured it, rules chosen."""

import re
from collections.abc import Mapping, Sequence
from typing import cast

from platebook.logbook import records, setter_records
from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import read_field
from platebook.practice.records import ToolCheckRecord
from platebook.practice.text import clean
from platebook.services.answers import Basis, basis_of
from platebook.services.drawer.tool_checks import SHOWN_MM, checks_by_tool
from platebook.services.drawer.tool_names import tools_named
from platebook.services.session import Refused, Session, opened, refusal_of, setter_in_use
from platebook.trade import Drawer, Hand, Sheet, Stone, TradeError, check_sheet, check_stone, size
from platebook.trade.geometry.thickness import gauge_to_assume
from platebook.trade.lengths import gauge_mm, read_length
from platebook.trade.measuring.tool_checks import Measured, measure, takes_outsides
from platebook.trade.phrases import full_day
from platebook.trade.records import CURVE_LIMITS_MM, Curve, Tool
from platebook.trade.rules import RuleBook, RuleOfThumb, choosable, conflicts
from platebook.trade.rules import rules as all_rules
from platebook.trade.setup_sheet import SeatMethod, SetUpSheet
from platebook.trade.sizing import METHODS
from platebook.values import Value, replace

NONE = "none"


class StoneTool(Value):
    """A measuring tool of the drawer with the check of it that counts, None without one."""

    tool: Tool
    record: ToolCheckRecord | None

    def measured(self, read_mm: float) -> Measured | None:
        """The reading as it counts; None for a tool of which nothing is known."""
        check = self.record.worth() if self.record is not None else None
        reading = measure(read_mm, self.tool, check)
        return reading if reading is not None and reading.standard_mm > 0 else None

    def sentence(self, low_mm: float, high_mm: float, reading: Measured) -> str:
        """What was read, smallest and largest, and what it is worth, in one sentence."""
        low = low_mm - reading.bias_mm - reading.expanded_mm
        high = high_mm - reading.bias_mm + reading.expanded_mm
        read = f"{low_mm:g} mm" if low_mm == high_mm else f"{low_mm:g} to {high_mm:g} mm"
        return (
            f"Read as {read} with {self.tool.name}, {self._worth(reading)}: "
            f"the stone lies between {low:.3f} and {high:.3f} mm (about 95 %)."
        )

    def _worth(self, reading: Measured) -> str:
        if self.record is None or not self.record.worth().counts:
            return "which is taken by its stated error"
        when = f" (checked {full_day(self.record.checked)})" if self.record.checked else ""
        if abs(reading.bias_mm) < SHOWN_MM:
            return f"which reads as it is{when}"
        more = "more" if reading.bias_mm > 0 else "less"
        return f"which reads {abs(reading.bias_mm):.3f} mm {more}{when}"


def stone_tool(session: Session, named: str | None) -> StoneTool | None:
    """The tool named, or the only one in the drawer that is checked and closes on a stone.

    None where `named` is "none", and where there is no such tool or several. Refused for a tool
    that is not in the drawer, or that takes no outsides, or of which nothing is known.
    """
    if session.setter_id is None or not session.path.exists():
        if named and clean(named) != NONE:
            raise Refused(f"measured with: read {clean(named)!r}, expected a setter with a drawer")
        return None
    if named is not None and clean(named) == NONE:
        return None
    with opened(session, make=False) as book:
        tools = [
            tool
            for tool in book.ask(setter_records.tools, session.setter_id)
            if tool.kind == "measuring"
        ]
        counting = checks_by_tool(book.ask(setter_records.tool_checks, session.setter_id))
    known = [StoneTool(tool, counting.get(tool.tool_id or "")) for tool in tools]
    if named is not None:
        return _named(known, clean(named))
    sure = [
        candidate
        for candidate in known
        if candidate.tool.measuring_kind is not None
        and takes_outsides(candidate.tool)
        and candidate.record is not None
        and candidate.record.worth().counts
    ]
    return sure[0] if len(sure) == 1 else None


def _named(known: list[StoneTool], named: str) -> StoneTool:
    fit = [candidate for candidate in known if takes_outsides(candidate.tool)]
    fitting = tools_named((candidate.tool for candidate in known), named)
    meant = [candidate for candidate in known if candidate.tool in fitting]
    if len(meant) != 1 or meant[0] not in fit:
        listed = ", ".join(candidate.tool.name for candidate in fit) or "none yet"
        why = f", as {meant[0].tool.name} does not" if len(meant) == 1 else ""
        raise Refused(
            f"measured with: read {named!r}, expected one measuring tool of the drawer "
            f"that closes on a stone{why}: {listed}"
        )
    if meant[0].measured(1.0) is None:
        raise Refused(
            f"measured with: read {named!r}, expected a tool that was checked "
            f"(platebook drawer check) or whose error is stated (drawer add --mpe)"
        )
    return meant[0]


_RANGE = re.compile(r"(?<=\d)\s*(?:-|–|to)\s*(?=[\d.])")
"""Between two diameters: a hyphen, a dash or a word, with digits around it."""

OF_THE_RECORD = {"material": "stone_material", "metal": "metal"}
ENDS = ("diameter_min_mm", "diameter_max_mm")


class Sized(Value):
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
    `sheet`, `layers`, `material`, `metal`, `method`, `curve` (ring or dome and its outer radius),
    `pitch`, and of an uneven stone `hole`, `girdle`, `table_off` and `hand_cut` ("yes"). Only
    `diameter` has to be there; without a sheet the customary gauge for that stone is taken. `rules`
    are ids of rules of thumb to go by.
    With `read_with` the diameter is corrected by that tool's check and its uncertainty counts.
    """
    wrong: list[Problem] = [*rule_problems(rules)]
    read = _read(typed, wrong)
    if wrong:
        return Sized(None, tuple(wrong))
    notices: list[Problem] = []
    stone_values, measured = _as_measured(
        read.stone_values(_choice("material", typed.get("material"), notices)), read_with
    )
    sheet_values = read.sheet_values(_choice("metal", typed.get("metal"), notices))
    if unfit := (*check_stone(stone_values), *check_sheet(sheet_values)):
        problems = (Problem(0, f.field.removesuffix("_mm"), f.read, f.expected) for f in unfit)
        return Sized(None, tuple(problems))
    try:
        answer = size(
            Stone.model_validate(stone_values),
            Sheet.model_validate(sheet_values),
            method=cast("SeatMethod", read.method),
            drawer=drawer,
            hand=hand,
            book=RuleBook(chosen=tuple(rules)),
        )
    except TradeError as error:
        return Sized(None, tuple(Problem(0, f.field, f.read, f.expected) for f in error.faults))
    if measured:
        answer = replace(answer, stone=replace(answer.stone, measured=measured))
    if read.sheet_mm is None:
        _, assumed = gauge_to_assume(read.diameter_mm)
        answer = replace(answer, cautions=(*answer.cautions, assumed))
    return Sized(answer, tuple(notices))


class _Read(Value):
    """What was typed, as numbers; `ends` are the two diameters of an uneven stone."""

    diameter_mm: float
    ends: Mapping[str, float]
    depth_mm: float | None
    sheet_mm: float | None
    layers: int
    method: str
    uneven: Mapping[str, object]
    curve: Curve | None
    pitch_mm: float | None

    def stone_values(self, material: str | None) -> Mapping[str, object]:
        """The stone, for `check_stone`."""
        diameters = {"diameter_mm": self.diameter_mm, **self.ends, **self.uneven}
        return {**diameters, "depth_mm": self.depth_mm, "material": material}

    def sheet_values(self, metal: str | None) -> Mapping[str, object]:
        """The sheet, for `check_sheet`: the customary one where none was given."""
        sheet_mm = self.sheet_mm
        if sheet_mm is None:
            gauge, _ = gauge_to_assume(self.diameter_mm)
            sheet_mm = gauge_mm(gauge)
        sheet = {"sheet_mm": sheet_mm, "layers": self.layers, "metal": metal}
        return {**sheet, "curve": self.curve, "pitch_mm": self.pitch_mm}


def _read(typed: Mapping[str, str], problems: list[Problem]) -> _Read:
    """What was typed; what cannot be read is added to the problems."""
    typed, ends = _uneven(typed, problems)
    lengths = {
        name: _length(name, typed[name], problems)
        for name in ("diameter", "depth", "sheet", "hole", "table_off", "pitch")
        if typed.get(name)
    }
    uneven: dict[str, object] = {
        f"{name}_mm": lengths[name] for name in ("hole", "table_off") if name in lengths
    }
    if typed.get("girdle"):
        low, high = _two("girdle", typed["girdle"], problems)
        uneven |= {"girdle_low_mm": low, "girdle_high_mm": high}
    if typed.get("hand_cut") == "yes":
        uneven["hand_cut"] = True
    if "diameter" not in lengths:
        problems.append(Problem(0, "diameter", "nothing", "the stone's diameter, such as 1.98"))
    layers = _layers(typed.get("layers") or "1", problems)
    method = " ".join(clean(typed.get("method") or "snap in").casefold().replace("-", " ").split())
    if method not in METHODS:
        problems.append(Problem(0, "method", method, f"one of {', '.join(METHODS)}"))
    return _Read(
        diameter_mm=lengths.get("diameter", 0.0),
        ends=ends,
        depth_mm=lengths.get("depth"),
        sheet_mm=lengths.get("sheet"),
        layers=layers,
        method=method,
        uneven=uneven,
        curve=_curve(typed.get("curve"), problems),
        pitch_mm=lengths.get("pitch"),
    )


CURVES = ("ring", "dome")
CURVE_EXPECTED = "ring or dome and its outer radius, such as: ring 9, dome 12, ring 9 off 0.2"


def _curve(text: str | None, problems: list[Problem]) -> Curve | None:
    """Curved metal as it is typed: what it is, its outer radius, how far off its crest."""
    words = clean(text or "").casefold().split()
    if not words or words == ["flat"]:
        return None
    middle = words.index("off") if "off" in words else len(words)
    radius, _ = read_length(" ".join(words[1:middle]))
    off, _ = read_length(" ".join(words[middle + 1 :])) if middle < len(words) else (0.0, "")
    low, high = CURVE_LIMITS_MM
    fits = radius is not None and low <= radius <= high and off is not None
    if words[0] not in CURVES or not fits:
        expected = f"{CURVE_EXPECTED}; {low:g} to {high:g} mm"
        problems.append(Problem(0, "curve", clean(text or ""), expected))
        return None
    return Curve.model_validate({"kind": words[0], "radius_mm": radius, "off_crest_mm": off})


def _two(name: str, text: str, problems: list[Problem]) -> tuple[float, float]:
    """Two lengths with a dash between them, the smaller first; one stands for both."""
    parts = [part.strip() for part in _RANGE.split(text) if part.strip()]
    if len(parts) not in {1, 2}:
        problems.append(Problem(0, name, clean(text), "one length, or two such as 0.03-0.07"))
        return 0.0, 0.0
    read = sorted(_length(name, part, problems) for part in parts)
    return read[0], read[-1]


def _as_measured(
    typed: Mapping[str, object], read_with: StoneTool | None
) -> tuple[Mapping[str, object], str | None]:
    """The stone as it counts after its tool's check, and the sentence that says so.

    Impossible values stay as typed, so that what is told of them is what was read.
    """
    diameter = typed["diameter_mm"]
    if read_with is None or not isinstance(diameter, float) or check_stone(typed):
        return typed, None
    reading = read_with.measured(diameter)
    if reading is None:
        return typed, None
    read = {n: mm for n in ("diameter_mm", *ENDS) if isinstance(mm := typed.get(n), float)}
    corrected = {name: round(mm - reading.bias_mm, 6) for name, mm in read.items()}
    sentence = read_with.sentence(min(read.values()), max(read.values()), reading)
    return {**typed, **corrected, "diameter_u_mm": reading.standard_mm}, sentence


def rule_problems(rules: Sequence[str]) -> tuple[Problem, ...]:
    """What is wrong with rules that someone chose: unknown ones, and two for one question."""
    known = all_rules()
    listed = ", ".join(choosable())
    unknown = [Problem(0, "rule", clean(n), f"one of {listed}") for n in rules if n not in known]
    pairs = conflicts([name for name in rules if name in known])
    return (
        *unknown,
        *(
            Problem(0, "rule", other, f"one rule for {known[rule].purpose}; {rule} is for it too")
            for rule, other in pairs
        ),
    )


def _uneven(
    typed: Mapping[str, str], problems: list[Problem]
) -> tuple[Mapping[str, str], dict[str, float]]:
    """A stone that is out of round, typed as its smallest and largest diameter: the mean counts."""
    parts = [part for part in _RANGE.split(typed.get("diameter", "")) if part.strip()]
    if len(parts) != 2:
        return typed, {}
    low, high = sorted(_length("diameter", part.strip(), problems) for part in parts)
    mean = f"{(low + high) / 2:.4f}"
    return {**typed, "diameter": mean}, {"diameter_min_mm": low, "diameter_max_mm": high}


def _length(name: str, text: str, problems: list[Problem]) -> float:
    read, expected = read_length(text)
    if read is None:
        problems.append(Problem(0, name, clean(text), expected))
        return 0.0
    return read


def _layers(text: str, problems: list[Problem]) -> int:
    try:
        return int(text)
    except ValueError:
        problems.append(Problem(0, "layers", clean(text), "a whole number of layers, such as 1"))
        return 1


def _choice(name: str, text: str | None, notices: list[Problem]) -> str | None:
    """The record's word for a material or metal, as the record reads it; others stay as typed."""
    if not text or not clean(text):
        return None
    value, expected = read_field(OF_THE_RECORD[name], text)
    if expected:
        expected_instead = f"{expected}; of others nothing is known"
        notices.append(Problem(0, name, clean(text), expected_instead, "notice"))
    return value if isinstance(value, str) else None


class RuleChoice(Value):
    """One rule, whether it is gone by, and who chose it: the setter, the course or custom."""

    rule: RuleOfThumb
    in_use: bool
    chosen_by: str


def rule_choices(session: Session) -> tuple[RuleChoice, ...]:
    """Every rule that one may choose, those for one question together."""
    basis = basis_of(session) if session.setter_id is not None and session.path.exists() else None
    book = RuleBook(chosen=basis.rules if basis is not None else ())
    listed = []
    for rule in sorted((all_rules()[name] for name in choosable()), key=lambda r: r.purpose):
        asked = (rule.method,) if rule.method else METHODS
        used = any(book.rule(rule.purpose, method).id == rule.id for method in asked)
        listed.append(RuleChoice(rule, used, _chosen_by(rule, basis) if used else ""))
    return tuple(listed)


def choose_rules(session: Session, chosen: Sequence[str]) -> None:
    """Let the setter in use go by these rules; none leaves the course's and custom's."""
    if problems := rule_problems(chosen):
        raise refusal_of(problems)
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        after = setter.model_copy(update={"rules": tuple(chosen)})
        book.tell(
            records.amend, "setter", setter.setter_id or "", after, session.stamp(book, "amend")
        )


def _chosen_by(rule: RuleOfThumb, basis: Basis | None) -> str:
    if basis is not None and rule.id in basis.setter.rules:
        return "you"
    if basis is not None and rule.id in basis.course.rules:
        return "the course"
    return "custom"
