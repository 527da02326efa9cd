"""The log as a table of plain text, and one attempt as a list of its fields."""

from collections.abc import Iterable, Mapping

from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.records import Inspection
from platebook.practice.results import result_or_reason, verdict
from platebook.trade.phrases import full_day

ENDING = 6
WIDTH = 80
HEADINGS = ("id", "began", "grade", "stone", "bur", "result")
SETTER_WIDTH = 16


def log_lines(
    attempts: Iterable[Attempt],
    *,
    with_setter: bool = False,
    titles: Mapping[str, str] | None = None,
    two_versions: Iterable[str] = (),
    looked_at: Mapping[str, str] | None = None,
    with_id: bool = True,
) -> tuple[str, ...]:
    """A line an attempt under a line of headings, as wide as they need and 80 at most.

    The id is shown by its ending, which is enough to name the attempt by. `titles` says by id
    what its grade is called, else the grade's own id stands there. `two_versions` are the
    ids of those of which two versions stand side by side, `looked_at` says by id which somebody
    else looked at: "new" where that is not read yet. Without `with_id` no id stands before them,
    as of attempts that have none yet.
    """
    attempts, clashing, looked = tuple(attempts), frozenset(two_versions), looked_at or {}
    called = titles or {}
    rows = [
        HEADINGS,
        *(
            _cells(
                a,
                called.get(a.attempt_id or "", a.grade or ""),
                clash=a.attempt_id in clashing,
                looked=looked.get(a.attempt_id or "", ""),
            )
            for a in attempts
        ),
    ]
    widths = [max(len(row[n]) for row in rows) for n in range(len(HEADINGS))]
    names = ["setter", *((a.setter or "") for a in attempts)] if with_setter else []
    lines = []
    for number, row in enumerate(rows):
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True)]
        if with_setter:
            cells.insert(1, names[number][:SETTER_WIDTH].ljust(SETTER_WIDTH))
        lines.append(_cut("  ".join(cells[0 if with_id else 1 :]).rstrip()))
    return tuple(lines)


def _cut(line: str) -> str:
    """A line that fits, ended between two words where it is too long."""
    if len(line) <= WIDTH:
        return line
    return line[: WIDTH + 1].rpartition(" ")[0].rstrip(" +;") or line[:WIDTH]


def attempt_lines(attempt: Attempt) -> tuple[str, ...]:
    """The fields that are not empty, by group, in the order of the contract."""
    text = write_row(attempt)
    width = max(len(name) for name, value in text.items() if value)
    return tuple(
        f"{fields()[name].group if name in fields() else 'course':<8}{name:<{width + 2}}{value}"
        for name, value in text.items()
        if value
    )


def inspection_lines(inspections: Iterable[Inspection]) -> tuple[str, ...]:
    """A line for each look that somebody else had, beside the setter's own result."""
    return tuple(map(_inspection, inspections))


def _inspection(look: Inspection) -> str:
    when = f"{full_day(look.looked)}, " if look.looked is not None else ""
    result = verdict(look.result or (), look.severity or ())
    if look.clock is not None:
        result += f", at {look.clock} o'clock"
    return f"{when}{look.inspector}: {result}{f'; {look.comment}' if look.comment else ''}"


LOOKED = {"read": "; looked at", "new": "; new look"}


def _cells(attempt: Attempt, grade: str, *, clash: bool, looked: str) -> tuple[str, ...]:
    text = write_row(attempt)
    result = verdict(result_or_reason(attempt), attempt.severity or ())
    if attempt.kind == "part":
        result = f"{attempt.part or 'part'}: {result}"
    if clash:
        result = f"two versions: {result}"
    result += LOOKED.get(looked, "")
    return (
        text["attempt_id"][-ENDING:],
        text["began"].replace("T", " ")[:16],
        grade,
        text["stone_diameter_mm"],
        text["seat_bur_mm"],
        result,
    )
