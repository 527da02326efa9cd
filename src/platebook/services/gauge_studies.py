"""A gauge study from a file: the same stones measured by several people, several times each."""

from pathlib import Path

from platebook.practice.text import clean
from platebook.services.faults import Refused
from platebook.trade.faults import TradeError
from platebook.trade.gauge_study import GaugeStudy, study_gauge
from platebook.trade.lengths import read_length

SPREADS = ("repeatability", "reproducibility", "gauge", "parts", "total")
COLUMNS = ("part", "person", "reading")


def study_file(file: Path) -> GaugeStudy:
    """The study of a CSV file with the columns part, person and reading, in any order.

    Refused with every row that cannot be read, or with what keeps it from being a study.
    """
    from platebook.exchange.csv_cells import read_records, read_text

    try:
        data = file.read_bytes()
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from error
    text, fault = read_text(data)
    records, wrong = read_records(text, lambda head: len({*map(_key, head)} & {*COLUMNS}))
    if fault or wrong:
        raise Refused(str(fault or wrong))
    head = [_key(cell) for cell in records[0].cells] if records else []
    if missing := [name for name in COLUMNS if name not in head]:
        expected = f"columns {', '.join(COLUMNS)}; {', '.join(missing)} is missing"
        raise Refused(f"{file.name}: read {', '.join(head) or 'nothing'}, expected {expected}")
    places = [head.index(name) for name in COLUMNS]
    faults: list[str] = []
    by_person: dict[str, dict[str, list[float]]] = {}
    for record in records[1:]:
        if record.empty:
            continue
        cells = [record.cells[n].strip() if n < len(record.cells) else "" for n in places]
        part, person, typed = cells
        read, expected = read_length(typed)
        if read is None or not part or not person:
            told = expected if part and person else "a part, a person and a reading"
            faults.append(f"line {record.line}: read {clean(' '.join(cells))!r}, expected {told}")
            continue
        by_person.setdefault(person, {}).setdefault(part, []).append(read)
    if faults:
        raise Refused("\n".join(faults))
    parts = sorted({part for person in by_person.values() for part in person})
    readings = [[person.get(part, []) for part in parts] for person in by_person.values()]
    try:
        return study_gauge(readings)
    except TradeError as error:
        told = "; ".join(f"{f.field}: read {f.read}, expected {f.expected}" for f in error.faults)
        raise Refused(f"{file.name}: {told}") from error


def study_keys(found: GaugeStudy) -> dict[str, object]:
    """The study as JSON has it: a file's readings are in millimetres, and so are its spreads."""
    keys = found.model_dump(mode="json")
    return {f"{name}_mm" if name in SPREADS else name: value for name, value in keys.items()}


def study_lines(found: GaugeStudy) -> tuple[str, ...]:
    """The study's table and what it means, a line each; lengths in mm."""
    rows = (
        ("one person, one stone (repeatability, EV)", found.repeatability),
        ("between people (reproducibility, AV)", found.reproducibility),
        ("gauge and users together (GRR)", found.gauge),
        ("between the stones (PV)", found.parts),
        ("all together (TV)", found.total),
    )
    share = {True: f"{found.percent:.0f} % of the spread", False: "no spread"}[found.total > 0]
    told = found.categories
    return (
        *(f"{name:<44}{value:.4f} mm" for name, value in rows),
        f"{'gauge of all (%GRR)':<44}{share}",
        f"{'sizes it tells apart (ndc)':<44}{'-' if told is None else told}",
        found.sentence,
    )


def _key(heading: str) -> str:
    return clean(heading).strip().casefold()
