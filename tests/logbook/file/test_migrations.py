"""Schema steps: from every earlier file to this one, through failures, and never half."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, a_book, a_book_with_setter, log, signed
from tests.logbook.handed_on import revisions_by
from tests.logbook.new_migration import missing_columns

from platebook.logbook import LogbookError, defaults, open_logbook, setter_records
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file import integrity
from platebook.logbook.file.migrating import Migration, shipped_steps
from platebook.logbook.record_kinds import kinds
from platebook.logbook.records import add_setter

VERSIONS = sorted((Path(__file__).parents[1] / "versions").glob("*.sql"))
NEXT = len(shipped_steps()) + 1
LAMP = Migration(
    NEXT, "lamp", "ALTER TABLE plate ADD COLUMN lamp TEXT;\nCREATE INDEX lamps ON plate (lamp);"
)
BROKEN = Migration(NEXT, "lamp", LAMP.sql + "\nINSERT INTO nowhere VALUES (1);")
UNROOTED = Migration(NEXT, "unrooted", "DELETE FROM change;")


def schema_of(path: Path) -> set[tuple[str, str]]:
    """Everything that holds records, as SQLite keeps it; views follow from it."""
    connection = sqlite3.connect(path)
    try:
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL AND type <> 'view'"
        )
        return set(rows.fetchall())
    finally:
        connection.close()


def built(version: Path, path: Path) -> Path:
    """A logbook file as the frozen text of an earlier version makes it."""
    connection = sqlite3.connect(path)
    try:
        connection.executescript(version.read_text(encoding="utf-8"))
    finally:
        connection.close()
    return path


def whole_text(path: Path) -> list[str]:
    """The whole content of a file as SQL, with the number of its schema."""
    connection = sqlite3.connect(path)
    try:
        number = connection.execute("PRAGMA user_version").fetchone()[0]
        return [f"schema {number}", *connection.iterdump()]
    finally:
        connection.close()


def test_steps_are_numbered_without_gaps() -> None:
    """The number of the last step is the schema of the file."""
    numbers = [step.number for step in shipped_steps()]
    assert numbers == list(range(1, len(numbers) + 1))


def test_there_is_a_frozen_file_of_every_schema() -> None:
    """A step that is added brings the file before it along."""
    assert [version.stem for version in VERSIONS] == [f"{s.number:04}" for s in shipped_steps()]


@pytest.mark.parametrize("version", VERSIONS, ids=lambda version: version.stem)
def test_an_earlier_file_becomes_what_a_new_one_is(version: Path, tmp_path: Path) -> None:
    """Same tables, same indexes, down to the text; and nothing of the record is lost."""
    path = built(version, tmp_path / "old.sqlite")
    with open_logbook(path) as book:
        assert book.ask(integrity.problems_in) == ()
        assert (book.ask(count_attempts), len(book.ask(revisions_by))) == (3, 9)
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]
    a_book(tmp_path, "new.sqlite").close()
    assert schema_of(path) == schema_of(tmp_path / "new.sqlite")


@pytest.mark.parametrize("version", VERSIONS, ids=lambda version: version.stem)
def test_a_step_is_never_edited(version: Path, tmp_path: Path) -> None:
    """The steps up to a schema still make exactly the frozen file of that schema."""
    steps = shipped_steps()[: int(version.stem)]
    open_logbook(tmp_path / "made.sqlite", steps=steps).close()
    built(version, tmp_path / "frozen.sqlite")
    assert schema_of(tmp_path / "made.sqlite") == schema_of(tmp_path / "frozen.sqlite")


def test_the_tables_have_the_columns_of_the_contract(tmp_path: Path) -> None:
    """The schema and the record's contract say the same; a column that is added stands behind.

    `make migration` writes the step for a field that has no column yet.
    """
    a_book(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    for kind in kinds().values():
        rows = connection.execute("SELECT name FROM pragma_table_info(?)", [kind.name])
        columns = sorted(row[0] for row in rows)
        assert columns == sorted([*kind.table_columns, *kind.housekeeping]), kind.name
    connection.close()
    assert missing_columns() == ()


def test_a_kind_of_measuring_tool_that_came_before_its_column_is_found(tmp_path: Path) -> None:
    """An older program kept it in the revision that a bundle brought, and had no column for it."""
    path = built(Path(__file__).parents[1] / "versions" / "0004.sql", tmp_path / "old.sqlite")
    connection = sqlite3.connect(path)
    with connection:
        connection.execute(
            "UPDATE revision SET record = json_set(record, '$.measuring_kind', 'caliper')"
            " WHERE kind = 'tool'"
        )
    connection.close()
    with open_logbook(path) as book:
        (tool,) = (
            t
            for setter in book.ask(setter_records.setters)
            for t in book.ask(setter_records.tools, setter.setter_id or "")
        )
        assert tool.measuring_kind == "caliper"
        assert book.ask(integrity.problems_in) == ()


@pytest.mark.parametrize(
    ("kept", "found"), [("1500", 1500), ('"high"', None), ("null", None)], ids=str
)
def test_what_came_before_its_column_is_found_in_the_new_one(
    kept: str, found: int | None, tmp_path: Path
) -> None:
    """A newer program's bundle brought the field; what the column cannot take stays where it is."""
    column = Migration(NEXT, "lamp", "ALTER TABLE attempt ADD COLUMN lamp_um INTEGER;")
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
    path = tmp_path / "book.sqlite"
    connection = sqlite3.connect(path)
    with connection:
        connection.execute(
            "UPDATE revision SET record = json_set(record, '$.lamp_um', json(?))"
            " WHERE revision_id = (SELECT min(revision_id) FROM attempt)",
            [kept],
        )
    open_logbook(path, steps=(*shipped_steps(), column)).close()
    rows = connection.execute("SELECT lamp_um FROM attempt ORDER BY revision_id").fetchall()
    connection.close()
    assert rows == [(found,), (None,)]


def test_every_table_of_ours_is_strict(tmp_path: Path) -> None:
    """A text never lands in a column of numbers."""
    a_book(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    rows = connection.execute(
        "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict"
    )
    assert {row[0] for row in rows} == {"sqlite_schema", "_sqlite_migrations"}
    connection.close()


def test_a_new_step_is_taken_and_the_old_file_kept(tmp_path: Path) -> None:
    """Before an existing file is changed, a copy of it lies beside it."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 3)
    before = whole_text(tmp_path / "book.sqlite")
    with open_logbook(tmp_path / "book.sqlite", steps=(*shipped_steps(), LAMP)) as book:
        assert book.ask(count_attempts) == 3
        assert book.ask(integrity.problems_in) == ()
    assert ("lamps", "CREATE INDEX lamps ON plate (lamp)") in schema_of(tmp_path / "book.sqlite")
    assert whole_text(tmp_path / f"book.before-schema-{NEXT}-1.sqlite") == before


@pytest.mark.parametrize(
    ("step", "cause"), [(BROKEN, "sqlite"), (UNROOTED, "damaged")], ids=["broken", "unrooted"]
)
def test_a_failed_step_leaves_the_file_as_it_was(
    step: Migration, cause: str, tmp_path: Path
) -> None:
    """Half a step is no step: the file is unchanged, and the mended program takes it."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 3)
    path = tmp_path / "book.sqlite"
    before = whole_text(path)
    with pytest.raises(LogbookError) as caught:
        open_logbook(path, steps=(*shipped_steps(), step))
    assert caught.value.cause == cause
    assert whole_text(path) == before
    with open_logbook(path, steps=(*shipped_steps(), LAMP)) as book:
        assert book.ask(count_attempts, Wanted(setter_id=ME)) == 3


def test_a_file_of_a_newer_program_is_refused_and_left(tmp_path: Path) -> None:
    """It says so, and not a byte of it changes."""
    path = tmp_path / "book.sqlite"
    open_logbook(path, steps=(*shipped_steps(), LAMP)).close()
    before = path.read_bytes()
    with pytest.raises(LogbookError, match="newer platebook") as caught:
        open_logbook(path)
    assert caught.value.cause == "newer"
    assert path.read_bytes() == before


def test_an_older_file_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    """Reading it would need a step that cannot be taken."""
    a_book(tmp_path).close()
    steps = (*shipped_steps(), LAMP)
    with pytest.raises(LogbookError, match="must be brought up to date") as caught:
        open_logbook(tmp_path / "book.sqlite", read_only=True, steps=steps)
    assert caught.value.cause == "read-only"


def test_a_second_start_finds_nothing_to_do(tmp_path: Path) -> None:
    """Steps that were taken are not taken again, and no further copy is made."""
    steps = (*shipped_steps(), LAMP)
    with a_book_with_setter(tmp_path) as book:
        book.tell(defaults.set_default, "setter", ME)
    for _ in range(2):
        with open_logbook(tmp_path / "book.sqlite", steps=steps) as book:
            assert book.ask(defaults.default, "setter") == ME
            book.tell(add_setter, "Ansel Reed", signed(book, "add"))
    copies = sorted(path.name for path in tmp_path.glob("*.sqlite"))
    assert copies == [f"book.before-schema-{NEXT}-1.sqlite", "book.sqlite"]
