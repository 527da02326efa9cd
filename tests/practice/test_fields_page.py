"""docs/fields.md is made from the record's own tables, so that neither lags behind."""

import os
from collections.abc import Iterator
from pathlib import Path

from platebook.practice.fields import Field, choices, fields

PAGE = Path(__file__).parents[2] / "docs" / "fields.md"
HEAD = """# Every field of an attempt

The same names in CSV, XLSX, JSON and on the command line. A length is millimetres where no unit
stands; an empty cell is never nought. *Asked* says when the app asks: once until changed, once a
plate, carried over from the attempt before, as a reading before the result, at the look, if you
like, by itself, or never. How cells are read is in [csv.md](csv.md)."""


def _row(field: Field) -> str:
    values = ", ".join(f"`{choice.value}`" for choice in choices().get(field.name, ()))
    meaning = "; ".join(part for part in (field.meaning, values) if part).replace("|", "\\|")
    read = field.help.replace("|", "\\|")
    return f"| `{field.name}` | {field.type} | {field.asked} | {meaning} | {read} |"


def fields_page() -> str:
    """The page as the tables have it."""
    return "\n".join(_page()) + "\n"


def _page() -> Iterator[str]:
    yield HEAD
    group = ""
    for field in fields().values():
        if field.group != group:
            group = field.group
            yield f"\n## {group.capitalize()}\n"
            yield "| field | type | asked | meaning, and values | how it is read |"
            yield "|---|---|---|---|---|"
        yield _row(field)


def test_the_page_of_fields_is_the_records_own() -> None:
    """Write it anew with PLATEBOOK_PICTURES=write when a field changes."""
    page = fields_page()
    if os.environ.get("PLATEBOOK_PICTURES") == "write":
        PAGE.write_text(page, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == page


def test_every_field_and_every_value_is_on_it() -> None:
    """All of the record, each in a row of its own."""
    page = PAGE.read_text(encoding="utf-8")
    rows = [line for line in page.splitlines() if line.startswith("| `")]
    assert [row.split("`")[1] for row in rows] == list(fields())
    assert all(f"`{one.value}`" in page for some in choices().values() for one in some)
