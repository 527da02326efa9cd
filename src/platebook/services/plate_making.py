"""Practice plates of a setter: laid out from what was typed, listed, and drawn for paper."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from platebook.practice.plate import Plate
from platebook.practice.problem import Problem
from platebook.practice.setter import name_key
from platebook.practice.text import clean
from platebook.practice.values import read_field
from platebook.services.answers import bench_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.people import setter_in_use
from platebook.services.plates import PlateView, plate_named
from platebook.trade.faults import Fault, TradeError, check_sheet, check_stone
from platebook.trade.lengths import read_length
from platebook.trade.plate_layout import PlateLayout, layout_plate

MOST_POSITIONS = 400
LENGTHS = ("width", "height", "edge", "pitch", "sheet")
STONES_EXPECTED = "stone sizes such as 1.5,2.0 (with a decimal comma: 1,5; 2,0)"


@dataclass(frozen=True)
class PlateOf:
    """A plate of a setter and how many of its positions hold an attempt."""

    plate: Plate
    taken: int


def plate_from(typed: Mapping[str, str | None]) -> tuple[Plate | None, tuple[Problem, ...]]:
    """The plate with as many positions as fit, or what stands in its way.

    Keys: `name`, `width`, `height`, `stones`; where wanted `edge`, `pitch`, `metal`, `sheet`.
    """
    faults: list[Problem] = []
    name = _words("name", "plate", typed, faults)
    if not clean(typed.get("name") or ""):
        faults.append(Problem(0, "name", "nothing", "the plate's name, such as copper 1"))
    mm = {key: _length(key, typed.get(key), faults) for key in LENGTHS}
    faults += [
        Problem(0, key, "nothing", f"the plate's {key}, such as 50")
        for key in ("width", "height")
        if not typed.get(key)
    ]
    stones = _stones(typed.get("stones") or "", faults)
    if mm["sheet"] is not None:
        faults += _problems(check_sheet({"sheet_mm": mm["sheet"]}))
    metal = _words("metal", "metal", typed, faults)
    width, height = mm["width"], mm["height"]
    if faults or name is None or width is None or height is None:
        return None, tuple(faults)
    try:
        layout = layout_plate(width, height, stones, edge_mm=mm["edge"], pitch_mm=mm["pitch"])
    except TradeError as error:
        return None, tuple(_problems(error.faults))
    wrong = _unfit(layout)
    if wrong is not None:
        return None, (wrong,)
    plate = Plate(
        name=name,
        metal=metal,
        sheet_mm=mm["sheet"],
        positions=tuple(str(p.number) for p in layout.positions),
        across=layout.across,
        pitch_mm=layout.pitch_mm,
        width_mm=width,
        height_mm=height,
        stones_mm=stones,
    )
    return plate, ()


def new_plate(desk: Desk, plate: Plate) -> Plate:
    """Record the plate for the setter in use; Refused where they have one of that name."""
    from platebook.logbook import belongings
    from platebook.logbook.adding import add_plate

    with opened(desk) as book:
        setter = setter_in_use(desk, book)
        if _named(book.ask(belongings.plates, setter.setter_id or ""), plate.name):
            raise Refused(f"name: {plate.name!r} is a plate of {setter.name}'s already")
        mine = plate.model_copy(update={"setter_id": setter.setter_id})
        return book.tell(add_plate, mine, book.stamp(desk.author, desk.clock(), "add"))


def plates_of(desk: Desk) -> tuple[PlateOf, ...]:
    """The plates of the setter in use, in the order made."""
    from platebook.logbook import belongings
    from platebook.logbook.attempts import select_attempts
    from platebook.logbook.wanted import Wanted

    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        plates = book.ask(belongings.plates, setter.setter_id or "")
        attempts = book.ask(select_attempts, Wanted(setter_id=setter.setter_id))
    taken = {(a.plate, a.position) for a in attempts}
    return tuple(
        PlateOf(plate, sum((plate.name, p) in taken for p in plate.positions)) for plate in plates
    )


def plate_positions(desk: Desk, wanted: str) -> PlateView:
    """A plate with what came of each position and its attempt; Refused for one nobody knows."""
    bench = bench_of(desk)
    by_id = next((p.name for p in bench.plates if p.plate_id == wanted), None)
    found = plate_named(bench.attempts, bench.plates, by_id or clean(wanted))
    if found is None:
        known = dict.fromkeys([*(p.name for p in bench.plates), *(a.plate for a in bench.attempts)])
        names = ", ".join(name for name in known if name) or "no plate yet"
        raise Refused(f"plate: read {clean(wanted)!r}, expected one of: {names}")
    return found


def plate_drawing(desk: Desk, wanted: str) -> str:
    """A plate of the setter in use (by name or id) at 1:1, as the text of an SVG file."""
    from platebook.logbook import belongings
    from platebook.reports.plate_svg import plate_svg

    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        plates = book.ask(belongings.plates, setter.setter_id or "")
    found = [p for p in plates if p.plate_id == wanted] or _named(plates, wanted)
    if not found:
        names = ", ".join(p.name for p in plates[:12]) or "no plate yet"
        raise Refused(f"plate: read {clean(wanted)!r}, expected one of: {names}")
    if len(found) > 1:
        ids = ", ".join(p.plate_id or "" for p in found)
        raise Refused(f"plate: {clean(wanted)!r} is the name of several. Say which by id: {ids}")
    plate = found[0]
    if not plate.positions or plate.centre_of(plate.positions[0]) is None:
        raise Refused(f"plate: {plate.name!r} was never laid out, so there is nothing to print")
    return plate_svg(plate, setter=setter.name)


def _named(plates: Iterable[Plate], name: str) -> list[Plate]:
    return [plate for plate in plates if name_key(plate.name) == name_key(clean(name))]


def _words(
    key: str, field: str, typed: Mapping[str, str | None], faults: list[Problem]
) -> str | None:
    """What was typed under this key, read as an attempt's field of the record is."""
    read, expected = read_field(field, typed.get(key) or "")
    if read is None and expected:
        faults.append(Problem(0, key, clean(typed.get(key) or ""), expected))
    return None if read is None else str(read)


def _length(key: str, text: str | None, faults: list[Problem]) -> float | None:
    if not text:
        return None
    read, expected = read_length(text)
    if read is None:
        faults.append(Problem(0, key, clean(text), expected))
    return read


def _stones(text: str, faults: list[Problem]) -> tuple[float, ...]:
    """Sizes apart by commas, or by semicolons where the comma is the decimal sign."""
    parts = [part for part in text.split(";" if ";" in text else ",") if part.strip()]
    if ";" not in text and len(parts) == 2 and "." not in text:
        faults.append(Problem(0, "stones", clean(text), f"{STONES_EXPECTED}: one stone or two?"))
        return ()
    sizes = []
    for part in parts:
        size = _length("stones", part.strip(), faults)
        if size is not None:
            faults += [
                Problem(0, "stones", fault.read, fault.expected)
                for fault in check_stone({"diameter_mm": size})
            ]
            sizes.append(size)
    if not parts:
        faults.append(Problem(0, "stones", clean(text) or "nothing", STONES_EXPECTED))
    return tuple(sizes)


def _unfit(layout: PlateLayout) -> Problem | None:
    size = f"{layout.width_mm:g} by {layout.height_mm:g} mm"
    if not layout.positions:
        least = f"{2 * layout.edge_mm:g} mm each way for one position"
        return Problem(0, "width and height", size, f"at least {least}")
    if len(layout.positions) > MOST_POSITIONS:
        read = f"{layout.pitch_mm:g} mm, {len(layout.positions)} positions on {size}"
        return Problem(0, "pitch", read, f"one that gives {MOST_POSITIONS} positions or fewer")
    return None


def _problems(faults: Iterable[Fault]) -> list[Problem]:
    return [Problem(0, f.field.removesuffix("_mm"), f.read, f.expected) for f in faults]
