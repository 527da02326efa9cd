"""What the drawer says: of all that lies in it, and of the tool marked."""

from collections import Counter
from collections.abc import Iterable, Sequence

from rich.cells import cell_len
from textual.content import Content

from platebook.services.drawer.drawer import DrawerRow
from platebook.services.drawer.tool_use import CheckSeen, MadeWith, ToolUse
from platebook.trade.phrases import count_of, several
from platebook.trade.setup_sheet import SetUpSheet
from platebook.tui.parts.headline import Head
from platebook.tui.parts.signs import outcome_sign
from platebook.tui.parts.text import fit, line, stack, txt

EMPTY = "The drawer is empty: a puts a tool in."
FIRST = "Sizes then come from your own tools first."
TAKES = "What {grade} takes, typed after a as it stands here:"
MEASURING = ("measuring caliper", "what stones and sheet are read with")
NONE_MEASURES = (
    "Nothing in it measures: a puts in what you read sizes with, such as measuring caliper."
)
CHECK_IT = "m checks {it}: what it reads of something of known size, five times."
PUNCHES = "punches"
LAST_WITH_IT = "The last with it:"
CHECKS = "Its checks, the newest first:"
GOES_BY, NOT_BY = "\N{BULLET}", " "
CORRECTS = f"{GOES_BY} corrects what is read"


def drawer_head(rows: Sequence[DrawerRow]) -> Head:
    """What wants a check, else what lies here; how to begin where nothing does."""
    if not rows:
        return Head(txt(EMPTY), txt(FIRST))
    counted = Counter(row.kind for row in rows)
    kinds = [_so_many(count, kind) for kind, count in counted.items()]
    holds = f"{count_of(len(rows), 'tool')}: {several(kinds)}."
    unsure = [row.name for row in rows if not row.sure]
    if unsure:
        it = "it" if len(unsure) == 1 else "one of them"
        return Head(
            txt(f"Not checked yet: {several(unsure)}."),
            txt(CHECK_IT.format(it=it)),
            txt(holds, "$muted"),
        )
    if counted["measuring"]:
        return Head(txt("All that measures is checked."), txt(holds, "$muted"))
    return Head(txt(holds), txt(NONE_MEASURES))


def first_tools(sizes: SetUpSheet | None, grade: str) -> Content:
    """What to put into an empty drawer first, as it is typed, with what each is for."""
    if sizes is None:
        return Content("")
    cutting = (
        ("twist drill", sizes.pilot_drill, "pilot drill"),
        ("bur", sizes.opening_bur, "opening bur"),
        ("bur", sizes.seat_bur, "seat bur"),
    )
    rows = [
        (" ".join(filter(None, (kind, f"{tool.choose_mm:.2f}", tool.shape))), name)
        for kind, tool, name in cutting
    ]
    rows.append(MEASURING)
    widest = max(len(typed) for typed, _ in rows)
    lines = (
        Content.assemble((f"  {typed:<{widest}}  ", "bold"), (what_for, "$muted"))
        for typed, what_for in rows
    )
    return stack(txt(TAKES.format(grade=line(grade))), *lines)


def _so_many(count: int, kind: str) -> str:
    if kind == "measuring":
        return count_of(count, "measuring tool")
    return count_of(count, kind, PUNCHES if kind == "punch" else None)


def told_apart(row: DrawerRow) -> str:
    """What a row says behind kind and size: the tool's own name, else its shape or what it is."""
    return row.name if row.named else row.sort


def tool_page(row: DrawerRow, use: ToolUse | None) -> Content:
    """The name, kind and size where it does not say them, and what is known of the tool.

    `use` is None until it is read.
    """
    kind = f"{row.kind}, {row.size} mm" if row.size else row.kind
    parts = [txt(row.name, "bold $accent"), *([txt(kind)] if row.named else [])]
    parts += [txt(row.use)] if row.use else []
    parts += [txt(""), *map(txt, row.about)] if row.about else []
    if use is not None:
        for sentence in (*use.sizes, *use.used):
            parts += [txt(""), txt(sentence)]
        parts += [*_last_table(use.last), *_check_table(use.checks)]
    return stack(*parts)


def _last_table(last: Sequence[MadeWith]) -> Iterable[Content]:
    """A line an attempt: its day, the grade, its sign and what it showed."""
    if not last:
        return
    yield txt("")
    yield txt(LAST_WITH_IT, "bold")
    days = max(len(made.day) for made in last)
    grades = max(cell_len(line(made.grade)) for made in last)
    for made in last:
        cells = f"{made.day:<{days}}  {fit(made.grade, grades)} "
        yield Content.assemble(cells, outcome_sign(made.outcome), f" {line(made.result)}")


def _check_table(checks: Sequence[CheckSeen]) -> Iterable[Content]:
    """A line a check: its day, the known size, how far off it read."""
    if not checks:
        return
    yield txt("")
    yield txt(CHECKS, "bold")
    days = max(len(check.day) for check in checks)
    sizes = max(len(check.known) for check in checks)
    for check in checks:
        mark = GOES_BY if check.counts else NOT_BY
        readings = count_of(check.readings, "reading")
        cells = f"{mark} {check.day:<{days}}  {check.known:>{sizes}}  {check.off}, {readings}"
        yield Content(cells)
    yield txt(CORRECTS, "$muted")
