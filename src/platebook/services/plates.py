"""Practice plates: laid out from what was typed, drawn for paper, and the one under the hand."""

import re
from collections.abc import Iterable, Mapping, Sequence

from platebook.logbook import setter_records
from platebook.logbook.attempts.attempt_queries import attempt_by_id, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.records import add_plate
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import verdicts
from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import read_field
from platebook.practice.records import Plate, Setter, name_key
from platebook.practice.results import Outcome, failed, failed_in, outcome_of
from platebook.practice.seeing import SEEING
from platebook.practice.set_up.plate_stock import ANYTHING, PlateStock
from platebook.practice.text import clean
from platebook.services.answers import basis_of
from platebook.services.courses.followed import course_of
from platebook.services.session import Refused, Session, opened, setter_in_use
from platebook.trade.lengths import read_length
from platebook.trade.phrases import count_of
from platebook.trade.plate_layout import PlateLayout, layout_plate
from platebook.trade.validation import Fault, TradeError, check_sheet, check_stone
from platebook.values import Value, replace

POSITIONS = 10
FIRST_PLATE = "1"
UNKNOWN = "?"
"""Stands for a word that the table of defects does not know, and for what was not judged."""


class PlateCell(Value):
    """One position: a sign and the result; both empty where nothing was set there yet.

    `attempt_id` is the attempt that was last made there, empty where none was, and `outcome` how
    it counts.
    """

    position: str
    sign: str
    result: str
    attempt_id: str = ""
    outcome: Outcome = ""


class PlateView(Value):
    """The plate in use; `next_position` is None where it is full.

    `across` is how many positions a row of it has, None where nobody laid it out. `differs` says in
    a few words what it is made of where the last plate was put aside for that, else it is empty.
    """

    name: str
    cells: tuple[PlateCell, ...]
    next_position: str | None
    across: int | None = None
    differs: str = ""


def plate_view(
    attempts: Sequence[Attempt],
    plates: Sequence[Plate] = (),
    course: Course | None = None,
    *,
    wanted: PlateStock = ANYTHING,
) -> PlateView:
    """The plate used last of what is `wanted` now, or the next one where that is full.

    A plate of another metal or sheet is put aside with the positions it has left, and comes back
    when its own is wanted again. One of the setter's `plates` has the positions it was laid out
    with; any other has ten. The next one is the first of `plates` that holds no attempt and fits,
    or the first number after the last plate's that is no plate yet. A parts exercise takes a
    position like any other; only a reference plate that was judged is no plate of one's own. The
    `course` says what fails; without it a clear fault does.
    """
    laid_out = {plate.name: plate for plate in plates if plate.positions}
    by_plate: dict[str, list[Attempt]] = {}
    for attempt in attempts:
        if attempt.plate and attempt.part != SEEING:
            # The one used last stands last.
            here = by_plate.pop(attempt.plate, [])
            here.append(attempt)
            by_plate[attempt.plate] = here
    last, differs = next(reversed(by_plate), None), ""
    for name, here in reversed(by_plate.items()):
        other = wanted.differs_from(PlateStock.of_plate(here, laid_out.get(name)))
        if other:
            differs = other if name == last else differs
            continue
        view = _view(name, here, laid_out.get(name), course)
        if view.next_position is not None:
            return replace(view, differs=differs)
        break
    unused = (plate for name, plate in laid_out.items() if name not in by_plate)
    fresh = next((p.name for p in unused if not wanted.differs_from(_as_laid_out(p))), None)
    name = fresh or (FIRST_PLATE if last is None else _following(last))
    while name in by_plate or (fresh is None and name in laid_out):
        name = _following(name)
    return replace(_view(name, (), laid_out.get(name), course), differs=differs)


def _as_laid_out(plate: Plate) -> PlateStock:
    return PlateStock.of_plate((), plate)


def plate_named(
    attempts: Sequence[Attempt],
    plates: Sequence[Plate],
    name: str,
    course: Course | None = None,
) -> PlateView | None:
    """This plate with what came of each position; None where no plate and no attempt has it.

    A name that none has just so is matched without case and number of blanks.
    """
    names = dict.fromkeys((*(p.name for p in plates), *(a.plate for a in attempts if a.plate)))
    spelt = name if name in names else next((n for n in names if _same(n, name)), name)
    plate = next((p for p in plates if p.name == spelt), None)
    here = [a for a in attempts if a.plate == spelt]
    return _view(spelt, here, plate, course) if plate is not None or here else None


def _same(name: str, other: str) -> bool:
    return name_key(name) == name_key(other)


def _view(
    name: str, attempts: Sequence[Attempt], laid_out: Plate | None, course: Course | None
) -> PlateView:
    taken = {a.position: a for a in attempts if a.position}
    names = list(laid_out.positions if laid_out and laid_out.positions else _numbered(taken))
    names += [p for p in taken if p not in names]
    cells = tuple(_cell(n, taken.get(n), course) for n in names)
    free = next((c.position for c in cells if c.position not in taken), None)
    return PlateView(name, cells, free, laid_out.across if laid_out is not None else None)


def _numbered(taken: Iterable[str]) -> list[str]:
    """The positions of a plate that nobody laid out: ten, or as many as were named.

    A number that no plate reaches, or one in other signs than 0 to 9, is a name as any other.
    """
    numbered = (int(p) for p in taken if re.fullmatch("[0-9]{1,3}", p))
    named = max((n for n in numbered if n <= MOST_POSITIONS), default=POSITIONS)
    return [str(n) for n in range(1, max(POSITIONS, named) + 1)]


def _cell(position: str, attempt: Attempt | None, course: Course | None) -> PlateCell:
    if attempt is None:
        return PlateCell(position, "", "")
    name = attempt.attempt_id or ""
    if not attempt.result:
        return PlateCell(position, UNKNOWN, attempt.ended or "not judged", name)
    first = verdicts().get(attempt.result[0])
    sign = first.sign if first is not None else UNKNOWN
    fails = failed_in(course, attempt) if course is not None else failed(attempt)
    outcome = outcome_of(attempt, failed=fails)
    return PlateCell(position, sign, " + ".join(attempt.result), name, outcome)


def _following(name: str) -> str:
    """The name after this one: its last number plus one, or with a 2 behind it."""
    number = re.search(r"(\d+)(\D*)$", name)
    if number is None:
        return f"{name} 2"
    return f"{name[: number.start()]}{int(number[1]) + 1}{number[2]}"


MOST_POSITIONS = 400
LENGTHS = ("width", "height", "edge", "pitch", "sheet")
STONES_EXPECTED = "stone sizes such as 1.5,2.0 (with a decimal comma: 1,5; 2,0)"


class PlateOf(Value):
    """A plate of a setter and how many of its positions hold an attempt."""

    plate: Plate
    taken: int


def plate_from(typed: Mapping[str, str | None]) -> tuple[Plate | None, tuple[Problem, ...]]:
    """The plate with as many positions as fit, or what stands in its way.

    Keys: `name`, `width`, `height`, `stones`; where wanted `edge`, `pitch`, `metal`, `sheet`.
    """
    problems: list[Problem] = []
    name = _words("name", "plate", typed, problems)
    if not clean(typed.get("name") or ""):
        problems.append(Problem(0, "name", "nothing", "the plate's name, such as copper 1"))
    mm = {key: _length(key, typed.get(key), problems) for key in LENGTHS}
    problems += [
        Problem(0, key, "nothing", f"the plate's {key}, such as 50")
        for key in ("width", "height")
        if not typed.get(key)
    ]
    stones = _stones(typed.get("stones") or "", problems)
    if mm["sheet"] is not None:
        problems += _problems(check_sheet({"sheet_mm": mm["sheet"]}))
    metal = _words("metal", "metal", typed, problems)
    width, height = mm["width"], mm["height"]
    if problems or name is None or width is None or height is None:
        return None, tuple(problems)
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


def new_plate(session: Session, plate: Plate) -> Plate:
    """Record the plate for the setter in use; Refused where they have one of that name."""
    with opened(session) as book:
        setter = setter_in_use(session, book)
        if _named(book.ask(setter_records.plates, setter.setter_id or ""), plate.name):
            raise Refused(f"name: {plate.name!r} is a plate of {setter.name}'s already")
        mine = plate.model_copy(update={"setter_id": setter.setter_id})
        return book.tell(add_plate, mine, session.stamp(book, "add"))


def plates_of(session: Session) -> tuple[PlateOf, ...]:
    """The plates of the setter in use, in the order made."""
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        plates = book.ask(setter_records.plates, setter.setter_id or "")
        attempts = book.ask(select_attempts, Wanted(setter_id=setter.setter_id))
    taken = {(a.plate, a.position) for a in attempts}
    return tuple(
        PlateOf(plate, sum((plate.name, p) in taken for p in plate.positions)) for plate in plates
    )


def plate_positions(session: Session, wanted: str) -> PlateView:
    """A plate with what came of each position and its attempt; Refused for one nobody knows."""
    basis = basis_of(session)
    by_id = next((p.name for p in basis.plates if p.plate_id == wanted), None)
    view = plate_named(basis.attempts, basis.plates, by_id or clean(wanted), basis.course)
    if view is None:
        known = dict.fromkeys([*(p.name for p in basis.plates), *(a.plate for a in basis.attempts)])
        names = ", ".join(name for name in known if name) or "no plate yet"
        raise Refused(f"plate: read {clean(wanted)!r}, expected one of: {names}")
    return view


def plate_of_attempt(session: Session, attempt_id: str) -> PlateView | None:
    """The plate on which this attempt lies, whoever made it; None where it lies on none."""
    with opened(session, make=False) as book:
        attempt = book.ask(attempt_by_id, attempt_id)
        if attempt is None or not attempt.plate or attempt.part == SEEING:
            return None
        setter_id = attempt.setter_id
        here = book.ask(select_attempts, Wanted(setter_id=setter_id, plate=attempt.plate))
        plates = book.ask(setter_records.plates, setter_id or "")
        setter = book.ask(setter_records.setter_with_id, setter_id)
        course = course_of(book, setter)
    own = [a for a in here if a.part != SEEING]
    return plate_named(own, plates, attempt.plate, course)


def laid_out_plate(session: Session, wanted: str) -> tuple[Plate, Setter]:
    """A plate of the setter in use, by name or id, and whose it is; Refused if never laid out."""
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        plates = book.ask(setter_records.plates, setter.setter_id or "")
    fitting = [p for p in plates if p.plate_id == wanted] or _named(plates, wanted)
    if not fitting:
        names = ", ".join(p.name for p in plates[:12]) or "no plate yet"
        raise Refused(f"plate: read {clean(wanted)!r}, expected one of: {names}")
    if len(fitting) > 1:
        ids = ", ".join(p.plate_id or "" for p in fitting)
        raise Refused(f"plate: {clean(wanted)!r} is the name of several. Say which by id: {ids}")
    plate = fitting[0]
    if not plate.positions or plate.centre_of(plate.positions[0]) is None:
        raise Refused(f"plate: {plate.name!r} was never laid out, so there is nothing to print")
    return plate, setter


def _named(plates: Iterable[Plate], name: str) -> list[Plate]:
    return [plate for plate in plates if name_key(plate.name) == name_key(clean(name))]


def _words(
    key: str, field: str, typed: Mapping[str, str | None], problems: list[Problem]
) -> str | None:
    """What was typed under this key, read as an attempt's field of the record is."""
    read, expected = read_field(field, typed.get(key) or "")
    if read is None and expected:
        problems.append(Problem(0, key, clean(typed.get(key) or ""), expected))
    return None if read is None else str(read)


def _length(key: str, text: str | None, problems: list[Problem]) -> float | None:
    if not text:
        return None
    read, expected = read_length(text)
    if read is None:
        problems.append(Problem(0, key, clean(text), expected))
    return read


def _stones(text: str, problems: list[Problem]) -> tuple[float, ...]:
    """Sizes apart by commas, or by semicolons where the comma is the decimal sign."""
    parts = [part for part in text.split(";" if ";" in text else ",") if part.strip()]
    if ";" not in text and len(parts) == 2 and "." not in text:
        problems.append(Problem(0, "stones", clean(text), f"{STONES_EXPECTED}: one stone or two?"))
        return ()
    sizes = []
    for part in parts:
        size = _length("stones", part.strip(), problems)
        if size is not None:
            problems += [
                Problem(0, "stones", fault.read, fault.expected)
                for fault in check_stone({"diameter_mm": size})
            ]
            sizes.append(size)
    if not parts:
        problems.append(Problem(0, "stones", clean(text) or "nothing", STONES_EXPECTED))
    return tuple(sizes)


def _unfit(layout: PlateLayout) -> Problem | None:
    size = f"{layout.width_mm:g} by {layout.height_mm:g} mm"
    if not layout.positions:
        least = f"{2 * layout.edge_mm:g} mm each way for one position"
        return Problem(0, "width and height", size, f"at least {least}")
    if len(layout.positions) > MOST_POSITIONS:
        read = f"{layout.pitch_mm:g} mm, {count_of(len(layout.positions), 'position')} on {size}"
        return Problem(0, "pitch", read, f"one that gives {MOST_POSITIONS} positions or fewer")
    return None


def _problems(problems: Iterable[Fault]) -> list[Problem]:
    return [Problem(0, f.field.removesuffix("_mm"), f.read, f.expected) for f in problems]
