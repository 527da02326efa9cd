"""A plate's sheet as words on the screen: the grid, and what the cell of the moment asks."""

import textwrap
from collections import Counter
from typing import TYPE_CHECKING

from textual.content import Content

from platebook.practice.defects import GOOD, looks_of
from platebook.practice.results import SEVERITIES
from platebook.tui.entry.doubts import ways_out
from platebook.tui.entry.entry import RESULT, SEVERITY
from platebook.tui.parts.text import MARK, fit, line, stack, txt
from platebook.tui.plate.sheet import UNDEFECTIVE, PlateSheet

if TYPE_CHECKING:
    from platebook.practice.reading.doubts import Doubt

POSITION, CELL, NARROWEST = 6, 14, 4
HEAD_LINES = 2
BETWEEN = "  "


def grid(sheet: PlateSheet, width: int, height: int) -> Content:
    """The head and as many rows as fit, the one of the moment among them."""
    count, head = len(sheet.positions), _head(sheet, width)
    room = max(height - len(head), 1)
    first = min(max(sheet.row - room // 2, 0), max(count - room, 0))
    return stack(*head, *(_row(sheet, r, width) for r in range(first, min(first + room, count))))


def cell_question(sheet: PlateSheet, width: int) -> Content:
    """The question of the cell with its position, and what can be answered."""
    question, where = sheet.question(), f"position {sheet.positions[sheet.row]}"
    defect = sheet.value(sheet.row, RESULT)
    label, target = question.label, f"wanted: {question.target}" if question.target else ""
    answers = [f"{key} {line(value)}" for key, value in question.keys]
    if question.field == SEVERITY and defect not in UNDEFECTIVE:
        label, target = f"how bad is {defect}", ""
        looks = looks_of(defect)
        answers = [f"{n} {w}: {line(looks.get(str(n), ''))}" for n, w in SEVERITIES.items()]
    if not question.keys:
        answers = [f"Type it in {question.unit or 'figures'}, then Enter; a cable may do both."]
    head = Content.assemble((f"{line(label)}, {line(where)}", "bold $accent"), f"  {line(target)}")
    return stack(head, *_wrapped(answers, width))


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
        return f"{line(question.label)}: read {line(sign)}, expected a size."
    keys = ", ".join(key for key, _ in question.keys)
    return f"{line(question.label)}: read {line(sign)}, expected one of {keys}."


def size_question(sheet: PlateSheet, width: int) -> Content:
    """The sizes that a column more can be measured of, by digit."""
    answers = [f"{n} {line(q.label)}" for n, q in enumerate(sheet.sizes, 1)]
    return stack(txt("Which size, down the plate?", "bold $accent"), *_wrapped(answers, width))


def _wrapped(answers: list[str], width: int) -> list[Content]:
    """In lines that fit, no answer torn from its digit."""
    lines = [""]
    for answer in answers:
        longer = f"{lines[-1]}{BETWEEN}{answer}" if lines[-1] else answer
        if lines[-1] and len(longer) > width:
            lines.append(answer)
        else:
            lines[-1] = longer
    return [txt(text) for text in lines]


def doubt_question(doubt: "Doubt", position: str) -> Content:
    """What is doubtful at a position, and the digits that settle it."""
    ways = "  ".join(f"{key} {words}" for key, _, words in ways_out(doubt))
    asked = txt(f"Position {position}. {doubt.question}", "bold $text-warning")
    return stack(asked, txt(ways, "$muted"))


def _cell_width(sheet: PlateSheet, width: int) -> int:
    room = width - POSITION - 1
    return max(min(room // len(sheet.columns), CELL), NARROWEST)


def _head(sheet: PlateSheet, width: int) -> list[Content]:
    cell = _cell_width(sheet, width)
    labels = [textwrap.wrap(line(q.label), cell - 1)[:HEAD_LINES] for q in sheet.columns]
    lines = max(map(len, labels))
    return [
        Content.assemble(
            fit("", POSITION + 1),
            *(
                (
                    fit(_from_below(label, lines)[n], cell - 1) + " ",
                    "bold $accent" if place == sheet.column else "$muted",
                )
                for place, label in enumerate(labels)
            ),
        )
        for n in range(lines)
    ]


def _from_below(label: list[str], lines: int) -> list[str]:
    return [""] * (lines - len(label)) + label


def _row(sheet: PlateSheet, row: int, width: int) -> Content:
    cell = _cell_width(sheet, width) - 1
    marked = row == sheet.row
    parts: list[Content | str | tuple[str, str]] = [
        (MARK if marked else " ", "bold $accent"),
        (fit(sheet.positions[row], POSITION), "bold" if marked else ""),
    ]
    for column, question in enumerate(sheet.columns):
        here = marked and column == sheet.column
        cell_text = sheet.typed if here and sheet.typed else sheet.cell(row, column)
        value = cell_text if here and sheet.typed else sheet.value(row, question.field)
        outside = "!" if cell_text and question.verdict(value) == "outside" else " "
        shown = value if question.field == RESULT else cell_text
        text = f"{shown or ('·' if sheet.needed(row, column) else ' ')}{outside}"
        style = "reverse bold" if here else ("$text-warning" if outside == "!" else "")
        parts += [(fit(text, cell), style), " "]
    return Content.assemble(*parts)
