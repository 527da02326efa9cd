"""What is wrong with a stone, a sheet or a bur before anything is computed from it."""

from collections.abc import Mapping

from platebook.trade.lengths import MM_PER_INCH, gauge_mm, gauges
from platebook.trade.records import Sheet, Stone
from platebook.trade.rules import RuleBook
from platebook.values import Value

SMALLEST_STONE_MM = 0.7
LARGEST_STONE_MM = 10.0
SHALLOWEST = 0.35
THINNEST_SHEET_MM = 0.1
THICKEST_SHEET_MM = 6.0
MOST_LAYERS = 9

Values = Mapping[str, object]


class Fault(Value):
    """One fault: the field, what was read, and what is possible."""

    field: str
    read: str
    expected: str

    def __str__(self) -> str:
        return f"{self.field}: read {self.read}, expected {self.expected}"


class TradeError(ValueError):
    """Sizes were asked for values that are not possible; `faults` says which."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


def check_stone(stone: Stone | Values) -> tuple[Fault, ...]:
    """Faults of a stone, given as one or as raw values under the names of Stone's fields."""
    values = stone.model_dump() if isinstance(stone, Stone) else stone
    faults = [
        *_length(values, "diameter_mm", SMALLEST_STONE_MM, LARGEST_STONE_MM, "a round stone"),
        *_optional(values, "diameter_min_mm", SMALLEST_STONE_MM, LARGEST_STONE_MM),
        *_optional(values, "diameter_max_mm", SMALLEST_STONE_MM, LARGEST_STONE_MM),
        *_optional(values, "hole_mm", SMALLEST_STONE_MM, LARGEST_STONE_MM),
        *_ovality(values),
        *_hole(values),
        *_girdle(values),
    ]
    faults += [
        Fault(field, str(values[field]), "a length in millimetres")
        for field in ("depth_mm", "crown_mm")
        if values.get(field) is not None and _number(values[field]) is None
    ]
    diameter = _number(values.get("diameter_mm"))
    if diameter is not None and not faults:
        faults += _heights(values, diameter)
    return tuple(faults)


def check_sheet(sheet: Sheet | Values) -> tuple[Fault, ...]:
    """Faults of a sheet, given as one or as raw values under the names of Sheet's fields."""
    values = sheet.model_dump() if isinstance(sheet, Sheet) else sheet
    faults = list(_length(values, "sheet_mm", THINNEST_SHEET_MM, THICKEST_SHEET_MM, "one layer"))
    layers = values.get("layers", 1)
    if not isinstance(layers, int) or isinstance(layers, bool) or not 1 <= layers <= MOST_LAYERS:
        expected = f"a whole number of layers from 1 to {MOST_LAYERS}"
        faults.append(Fault("layers", str(layers), expected))
    return tuple(faults)


def _number(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value)


def _length(
    values: Values, field: str, low_mm: float, high_mm: float, what: str
) -> tuple[Fault, ...]:
    read = values.get(field)
    number = _number(read)
    expected = f"{what} of {low_mm:g} to {high_mm:g} mm"
    if number is None:
        return (Fault(field, "nothing" if read is None else str(read), expected),)
    if low_mm <= number <= high_mm:
        return ()
    return (Fault(field, f"{number:g} mm", expected + _guess(field, number, low_mm, high_mm)),)


def _optional(values: Values, field: str, low_mm: float, high_mm: float) -> tuple[Fault, ...]:
    if values.get(field) is None:
        return ()
    return _length(values, field, low_mm, high_mm, "a length")


def _guess(field: str, number: float, low_mm: float, high_mm: float) -> str:
    if field == "sheet_mm" and number in gauges() and number > high_mm:
        return f"; did you mean {number:.0f} ga ({gauge_mm(int(number)):.3f} mm)?"
    if 0 < number < low_mm <= number * MM_PER_INCH <= high_mm:
        return f"; did you mean inches? {number:g} in is {number * MM_PER_INCH:.3f} mm"
    if number > high_mm >= number / 10 >= low_mm:
        return f"; did you mean {number / 10:g} mm?"
    return ""


def _ovality(values: Values) -> list[Fault]:
    low, mean, high = [_number(values.get(f"diameter{name}_mm")) for name in ("_min", "", "_max")]
    faults = []
    if low is not None and high is not None and low > high:
        expected = f"no more than the largest diameter ({high:g} mm)"
        faults.append(Fault("diameter_min_mm", f"{low:g} mm", expected))
    elif mean is not None and not (low or mean) <= mean <= (high or mean):
        expected = "a diameter no smaller than the smallest and no larger than the largest"
        faults.append(Fault("diameter_mm", f"{mean:g} mm", expected))
    return faults


MOST_LOBED = 1.2
"""A girdle that asks for a hole wider than this share of its most width is a misreading."""


def _hole(values: Values) -> list[Fault]:
    """The smallest gauged hole a stone enters is no narrower than the stone, and not much wider."""
    hole = _number(values.get("hole_mm"))
    most = _number(values.get("diameter_max_mm")) or _number(values.get("diameter_mm"))
    if hole is None or most is None or most <= hole <= MOST_LOBED * most:
        return []
    expected = f"a hole from the most width ({most:g} mm) to {MOST_LOBED * most:.2f} mm"
    return [Fault("hole_mm", f"{hole:g} mm", expected)]


THICKEST_GIRDLE = 0.2
MOST_TABLE_OFF = 0.2
"""Shares of the diameter beyond which a girdle or a leaning table is a misreading (judgement)."""


def _girdle(values: Values) -> list[Fault]:
    """A girdle is no thicker where it is thinnest, and neither it nor the table's lean is huge."""
    thin, thick = _number(values.get("girdle_low_mm")), _number(values.get("girdle_high_mm"))
    off, diameter = _number(values.get("table_off_mm")), _number(values.get("diameter_mm"))
    faults = []
    if thin is not None and thick is not None and thin > thick:
        expected = f"no more than the thickest girdle ({thick:g} mm)"
        faults.append(Fault("girdle_low_mm", f"{thin:g} mm", expected))
    most = (diameter or 0.0) * THICKEST_GIRDLE
    for field, number in (("girdle_low_mm", thin), ("girdle_high_mm", thick)):
        if number is not None and diameter is not None and not 0 <= number <= most:
            expected = f"a girdle of 0 to {most:.2f} mm for a stone of {diameter:g} mm"
            faults.append(Fault(field, f"{number:g} mm", expected))
    most = (diameter or 0.0) * MOST_TABLE_OFF
    if off is not None and diameter is not None and not 0 <= off <= most:
        expected = f"one side of the table 0 to {most:.2f} mm higher"
        faults.append(Fault("table_off_mm", f"{off:g} mm", expected))
    return faults


def _heights(values: Values, diameter: float) -> list[Fault]:
    depth, crown = _number(values.get("depth_mm")), _number(values.get("crown_mm"))
    faults = []
    if depth is not None and not SHALLOWEST * diameter <= depth <= diameter:
        expected = (
            f"a depth from table to culet of {SHALLOWEST * diameter:.2f} to {diameter:g} mm "
            f"for a stone of {diameter:g} mm"
        )
        guess = _guess("depth_mm", depth, SHALLOWEST * diameter, diameter)
        faults.append(Fault("depth_mm", f"{depth:g} mm", expected + guess))
    if crown is not None and not 0 < crown < (depth if depth is not None else diameter / 2):
        limit = "the depth" if depth is not None else "half the diameter"
        expected = f"a crown height above zero and less than {limit}"
        faults.append(Fault("crown_mm", f"{crown:g} mm", expected))
    if depth is not None and crown is not None and not faults:
        girdle = str(values["girdle"]) if values.get("girdle") is not None else None
        thin, thick = _number(values.get("girdle_low_mm")), _number(values.get("girdle_high_mm"))
        named = RuleBook().girdle_mm(diameter, girdle)
        carried = crown + (named if thin is None or thick is None else (thin + thick) / 2)
        if depth <= carried:
            expected = f"more than crown and girdle together ({carried:.3f} mm)"
            faults.append(Fault("depth_mm", f"{depth:g} mm", expected))
    return faults
