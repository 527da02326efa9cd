"""A gauge study from a file: the same stones measured by several people, several times each."""

from collections.abc import Sequence
from pathlib import Path

from platebook.exchange.csv_file import read_records
from platebook.exchange.encodings import decoded
from platebook.practice.text import clean
from platebook.services.files import read_whole
from platebook.services.session import Refused
from platebook.trade.lengths import read_length
from platebook.trade.measuring.gauge_study import GaugeStudy, study_gauge
from platebook.trade.validation import TradeError
from platebook.values import Value, as_dict

SPREADS = ("repeatability", "reproducibility", "gauge", "parts", "total")
COLUMNS = ("part", "person", "reading")


def study_file(file: Path) -> GaugeStudy:
    """The study of a CSV file with the columns part, person and reading, in any order.

    Refused with every row that cannot be read, or with what keeps it from being a study.
    """
    by_person = _readings_of(_rows_in(file))
    parts = sorted({part for readings in by_person.values() for part in readings})
    try:
        return study_gauge(
            [[readings.get(part, []) for part in parts] for readings in by_person.values()]
        )
    except TradeError as error:
        reasons = (f"{f.field}: read {f.read}, expected {f.expected}" for f in error.faults)
        raise Refused(f"{file.name}: {'; '.join(reasons)}") from error


class _Row(Value):
    """One filled line of the file: its number, and what stands in the columns of a study."""

    line: int
    part: str
    person: str
    reading: str


def _rows_in(file: Path) -> list[_Row]:
    """The filled rows; Refused where the file cannot be read, or one of the columns is missing."""
    data = read_whole(file)
    text, unreadable = decoded(data)
    all_records, wrong = read_records(text, lambda head: len({*map(_key, head)} & {*COLUMNS}))
    records = [record for record in all_records if not record.empty]
    if unreadable or wrong:
        raise Refused(str(unreadable or wrong))
    head = [_key(cell) for cell in records[0].cells] if records else []
    if missing := [name for name in COLUMNS if name not in head]:
        expected = f"columns {', '.join(COLUMNS)}; {', '.join(missing)} is missing"
        raise Refused(f"{file.name}: read {', '.join(head) or 'nothing'}, expected {expected}")
    places = [head.index(name) for name in COLUMNS]
    return [_Row(row.line, *(_cell(row.cells, place) for place in places)) for row in records[1:]]


def _cell(cells: Sequence[str], place: int) -> str:
    """What stands in a place; nothing where the line is shorter."""
    return cells[place].strip() if place < len(cells) else ""


def _readings_of(rows: Sequence[_Row]) -> dict[str, dict[str, list[float]]]:
    """The readings by person and part; Refused with all that are none."""
    problems: list[str] = []
    by_person: dict[str, dict[str, list[float]]] = {}
    for row in rows:
        length_mm, expected = read_length(row.reading)
        if not (row.part and row.person):
            expected = "a part, a person and a reading"
        elif length_mm is not None:
            by_person.setdefault(row.person, {}).setdefault(row.part, []).append(length_mm)
            continue
        read = clean(f"{row.part} {row.person} {row.reading}")
        problems.append(f"line {row.line}: read {read!r}, expected {expected}")
    if problems:
        raise Refused("\n".join(problems))
    return by_person


def study_keys(study: GaugeStudy) -> dict[str, object]:
    """The study as JSON has it: a file's readings are in millimetres, and so are its spreads."""
    keys = as_dict(study)
    return {f"{name}_mm" if name in SPREADS else name: value for name, value in keys.items()}


def study_lines(study: GaugeStudy) -> tuple[str, ...]:
    """The study's table and what it means, a line each; lengths in mm."""
    rows = (
        ("one person, one stone (repeatability, EV)", study.repeatability),
        ("between people (reproducibility, AV)", study.reproducibility),
        ("gauge and users together (GRR)", study.gauge),
        ("between the stones (PV)", study.parts),
        ("all together (TV)", study.total),
    )
    share = f"{study.percent:.0f} % of the spread" if study.total > 0 else "no spread"
    categories = "-" if study.categories is None else study.categories
    return (
        *(f"{name:<44}{value:.4f} mm" for name, value in rows),
        f"{'gauge of all (%GRR)':<44}{share}",
        f"{'sizes it tells apart (ndc)':<44}{categories}",
        study.sentence,
    )


def _key(heading: str) -> str:
    return clean(heading).strip().casefold()
