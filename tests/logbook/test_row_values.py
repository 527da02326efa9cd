"""Values to rows and back: lengths, times, lists, and what no row can hold."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.logbook.any_attempt import any_attempts, full_attempt

from platebook.logbook import LogbookError
from platebook.logbook.record_kinds import attempt_columns
from platebook.logbook.row_values import (
    TableColumn,
    TableColumns,
    as_json,
    instant,
    micrometres,
    time_of,
)
from platebook.practice.attempt import Attempt, attempts_of


@dataclass(frozen=True)
class Holder:
    """A value with one attribute."""

    value: Any


@pytest.mark.parametrize(
    ("typed_mm", "expected"),
    [
        ("1.98", 1980),
        ("0.0005", 0),
        ("0.0015", 2),
        ("0.0025", 2),
        ("2.6755", 2676),
        ("1.0049999", 1005),
        ("-0.0315", -32),
        ("0", 0),
    ],
)
def test_lengths_are_rounded_half_even_to_a_micrometre(typed_mm: str, expected: int) -> None:
    """ISO 80000-1:2009, annex B, rule B.3 A: of two nearest multiples the even one is taken."""
    assert micrometres(float(typed_mm)) == expected


@given(st.integers(-(10**12), 10**12))
def test_a_length_in_micrometres_is_exact(whole: int) -> None:
    """What was rounded once comes back as it was."""
    assert micrometres(whole / 1000) == whole


@given(st.decimals(-1000, 1000, places=5))
def test_what_was_typed_is_rounded_and_not_its_bits(typed: Decimal) -> None:
    """The nearest micrometre of the decimal number, though the float is not that number."""
    assert abs(Decimal(micrometres(float(typed))) - typed * 1000) <= Decimal("0.5")


@pytest.mark.parametrize(
    ("time", "expected"),
    [
        # POSIX.1-2017, 4.16: the seconds since the epoch of this day are 1 000 000 000.
        (datetime(2001, 9, 9, 1, 46, 40, tzinfo=UTC), (1_000_000_000_000_000, 0)),
        # RFC 3339, 5.8: 1990-12-31T15:59:59-08:00 is 23:59:59 in UTC.
        (
            datetime(1990, 12, 31, 15, 59, 59, tzinfo=timezone(timedelta(hours=-8))),
            (662_687_999_000_000, -480),
        ),
        (datetime(1969, 12, 31, 23, 59, 59, 999_999, tzinfo=UTC), (-1, 0)),
    ],
)
def test_times_are_microseconds_in_utc_and_an_offset(
    time: datetime, expected: tuple[int, int]
) -> None:
    """A time keeps its instant to the microsecond and the offset it was written with."""
    assert instant(time) == expected
    back = time_of(*expected)
    assert (back, back.utcoffset()) == (time, time.utcoffset())


def test_a_time_without_an_offset_is_a_fault_of_the_program() -> None:
    """Nobody can say when it was, so it never reaches the file."""
    with pytest.raises(ValueError, match="without an offset"):
        instant(datetime(2026, 2, 3))  # noqa: DTZ001 - the point of the test


@given(any_attempts("someone"))
def test_any_attempt_comes_back_as_it_was(attempt: Attempt) -> None:
    """Every field, exactly, also what is not in any list and what looks like SQL or JSON.

    Read by itself or together with others, of which an empty one stays empty.
    """
    columns = attempt_columns()
    row = columns.stored(attempt)
    assert Attempt(**columns.loaded(row)) == attempt
    empty: list[object] = [None] * len(columns.stored_as)
    cells: list[list[object]] = [[row.get(name) for name in columns.stored_as], empty]
    together = attempts_of(columns.loaded_together(columns.stored_as, cells), len(cells))
    assert together == (attempt, Attempt())


def test_a_full_attempt_comes_back_as_it_was() -> None:
    """With no field empty nothing is lost either, and no two fields share a column."""
    attempt = full_attempt("someone").with_values(attempt_id="an id")
    columns = attempt_columns()
    row = columns.stored(attempt)
    assert tuple(row) == columns.stored_as
    assert Attempt(**columns.loaded(row)) == attempt


def test_an_empty_field_is_no_column_and_an_empty_list_is_one() -> None:
    """Not judged is empty; judged with nothing is a list of nothing. Neither is the other."""
    columns = TableColumns(TableColumn("value", "list"))
    assert columns.stored(Holder(None)) == {}
    assert columns.stored(Holder(())) == {"value": "[]"}
    assert columns.loaded({"value": None}) == {}


@pytest.mark.parametrize("kind", ["number", "length", "pairs"])
@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused(kind: Any, number: float) -> None:
    """SQLite would store a NaN as empty, without a word."""
    value = (("steadiness", number),) if kind == "pairs" else number
    with pytest.raises(LogbookError, match="not a number that can be stored") as caught:
        TableColumns(TableColumn("value", kind)).stored(Holder(value))
    assert caught.value.cause == "value"


def test_json_is_the_same_for_equal_values() -> None:
    """Two records are the same if and only if their texts are."""
    assert as_json({"b": "ü", "a": 1}) == as_json({"a": 1, "b": "ü"}) == '{"a":1,"b":"ü"}'
