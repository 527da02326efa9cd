"""What an import shows and asks, in lines for a person: the same on a terminal and in the app."""

from collections.abc import Iterable, Iterator, Sequence

from platebook.exchange.sheets.headings import Column
from platebook.exchange.sheets.questions import Question, label_of
from platebook.reports.text.log_text import log_lines
from platebook.services.sheets.known_rows import Alike
from platebook.services.sheets.looking import SheetLook
from platebook.services.sheets.taking_in import Preview
from platebook.trade.phrases import count_of, several

WIDTH = 77
HEADING, MEANING = 18, 26
UNITS = {
    "in": "inches",
    "um": "micrometres",
    "thou": "thousandths",
    "ga": "gauges",
    "swg": "standard gauges",
}
FIRST_SHOWN = 8
"""So many rows show whether all of them are read as they were meant."""

IN_THE_LOG = "As they will stand in the log:"
MOST_SHOWN = 8
"""Corrections shown one by one; the others are counted."""

MOST_GROUPS = 3
MOST_LINES = 6
"""So many groups of lines that are alike are named, and so many lines of each."""

TYPED = {
    "person": "A name{or_number}.",
    "column": "A number, or the name of a field{enter}.",
    "value": "A number, or the value in our words{enter}.",
}
BY_NUMBER = "A number{enter}."
LEAVES = " q leaves."

NO_HEADING = "(no heading)"
"""Stands for the heading of a column that has none, so that what is left out is seen."""


def column_lines(look: SheetLook) -> Iterator[str]:
    """The headings with what each was taken for and a few values."""
    rows = count_of(look.understood.rows, "row")
    yield f"{look.file.name}: {rows}. What the columns were taken for:"
    for column in look.understood.columns:
        if column.filled:
            yield column_line(column)


def column_line(column: Column) -> str:
    """One column: heading, what it was taken for, and a few of its values."""
    if column.field is not None:
        own = (column.own,) if column.own is not None else ()
        meaning = label_of(column.field, own)
        if column.own is not None:
            meaning = "a column of your own"
        if column.unit in UNITS:
            meaning = f"{meaning.removesuffix(' (mm)')}, in {UNITS[column.unit]}"
    else:
        meaning = "?" if column.how == "unclear" else "left out"
    values = (" ".join(text.split()) for text in column.samples)
    heading = column.heading.strip() or NO_HEADING
    line = f"  {_cut(heading, HEADING):<{HEADING}} {_cut(meaning, MEANING):<{MEANING}} "
    return (line + _fitting(values, WIDTH - len(line))).rstrip()


def _cut(text: str, width: int) -> str:
    """A text that fits, cut between two words where it is too long."""
    if len(text) <= width:
        return text
    words = text[: width + 1].rpartition(" ")[0]
    return words or text[:width]


def _fitting(values: Iterable[str], width: int) -> str:
    """As many of these values as fit whole."""
    shown = ""
    for value in values:
        longer = f"{shown}, {value}" if shown else value
        if len(longer) > width:
            return shown or _cut(value, width)
        shown = longer
    return shown


def row_lines(look: SheetLook, seen: Preview, most: int = FIRST_SHOWN) -> Iterator[str]:
    """The first rows that are new, as the log will have them; nothing where none is."""
    new = seen.rows.new[:most]
    if not new:
        return
    of = f" of {len(seen.rows.new)}" if len(seen.rows.new) > len(new) else ""
    yield f"As they will stand in the log, the first {len(new)}{of}:" if of else IN_THE_LOG
    course = look.understood.reading.course
    titles = {grade.id: grade.short_title for grade in course.grades} if course else {}
    called = [a.with_values(grade=titles.get(a.grade or "", a.grade)) for a in new]
    several = len({a.setter for a in new}) > 1
    yield from (f"  {line}" for line in log_lines(called, with_setter=several, with_id=False))


def raw_lines(look: SheetLook, cells: int, most: int = FIRST_SHOWN) -> Iterator[str]:
    """The first rows as they stand there, in so many cells; what has no room is counted."""
    if not look.understood.sheets:
        return
    sheet = look.understood.sheets[0]
    first = [sheet.head.cells, *(record.cells for record in sheet.rows[:most])]
    rows = [[_cut(" ".join(cell.split()), HEADING) for cell in row] for row in first]
    widths = [max(map(len, column)) for column in zip(*rows, strict=False)]
    shown = 0
    while shown < len(widths) and sum(widths[: shown + 1]) + 2 * (shown + 1) <= cells:
        shown += 1
    if not shown:
        return
    left = len(widths) - shown
    more = f", and {count_of(left, 'column')} more" if left else ""
    yield f"The first rows as they stand in the spreadsheet{more}:"
    for row in rows:
        padded = (f"{cell:<{width}}" for cell, width in zip(row[:shown], widths, strict=False))
        yield f"  {'  '.join(padded)}".rstrip()


def meaning_of(question: Question, typed: str) -> str | None:
    """The answer that a number, a word or Enter stands for; "" for none, None for no number."""
    if not typed:
        return question.by_itself
    numbered = {str(number): option.answer for number, option in enumerate(question.options, 1)}
    if typed in numbered:
        return numbered[typed]
    if typed.isdecimal() and question.about != "value":
        return None
    words = {option.words.casefold(): option.answer for option in question.options}
    return words.get(typed.casefold(), typed)


def question_lines(question: Question, place: str) -> Iterator[str]:
    """The question, its options by number, and what may be typed."""
    yield f"({place}) {question.sentence}"
    numbered = [f"{n} {option.words}" for n, option in enumerate(question.options, 1)]
    yield from _in_columns(numbered)
    enter = next(
        (o.words for o in question.options if o.answer == question.by_itself), question.without
    )
    if question.value and question.field == "setter":
        yield BY_NUMBER.format(enter="")
        return
    yield TYPED.get(question.about, BY_NUMBER).format(
        enter=f"; Enter: {enter}" if enter else "",
        or_number=", or a number" if question.options else "",
    )


def _in_columns(words: list[str]) -> Iterator[str]:
    longest = max(map(len, words), default=0)
    across = max(1, (WIDTH - 2) // (longest + 2)) if longest < WIDTH // 2 else 1
    for at in range(0, len(words), across):
        yield "  " + "".join(f"{word:<{longest + 2}}" for word in words[at : at + across]).rstrip()


def alike_words(alike: Sequence[Alike]) -> str:
    """Which lines are alike, and what may be done about it; "" for none."""
    if not alike:
        return ""
    groups = []
    for each in alike[:MOST_GROUPS]:
        shown = [str(line) for line in each.lines[:MOST_LINES]]
        if (more := len(each.lines) - len(shown)) > 0:
            shown.append(f"{more} more")
        groups.append(f"{several(shown)}{f' of {each.sheet}' if each.sheet else ''}")
    first, *others = groups
    others = [f"lines {group}" for group in others]
    if left := len(alike) - len(groups):
        others.append(f"those of {count_of(left, 'more such group')}")
    said = "; so are ".join((f"Lines {first} are alike", *others))
    return (
        f"{said}. All come in, as each may be an attempt of its own; if one was typed twice, take "
        "it out of the spreadsheet first."
    )


def preview_lines(seen: Preview) -> Iterator[str]:
    """What would be stored: "12 new, 3 corrected, 225 known", and what the corrections change."""
    yield seen.summary
    corrected = seen.rows.corrected
    for correction in corrected[:MOST_SHOWN]:
        changes = "; ".join(
            f"{label_of(c.field)} {c.before or 'empty'} -> {c.after or 'empty'}"
            for c in correction.changes
        )
        yield f"  line {seen.lines[correction.place]}: {changes}"
    if len(corrected) > MOST_SHOWN:
        yield f"  and {len(corrected) - MOST_SHOWN} more"
