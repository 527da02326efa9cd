"""A plate's sheet as words on the screen: the grid, and what the cell of the moment asks."""

import textwrap
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from platebook.practice.defects import GOOD, looks_of
from platebook.practice.reading.questions import Question, no_answer
from platebook.practice.results import SEVERITIES
from platebook.tui.entry.doubts import ways_out
from platebook.tui.entry.entry import RESULT, SEVERITY
from platebook.tui.entry.head import said
from platebook.tui.parts.signs import VERDICT_SIGNS
from platebook.tui.parts.text import MARK, fit, keycap, line, stack, txt
from platebook.tui.plate.sheet import UNDEFECTIVE, PlateSheet

if TYPE_CHECKING:
    from platebook.practice.reading.doubts import Doubt

POSITION, CELL, NARROWEST = 6, 14, 4
LONGEST_SIZE = "0.000"
"""As long as a size is in a cell, as a rule."""
HEAD_LINES = 2
NO_VALUE = "·"
BETWEEN = "  "


def grid(sheet: PlateSheet, width: int, height: int) -> Content:
    """The head and as many rows as fit, the one of the moment among them."""
    head, cells = _head(sheet, width), _cell_widths(sheet, width)
    first, shown = _in_sight(sheet, height - len(head))
    return stack(*head, *(_row(sheet, row, cells) for row in range(first, first + shown)))


def asked(sheet: PlateSheet) -> str:
    """What the cell asks, with its position."""
    label, where = sheet.question().label, f"position {sheet.positions[sheet.row]}"
    return f"How bad is {defect}, {where}?" if (defect := _defect(sheet)) else f"{label}, {where}"


def wanted(sheet: PlateSheet) -> str:
    """What is wanted at the cell; empty for how bad a defect is."""
    target = sheet.question().target
    return f"wanted: {target}" if target and not _defect(sheet) else ""


def cell_answers(sheet: PlateSheet, width: int) -> Content:
    """What can be answered at the cell, each with its digit."""
    question, defect = sheet.question(), _defect(sheet)
    if not question.keys:
        unit = question.unit or "figures"
        return txt(f"Type it in {unit}, then Enter; a cable may do both.")
    answers = question.answers
    if defect:
        looks = looks_of(defect)
        answers = tuple((str(n), f"{w}: {looks.get(str(n), '')}") for n, w in SEVERITIES.items())
    return stack(*_wrapped(answers, width))


def _defect(sheet: PlateSheet) -> str:
    """The defect of which the cell asks how bad it is; empty elsewhere."""
    defect = sheet.value(sheet.row, RESULT)
    weighs = sheet.question().field == SEVERITY and defect not in UNDEFECTIVE
    return defect if weighs else ""


def saved_words(results: list[str]) -> str:
    """How many were saved and what became of them: "Saved 10: 7 good, 2 loose, 1 high."."""
    counted = Counter(results).most_common()
    good_first = sorted(counted, key=lambda pair: pair[0] != GOOD)
    return f"Saved {len(results)}: {', '.join(f'{n} {line(r)}' for r, n in good_first)}."


def result_in_words(sheet: PlateSheet, row: int) -> str:
    """A position's result, with a fault that is slight said to be so: "high (slight)"."""
    result = sheet.value(row, RESULT)
    slight = any(q.field == SEVERITY for q in sheet.columns) and sheet.value(row, SEVERITY) == "1"
    return f"{result} ({SEVERITIES[1]})" if slight and result not in UNDEFECTIVE else result


def refusal(sheet: PlateSheet, sign: str) -> str:
    """What to say of a sign that answers nothing in the cell of the moment."""
    question = sheet.question()
    if not question.keys:
        return f"{line(question.label)}: {line(sign)} is no size."
    return no_answer(line(question.label), line(sign), question.digits)


def size_question(sheet: PlateSheet, width: int) -> Content:
    """The sizes that a column more can be measured of, by digit."""
    answers = [(str(n), q.label) for n, q in enumerate(sheet.sizes, 1)]
    return stack(txt("Which size, down the plate?", "bold $accent"), *_wrapped(answers, width))


def _wrapped(answers: Sequence[tuple[str, str]], width: int) -> list[Content]:
    """In lines that fit, no answer torn from its key."""
    lines: list[Content] = []
    for key, words in answers:
        answer = Content.assemble(keycap(key), f" {line(words)}")
        longer = Content.assemble(lines[-1], BETWEEN, answer) if lines else answer
        if lines and cell_len(longer.plain) <= width:
            lines[-1] = longer
        else:
            lines.append(answer)
    return lines


def doubt_question(doubt: "Doubt", position: str) -> Content:
    """What is doubtful at a position, and the digits that settle it."""
    ways = "  ".join(f"{key} {words}" for key, _, words in ways_out(doubt))
    asked = txt(f"Position {position}. {doubt.question}", "bold $text-warning")
    return stack(asked, txt(ways, "$muted"))


def narrowest(sheet: PlateSheet) -> int:
    """Columns of the narrowest grid in which no word breaks."""
    return POSITION + 1 + sum(map(_least, sheet.columns))


def cell_at(
    sheet: PlateSheet, room: tuple[int, int], place: tuple[int, int]
) -> tuple[int, int] | None:
    """Row and column of the cell at this place of a grid of this room; None beside the cells."""
    (width, height), (x, y) = room, place
    lines = len(_head(sheet, width))
    first, shown = _in_sight(sheet, height - lines)
    row, left = first + y - lines, POSITION + 1
    if not 0 <= y - lines < shown:
        return None
    for column, cell in enumerate(_cell_widths(sheet, width)):
        if left <= x < left + cell:
            return (row, column) if sheet.needed(row, column) else None
        left += cell
    return None


def _in_sight(sheet: PlateSheet, room: int) -> tuple[int, int]:
    """The first row shown and how many, the one of the moment among them."""
    count, room = len(sheet.positions), max(room, 1)
    return min(max(sheet.row - room // 2, 0), max(count - room, 0)), min(room, count)


def _least(question: Question) -> int:
    """Columns of a cell with the longest word of its head, and of what may stand in it."""
    values = [said(question, value) for _, value in question.keys]
    values = [value for value in values if len(value) <= CELL] if _in_words(question) else []
    if not question.keys:
        values = [LONGEST_SIZE]
    words = max(map(len, line(question.label).split()), default=0)
    return max(words, NARROWEST - 1, *(len(line(value)) + 1 for value in values)) + 1


def _cell_widths(sheet: PlateSheet, width: int) -> list[int]:
    """The columns of each cell: what its words need, and of what is left as much as looks well."""
    room, least = width - POSITION - 1, [_least(q) for q in sheet.columns]
    spare = room - sum(least)
    if spare < 0:
        return [max(room // len(least), NARROWEST)] * len(least)
    return [max(cell, min(cell + spare // len(least), CELL)) for cell in least]


def _head(sheet: PlateSheet, width: int) -> list[Content]:
    cells = [cell - 1 for cell in _cell_widths(sheet, width)]
    labels = [
        textwrap.wrap(line(q.label), cell)[:HEAD_LINES]
        for q, cell in zip(sheet.columns, cells, strict=True)
    ]
    lines = max(map(len, labels))
    return [
        Content.assemble(
            fit("", POSITION + 1),
            *(
                (
                    fit(_from_below(label, lines)[n], cells[place]) + " ",
                    "bold $accent" if place == sheet.column else "$muted",
                )
                for place, label in enumerate(labels)
            ),
        )
        for n in range(lines)
    ]


def _in_words(question: Question) -> bool:
    """Whether a cell has its value in words, however wide that makes the column."""
    return question.field in {RESULT, SEVERITY} or not question.wanted


def seen_in_cell(question: Question, value: str, width: int) -> str:
    """What a cell says of its value: the sign of its verdict, with the words where they fit.

    Never the digit that chose it. A size has its number, with a sign where it is not as wanted.
    """
    verdict = question.verdict(value)
    sign, words = VERDICT_SIGNS[verdict].strip(), said(question, value)
    if question.field == RESULT or not question.keys:
        return f"{words}{sign}" if verdict == "outside" else words
    both = f"{sign} {words}".strip()
    return both if cell_len(both) <= width or not sign else sign


def _from_below(label: list[str], lines: int) -> list[str]:
    return [""] * (lines - len(label)) + label


def _row(sheet: PlateSheet, row: int, cells: list[int]) -> Content:
    marked = row == sheet.row
    parts: list[Content | str | tuple[str, str]] = [
        (MARK if marked else " ", "bold $accent"),
        (fit(sheet.positions[row], POSITION), "bold" if marked else ""),
    ]
    for column, (question, cell) in enumerate(zip(sheet.columns, cells, strict=True)):
        here = marked and column == sheet.column
        value = sheet.typed if here and sheet.typed else sheet.value(row, question.field)
        outside = question.verdict(value) == "outside" if value else False
        text = seen_in_cell(question, value, cell - 1) if value else NO_VALUE
        text = text if value or sheet.needed(row, column) else ""
        style = "reverse bold" if here else ("$text-warning" if outside else "")
        parts += [(fit(text, cell - 1), style), " "]
    return Content.assemble(*parts)
