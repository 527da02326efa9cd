"""A file's tables understood: what each column is, what is to be asked, which rows are attempts.

Sheets whose headings agree are read as one table. Lines of totals and notes are left alone and
told; everything that is only told is a notice.
"""

import difflib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from platebook.exchange.sheets.answers import Answers
from platebook.exchange.sheets.days import order_of
from platebook.exchange.sheets.headings import OF_AN_EXPORT, Column, take_columns
from platebook.exchange.sheets.meaning import TableMeaning, key_of, names_by_key
from platebook.exchange.sheets.open_questions import questions_of
from platebook.exchange.sheets.questions import Question
from platebook.exchange.sheets.sheet import Sheet, column_letters
from platebook.exchange.sheets.totals import rows_beside, told_of
from platebook.exchange.sheets.words import ROW_ID, TIME
from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import spelling
from platebook.practice.reading.timestamps import SlashOrder
from platebook.values import Value

AGREE = 0.8
"""Share of the headings that two sheets have to have in common to be one table (judgement)."""


class Understanding(Value):
    """What a file's tables mean with the answers so far.

    `sheets` are those read, without the lines left alone; `places` say for each of them where the
    column of each of `columns` is. `told` are notices and problems about the file as a table, and
    `reading` is what was told about it, with what was typed for this file among the answers.
    """

    reading: TableMeaning
    sheets: tuple[Sheet, ...] = ()
    places: tuple[tuple[int | None, ...], ...] = ()
    columns: tuple[Column, ...] = ()
    questions: tuple[Question, ...] = ()
    told: tuple[Problem, ...] = ()
    dates: SlashOrder | None = None

    @property
    def rows(self) -> int:
        """How many rows are read."""
        return sum(len(sheet.rows) for sheet in self.sheets)

    @property
    def headings(self) -> Mapping[str, str]:
        """The heading as typed of each field that is read."""
        return {c.field: c.heading for c in reversed(self.columns) if c.field is not None}


def understand(sheets: Sequence[Sheet], reading: TableMeaning) -> Understanding:
    """The tables with what each column is taken for, and every question that is open."""
    chosen, told = _chosen(sheets, reading)
    if not chosen:
        return Understanding(reading, told=tuple(told))
    headings = _headings_of(chosen)
    places = [_places_in(sheet, headings) for sheet in chosen]
    counts = _counts(chosen, places)
    answers, map_told = _with_map(headings, counts, reading, chosen[0].head.line)
    reading = reading.answering(answers)
    columns = take_columns(headings, counts, reading)
    kept: list[Sheet] = []
    for sheet, of_sheet in zip(chosen, places, strict=True):
        beside = rows_beside(sheet, of_sheet, columns)
        if beside:
            told.append(told_of(beside, sheet))
        kept.append(sheet.without(frozenset(record.line for record in beside)))
    if kept != chosen:
        columns = take_columns(headings, _counts(kept, places), reading)
    told += [*map_told, *_twice(columns, kept[0]), *_hidden(kept), *_unsaved(kept, places, columns)]
    dates = answers.dates or _dates_of(columns)
    questions = questions_of(columns, kept, places, reading, dates)
    return Understanding(
        reading, tuple(kept), tuple(places), columns, questions, tuple(told), dates
    )


def _chosen(sheets: Sequence[Sheet], reading: TableMeaning) -> tuple[list[Sheet], list[Problem]]:
    """The sheets to be read as one: those named, else the best and those that agree with it."""
    wanted = {spelling(name): name for name in reading.answers.sheets}
    if wanted and any(sheet.title for sheet in sheets):
        titles = {spelling(sheet.title) for sheet in sheets}
        expected = f"a sheet of this file: {', '.join(sheet.title for sheet in sheets)}"
        missing = [
            Problem(0, "sheet", n, expected) for key, n in wanted.items() if key not in titles
        ]
        chosen = [sheet for sheet in sheets if spelling(sheet.title) in wanted]
        return chosen, [*missing, *(problem for sheet in chosen for problem in sheet.told)]
    if not sheets:
        return [], []
    best = max(sheets, key=lambda s: (reading.known(s.head.cells), -sheets.index(s)))
    chosen = [s for s in sheets if s is best or (s.rows and _share_in_common(best, s) >= AGREE)]
    told = [problem for sheet in chosen for problem in sheet.told]
    exported = {key_of(cell) for cell in best.head.cells} >= OF_AN_EXPORT
    for sheet in () if exported else sheets:
        if sheet not in chosen and sheet.rows:
            expected = f"headings as in {best.title!r}; left alone, --sheet reads it"
            told.append(Problem(0, "sheet", sheet.title, expected, "notice"))
    if len(chosen) > 1:
        names = ", ".join(sheet.title for sheet in chosen)
        told.append(Problem(0, "sheet", names, "one sheet; read as one table", "notice"))
    return chosen, told


def _share_in_common(one: Sheet, other: Sheet) -> float:
    first, second = (
        {key_of(cell) for cell in sheet.head.cells if cell.strip()} for sheet in (one, other)
    )
    return len(first & second) / len(first | second) if first | second else 0.0


def _clean(cell: str) -> str:
    return " ".join(cell.replace("\ufeff", "").split())


def _headings_of(sheets: Sequence[Sheet]) -> list[str]:
    """All headings in their order, each once over all sheets; twice in one sheet stays twice."""
    first, *others = sheets
    headings = [_clean(cell) for cell in first.head.cells]
    known = {key_of(heading) for heading in headings}
    for sheet in others:
        for cell in map(_clean, sheet.head.cells):
            if cell and key_of(cell) not in known:
                headings.append(cell)
                known.add(key_of(cell))
    return headings


def _places_in(sheet: Sheet, headings: Sequence[str]) -> tuple[int | None, ...]:
    """The place of each heading's column in a sheet; None where it has no such column."""
    free = [key_of(_clean(cell)) for cell in sheet.head.cells]
    places: list[int | None] = []
    for number, heading in enumerate(headings):
        key = key_of(heading)
        if number < len(free) and free[number] == key:
            places.append(number)
        else:
            places.append(free.index(key) if heading and key in free else None)
    return tuple(places)


def _counts(
    sheets: Sequence[Sheet], places: Sequence[Sequence[int | None]]
) -> tuple[Counter[str], ...]:
    """What stands under each heading, and how often."""
    counts = tuple(Counter[str]() for _ in places[0])
    for sheet, of_sheet in zip(sheets, places, strict=True):
        for place, counted in zip(of_sheet, counts, strict=True):
            if place is not None:
                counted.update([r.cells[place] for r in sheet.rows if place < len(r.cells)])
    for counted in counts:
        for blank in [text for text in counted if not text.strip()]:
            del counted[blank]
    return counts


def _with_map(
    headings: Sequence[str], counts: Sequence[Counter[str]], reading: TableMeaning, line: int
) -> tuple[Answers, list[Problem]]:
    """The answers with what was typed for this file: of headings, else of values in it."""
    answers, problems = reading.answers, []
    names = names_by_key(tuple(f.name for f in reading.extra))
    special = {key_of(name): name for name in (TIME, ROW_ID, "own", "leave out")}
    by_key = {key_of(heading): heading for heading in headings if heading}
    standing = {
        spelling(part)
        for counted in counts
        for text in counted
        for part in (text, *text.replace("+", ";").replace(",", ";").split(";"))
    }
    for left, meaning in reading.column_map.items():
        heading = by_key.get(key_of(left))
        if heading is None and spelling(left) in standing:
            answers = answers.with_value("", left, meaning)
            continue
        if heading is None:
            listed = ", ".join(heading for heading in headings if heading)
            problems.append(Problem(0, left, left, f"a heading of this file: {listed}", line=line))
        known = names.get(key_of(meaning)) or special.get(key_of(meaning))
        if known is None:
            expected = f"a field of the record{nearest(key_of(meaning), names)}"
            problems.append(Problem(0, left, meaning, expected, line=line))
        elif heading is not None:
            answers = answers.with_entry("columns", heading, known)
    return answers, problems


def nearest(key: str, names: Mapping[str, str]) -> str:
    """The words for the field whose name looks most alike, "" where none does."""
    near = difflib.get_close_matches(key, names, 1)
    return f"; the nearest is {names[near[0]]}" if near else ""


def _dates_of(columns: Sequence[Column]) -> SlashOrder | None:
    began = next((c for c in columns if c.field == "began"), None)
    return order_of(began.values) if began is not None else None


def _twice(columns: Sequence[Column], sheet: Sheet) -> Iterator[Problem]:
    heading_of: dict[str, str] = {}
    for column in columns:
        if column.field is None:
            continue
        if column.field in heading_of:
            expected = f"each field once; {heading_of[column.field]} is {column.field} too"
            yield Problem(0, column.heading, column.heading, expected, line=sheet.head.line)
        heading_of.setdefault(column.field, column.heading)


def _hidden(sheets: Sequence[Sheet]) -> Iterator[Problem]:
    for sheet in sheets:
        lines = {record.line for record in sheet.rows}
        hidden = [line for line in sheet.hidden if line in lines]
        if hidden:
            shown = ", ".join(map(str, hidden[:5])) + (", ..." if len(hidden) > 5 else "")
            expected = "rows in sight; hidden rows are read too"
            yield Problem(0, sheet.title, f"{len(hidden)} hidden: {shown}", expected, "notice")


def _unsaved(
    sheets: Sequence[Sheet], places: Sequence[Sequence[int | None]], columns: Sequence[Column]
) -> Iterator[Problem]:
    """Formulas without a saved result, in columns that are read."""
    for sheet, of_sheet in zip(sheets, places, strict=True):
        lines = {record.line for record in sheet.rows}
        read = {p for p, c in zip(of_sheet, columns, strict=True) if c.field is not None}
        for (line, place), formula in sheet.unsaved.items():
            if line in lines and place in read:
                cell = f"{column_letters(place)}{line}"
                expected = "a value; open the file in the spreadsheet and save it, so that it is in"
                yield Problem(0, cell, formula, expected, line=line)
