"""Paper first: a sheet to print for the next exercise, on a plate or for an evening's places."""

from pathlib import Path

from platebook.practice.results import RESULT_KEYS, SEVERITIES
from platebook.reports.drawings.paper_sheet import NOTE, PaperColumn, PaperSheet, paper_svg
from platebook.reports.pages.html import fill_template
from platebook.services.attempts.form import readings_for
from platebook.services.files import write_new, wrong_ending
from platebook.services.now.now_view import NowView, now
from platebook.services.plates import plate_positions
from platebook.services.session import Refused, Session
from platebook.trade.lengths import format_length

WRITTEN = (".svg", ".html")
PART_KEYS = (("0", "good"), ("1", "missed"))


def paper_sheet(
    session: Session, *, plate: str | None = None, rows: int | None = None
) -> PaperSheet:
    """The sheet for the next exercise of the setter in use: the free positions of a plate.

    Without a plate that is laid out, or with `rows`, it has so many numbered places (8).
    """
    view = now(session)
    name, positions = _positions(session, view, plate, rows)
    return PaperSheet(
        title=f"{view.setter}: {view.exercise_title}{f', plate {name}' if name else ''}",
        details=(f"{view.grade_title}. {view.task}", *_set_up(view)),
        positions=positions,
        columns=_columns(view),
    )


def write_paper(
    session: Session, file: Path, *, plate: str | None = None, rows: int | None = None
) -> int:
    """Write the sheet to a new SVG or HTML file; gives how many places it has."""
    suffix = file.suffix.lower()
    if suffix not in WRITTEN:
        raise wrong_ending(Path(file.name), "*.svg or *.html")
    sheet = paper_sheet(session, plate=plate, rows=rows)
    text = paper_svg(sheet) if suffix == ".svg" else fill_template("paper.html.j2", sheet=sheet)
    write_new(file, text)
    return len(sheet.positions)


def _positions(
    session: Session, view: NowView, plate: str | None, rows: int | None
) -> tuple[str, tuple[str, ...]]:
    shown = plate_positions(session, plate) if plate is not None else view.plate
    if rows is not None or shown is None:
        return (shown.name if plate and shown else ""), tuple(map(str, range(1, (rows or 8) + 1)))
    free = tuple(cell.position for cell in shown.cells if not cell.sign)
    if not free:
        raise Refused(f"plate: {shown.name!r} has no free position; give another, or --rows 8")
    return shown.name, free


def _set_up(view: NowView) -> tuple[str, ...]:
    """What is set up, and the seat that is wanted, in two lines."""
    values = view.set_up
    tools = {
        "stone": values.get("stone_diameter_mm"),
        "pilot": values.get("pilot_mm"),
        "opening bur": values.get("opening_bur_mm"),
        "seat bur": values.get("seat_bur_mm"),
    }
    parts = [f"{name} {size} mm" for name, size in tools.items() if size]
    sheet = " ".join(filter(None, (values.get("metal"), values.get("sheet_mm"))))
    lines = [", ".join([*parts, *([f"sheet {sheet} mm"] if sheet else [])])] if parts else []
    if view.sizes is not None:
        seat = view.sizes.seat
        low, high = format_length(seat.diameter_low_mm), format_length(seat.diameter_high_mm)
        lines.append(f"Seat {low} to {high} wide, {format_length(seat.depth_mm)} deep.")
    return tuple(lines)


def _columns(view: NowView) -> tuple[PaperColumn, ...]:
    advice = view.advice
    grade = next((g for g in view.grades if g.id == advice.grade), None)
    asked = view.readings or readings_for(advice.kind, advice.part, grade, attempts=view.attempts)
    part = advice.kind == "part"
    verdicts = PART_KEYS if part else tuple(RESULT_KEYS.items())
    looks = [PaperColumn("result", "0 good", verdicts)]
    if not part:
        sizes = tuple((str(size), words) for size, words in SEVERITIES.items())
        looks += [PaperColumn("severity", "", sizes), PaperColumn("clock", "1 to 12")]
    readings = (PaperColumn(r.label, r.target, r.answers) for r in asked)
    own = (PaperColumn(r.label, "", r.answers) for r in view.own)
    return (*readings, *looks, *own, PaperColumn("min"), PaperColumn(NOTE))
