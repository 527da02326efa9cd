"""What an attempt names of its setter's things: the tool that read the seat, the plate's position.

A name is matched without case, accents and blanks, and kept as the drawer has it. What is not there
is kept as typed and said once, so that a misspelt tool never quietly counts as none.
"""

from collections.abc import Iterable, Sequence

from platebook.logbook import Logbook, setter_records
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.practice.records import Plate, name_key
from platebook.practice.text import folded
from platebook.trade.measuring.tool_checks import refuse_inside, unfit_inside
from platebook.trade.records import Tool
from platebook.values import Value, field

MEASURED = "seat_measured_with"
SEAT = "seat_diameter_mm"
TOGETHER = {
    MEASURED: {MEASURED, SEAT},
    SEAT: {MEASURED, SEAT},
    "position": {"plate", "position"},
}
"""By the field that is told, the fields of which any may be what is wrong."""

INTO_THE_DRAWER = "platebook drawer add measuring --name ..."
MOST_TOLD = 8


def match_things(
    book: Logbook, attempts: Sequence[Attempt]
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts with their tools as the drawer names them, and what was wrong or unknown.

    Drawer and plates are looked up for those attempts only that name something of them.
    """
    things: dict[str, _Things] = {}
    done: list[Attempt] = []
    problems: list[Problem] = []
    for row, attempt in enumerate(attempts, 1):
        if not (attempt.seat_measured_with or (attempt.plate and attempt.position)):
            done.append(attempt)
            continue
        owner = attempt.setter_id or ""
        mine = things.get(owner) or things.setdefault(owner, _Things.of(book, owner))
        after, notices = _measured(attempt, mine, row)
        problems += [*notices, *_positioned(attempt, mine, row)]
        done.append(after)
    return tuple(done), tuple(problems)


def problems_about(problems: Iterable[Problem], changed: Iterable[str]) -> tuple[Problem, ...]:
    """Those about fields just changed: what stood before holds up no correction of others."""
    names = {*changed}
    return tuple(problem for problem in problems if TOGETHER[problem.field] & names)


class _Things(Value):
    """A setter's tools and plates, and what was said of them already."""

    tools: tuple[Tool, ...]
    plates: tuple[Plate, ...]
    noticed: set[tuple[str, str]] = field(default_factory=set)

    @classmethod
    def of(cls, book: Logbook, setter_id: str) -> "_Things":
        return cls(
            book.ask(setter_records.tools, setter_id), book.ask(setter_records.plates, setter_id)
        )

    def first_time(self, name: str, value: str) -> bool:
        seen = (name, value) in self.noticed
        self.noticed.add((name, value))
        return not seen


def tools_named(tools: Iterable[Tool], name: str) -> tuple[Tool, ...]:
    """The tools of this id or of this name, without case, accents and blanks; exact ones first."""
    tools = tuple(tools)
    exact = tuple(t for t in tools if name in {t.tool_id, t.name})
    wanted = folded(name)
    return exact or tuple(t for t in tools if wanted and folded(t.name) == wanted)


def _measured(attempt: Attempt, mine: _Things, row: int) -> tuple[Attempt, list[Problem]]:
    named = attempt.seat_measured_with
    if not named:
        return attempt, []
    fitting = tools_named(mine.tools, named)
    if len(fitting) != 1:
        expected = _which(fitting) if fitting else _unknown(mine.tools)
        new = mine.first_time(MEASURED, folded(named))
        return attempt, [Problem(row, MEASURED, named, expected, level="notice")] if new else []
    (tool,) = fitting
    seat = attempt.seat_diameter_mm
    refused = refuse_inside(seat, tool) if seat is not None else None
    problems = []
    if refused is not None:
        problems.append(Problem(row, refused.field, refused.read, refused.expected))
    unfit = unfit_inside(tool) if seat is not None else None
    if unfit is not None and mine.first_time(MEASURED, folded(named)):
        expected = f"{unfit.expected}; the reading is kept"
        problems.append(Problem(row, MEASURED, named, expected, level="notice"))
    kept = named if named == tool.tool_id else tool.name
    return attempt.with_values(seat_measured_with=kept), problems


def _which(tools: Sequence[Tool]) -> str:
    ids = ", ".join(tool.tool_id or "" for tool in tools)
    return f"one tool; {len(tools)} of the drawer are called so: give its id ({ids})"


def _unknown(tools: Iterable[Tool]) -> str:
    names = [tool.name for tool in tools if tool.kind == "measuring"]
    more = [f"{len(names) - MOST_TOLD} more"] if len(names) > MOST_TOLD else []
    listed_names = ", ".join((*names[:MOST_TOLD], *more))
    listed = listed_names or f"none yet: {INTO_THE_DRAWER}"
    return (
        f"a measuring tool of the drawer ({listed}); "
        f"the reading is kept and counts as of a tool that nobody checked"
    )


def _positioned(attempt: Attempt, mine: _Things, row: int) -> list[Problem]:
    if not attempt.plate or not attempt.position:
        return []
    named = [p for p in mine.plates if name_key(p.name) == name_key(attempt.plate)]
    if not named or any(not p.positions or attempt.position in p.positions for p in named):
        return []
    (plate, *_) = named
    if not mine.first_time(plate.name, attempt.position):
        return []
    expected = f"a position of plate {plate.name}, which has {positions_text(plate.positions)}"
    return [Problem(row, "position", attempt.position, expected, level="notice")]


def positions_text(positions: Sequence[str]) -> str:
    """A plate's positions in few words: the first and the last, and how many where it matters."""
    if list(positions) == [str(n) for n in range(1, len(positions) + 1)]:
        return f"1 to {len(positions)}"
    if len(positions) <= MOST_TOLD:
        return ", ".join(positions)
    return f"{positions[0]} to {positions[-1]} ({len(positions)} of them)"
