"""What was wrong with something a person gave us: row, field, what was read, what was expected."""

from collections.abc import Iterable
from typing import Literal

from platebook.values import Value


class Problem(Value):
    """One problem in user data.

    `row` counts from 1 and is the data row (0 = the whole file or document); `line` is the line in
    a text file where one is known, `file` its name. A `notice` is told but changes nothing: the
    value is kept as typed. A `problem` means that nothing may be stored. `times` counts the rows
    that have the same, of which this is the first.
    """

    row: int
    field: str
    read: str
    expected: str
    level: Literal["problem", "notice"] = "problem"
    line: int | None = None
    file: str | None = None
    times: int = 1

    def __str__(self) -> str:
        row = f"row {self.row}" if self.row else ""
        line = f"line {self.line}" if self.line is not None else ""
        where = f"{row} ({line})" if row and line else row or line
        if self.times > 1:
            where += " and 1 row more" if self.times == 2 else f" and {self.times - 1} rows more"
        place = ", ".join(part for part in (self.file, where, self.field) if part)
        return f"{place}: read {self.read!r}, expected {self.expected}"


def only_problems(found: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems that forbid storing anything; notices are left out."""
    return tuple(p for p in found if p.level == "problem")
