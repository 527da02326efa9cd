"""The questions that are open about a table's columns, in the order they are asked.

Headings first, because what a cell means depends on its column; then dates and units; then each
value that nobody knows, the most frequent first.
"""

from collections.abc import Iterator, Sequence
from functools import partial

from platebook.exchange.sheets.answers import KEEP
from platebook.exchange.sheets.cells import is_length, nearly, number_in
from platebook.exchange.sheets.headings import Column, kind_of, listed_in, reader_of
from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.sheets.questions import (
    BLANK_OPTIONS,
    DATE_OPTIONS,
    FIRST_ROWS,
    UNREADABLE_OPTIONS,
    Option,
    Question,
    is_near,
    options_for_column,
    options_for_value,
)
from platebook.exchange.sheets.sheet import Sheet
from platebook.exchange.sheets.words import TIME
from platebook.practice.reading.field_values import bounds
from platebook.practice.reading.timestamps import SlashOrder
from platebook.trade.lengths import MM_PER_INCH

EACH_ASKED = 4
"""Unreadable cells of more kinds than this are asked about together."""

MOSTLY_BLANK = 0.3
"""Share of rows without a day from which on it is asked whether they have that of the row above."""

Places = Sequence[Sequence[int | None]]


def questions_of(
    columns: Sequence[Column],
    sheets: Sequence[Sheet],
    places: Places,
    reading: TableMeaning,
    dates: SlashOrder | None,
) -> tuple[Question, ...]:
    """Every open question, each once."""
    where = _Where(sheets, places)
    asked = [_about_heading(number, c, where, reading) for number, c in enumerate(columns)]
    questions = [question for question in asked if question is not None]
    for number, column in enumerate(columns):
        if column.field is not None:
            questions += _about_cells(number, column, where, reading, dates)
    return tuple(questions)


class _Where:
    """Finds the first lines on which values of a column stand."""

    def __init__(self, sheets: Sequence[Sheet], places: Places) -> None:
        self._sheets, self._places = sheets, places
        self.rows = sum(len(sheet.rows) for sheet in sheets)

    def lines(self, number: int, wanted: frozenset[str] | None = None) -> tuple[int, ...]:
        """The first lines with one of these texts in the column; with any text for None."""
        found: list[int] = []
        for sheet, of_sheet in zip(self._sheets, self._places, strict=True):
            place = of_sheet[number]
            for record in sheet.rows if place is not None else ():
                cell = record.cells[place] if place < len(record.cells) else ""  # type: ignore[operator,index]
                if cell in wanted if wanted is not None else cell.strip():
                    found.append(record.line)
                    if len(found) == FIRST_ROWS:
                        return tuple(found)
        return tuple(found)


def _about_heading(
    number: int, column: Column, where: _Where, reading: TableMeaning
) -> Question | None:
    if column.how != "unclear":
        return None
    return Question(
        about="column",
        heading=column.heading,
        count=column.filled,
        lines=where.lines(number),
        samples=column.samples,
        expected="what the column is",
        options=options_for_column(column.guesses or column.offers, reading.extra),
        without="the column is left out",
        suggested=bool(column.guesses),
    )


def _about_cells(
    number: int,
    column: Column,
    where: _Where,
    reading: TableMeaning,
    dates: SlashOrder | None,
) -> Iterator[Question]:
    name = column.field or ""
    extra = (*reading.extra, *((column.own,) if column.own is not None else ()))
    kind, listed = kind_of(name, extra), listed_in(name, extra)
    reader = reader_of(column, reading, dates)
    if name == "began" and not reading.answers.of("blanks", column.heading):
        blank = where.rows - column.filled
        if column.filled and blank > MOSTLY_BLANK * where.rows:
            yield Question(
                about="blanks",
                heading=column.heading,
                count=blank,
                lines=where.lines(number, frozenset({""})),
                expected="a day in each row",
                options=BLANK_OPTIONS,
                without="they stay without a day",
                field=name,
                suggested=True,
            )
    unknown: dict[str, tuple[int, str, str]] = {}
    orderless: list[str] = []
    for text, count in column.values.items():
        meant = reader(text)
        if meant.needs_order:
            orderless.append(text)
            continue
        for word in meant.unknown:
            before = unknown.get(word, (0, "", text))
            unknown[word] = (before[0] + count, meant.expected, before[2])
    if orderless:
        yield Question(
            about="dates",
            heading=column.heading,
            count=sum(column.values[text] for text in orderless),
            lines=where.lines(number, frozenset(orderless)),
            samples=tuple(orderless[:3]),
            expected="which number is the day (--dates dmy or --dates mdy)",
            options=DATE_OPTIONS,
            must=True,
            field=name,
        )
    if unknown and name == "setter":
        yield from _about_people(number, column, where, unknown, reading.people)
    elif unknown:
        yield from _about_unknown(number, column, where, unknown, listed, kind in LISTED)


LISTED = {"choice", "defects"}


def _about_people(
    number: int,
    column: Column,
    where: _Where,
    unknown: dict[str, tuple[int, str, str]],
    people: Sequence[str],
) -> Iterator[Question]:
    """Each name that is nearly somebody's: a slip, or another person."""
    for name in sorted(unknown, key=lambda n: -unknown[n][0]):
        count, expected, text = unknown[name]
        yield Question(
            about="value",
            heading=column.heading,
            value=name,
            count=count,
            lines=where.lines(number, frozenset({text})),
            expected=expected,
            options=(*(Option(n, n) for n in nearly(name, people)), Option(KEEP, "a new person")),
            must=True,
            field="setter",
        )


def _about_unknown(
    number: int,
    column: Column,
    where: _Where,
    unknown: dict[str, tuple[int, str, str]],
    listed: Sequence[object],
    from_list: bool,  # noqa: FBT001 - says which of two questions it is
) -> Iterator[Question]:
    name = column.field or ""
    about_all = partial(
        Question,
        heading=column.heading,
        count=sum(count for count, _, _ in unknown.values()),
        lines=where.lines(number, frozenset(unknown)),
        samples=tuple(unknown)[:3],
        expected=next(iter(unknown.values()))[1],
        must=True,
        field=name,
    )
    if (unit := _unit_meant(name, column, unknown)) is not None:
        yield about_all(about="unit", options=unit, suggested=True)
        return
    if not from_list and len(unknown) > EACH_ASKED:
        several = all(number_in(text) for text in unknown) and name != TIME
        yield about_all(
            about="unreadable",
            options=UNREADABLE_OPTIONS if several else UNREADABLE_OPTIONS[1:],
            suggested=several,
        )
        return
    for word in sorted(unknown, key=lambda w: -unknown[w][0]):
        count, expected, text = unknown[word]
        if from_list:
            options = options_for_value(name, word, listed)  # type: ignore[arg-type]
        else:
            near = number_in(word)
            options = (
                *((Option(near, near),) if near else ()),
                Option("leave out", "leave these cells out"),
            )
        as_typed = from_list and name not in {"result", "after_cleanup"}
        yield Question(
            about="value",
            heading=column.heading,
            value=word,
            count=count,
            lines=where.lines(number, frozenset({text})),
            expected=expected,
            options=options,
            must=not as_typed,
            without="it is kept as it is typed" if as_typed else "",
            field=name,
            suggested=is_near(word, options) if from_list else bool(number_in(word)),
        )


def _unit_meant(
    name: str, column: Column, unknown: dict[str, tuple[int, str, str]]
) -> tuple[Option, ...] | None:
    """Units in which all these sizes would be sensible, where they are not in millimetres."""
    limits = bounds().get(name)
    if not is_length(name) or limits is None or column.unit:
        return None
    if sum(count for count, _, _ in unknown.values()) <= column.filled / 2:
        return None
    factors = {"in": MM_PER_INCH, "thou": MM_PER_INCH / 1000, "um": 0.001}
    numbers = [float(text.replace(",", ".")) for text in unknown if _plain(text)]
    if len(numbers) < len(unknown):
        return None
    fitting = [
        unit
        for unit, factor in factors.items()
        if all(limits.low <= number * factor <= limits.high for number in numbers)
    ]
    words = {"in": "inches", "thou": "thousandths of an inch", "um": "micrometres"}
    return tuple(Option(unit, f"they are {words[unit]}") for unit in fitting) or None


def _plain(text: str) -> bool:
    try:
        float(text.replace(",", "."))
    except ValueError:
        return False
    return True
