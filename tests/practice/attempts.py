"""Any attempt that the record can hold, for property tests."""

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from hypothesis import strategies as st

from platebook.practice.attempt import Attempt
from platebook.practice.fields import Field, choices, fields
from platebook.practice.reading.field_values import bounds
from platebook.practice.results import DEFECTS
from platebook.practice.text import clean

SIZES = {
    "stone_depth_mm": (200, 450),
    "stone_crown_mm": (50, 190),
    "stone_diameter_min_mm": (500, 6000),
    "stone_diameter_mm": (500, 12000),
    "stone_diameter_max_mm": (6000, 12000),
    "stone_girdle_min_mm": (0, 200),
    "stone_girdle_max_mm": (200, 1500),
    "seat_go_mm": (300, 6000),
    "seat_nogo_mm": (6001, 12000),
}
"""Micrometres of the fields that have to agree with each other."""


def words(*, multiline: bool = False) -> st.SearchStrategy[str]:
    """Text as it is once cleaned."""
    typed = st.text(max_size=40).map(lambda text: clean(text, multiline=multiline))
    return typed.filter(bool)


def lengths(field: str) -> st.SearchStrategy[float]:
    """Lengths within sensible limits, in whole micrometres."""
    limits = bounds()[field]
    low, high = SIZES.get(field, (round(limits.low * 1000), round(limits.high * 1000)))
    return st.integers(low, high).map(lambda micrometres: micrometres / 1000)


def moments() -> st.SearchStrategy[datetime]:
    """Aware times with any whole-minute offset."""
    return st.builds(
        lambda local, minutes: local.replace(tzinfo=timezone(timedelta(minutes=minutes))),
        st.datetimes(datetime(1960, 1, 1), datetime(2190, 1, 1)),  # noqa: DTZ001 - put on above
        st.integers(-14 * 60, 14 * 60),
    )


def ids() -> st.SearchStrategy[str]:
    """UUIDs of version 7."""
    return st.uuids(version=4).map(lambda found: f"{str(found)[:14]}7{str(found)[15:]}")


def of_field(field: Field) -> st.SearchStrategy[Any]:  # noqa: PLR0911 - one line a type
    """Values of one field by its type."""
    limits = bounds().get(field.name)
    match field.type:
        case "length":
            return lengths(field.name)
        case "number" if field.name == "table_height_mm":
            return st.integers(-5000, 5000).map(lambda micrometres: micrometres / 1000)
        case "number" if limits is not None and field.name.endswith("_mm"):
            return lengths(field.name)
        case "number" if limits is not None:
            return st.floats(limits.low, limits.high)
        case "integer" if limits is not None:
            return st.integers(int(limits.low), int(limits.high))
        case "choice":
            return st.sampled_from([choice.value for choice in choices()[field.name]])
        case "yes/no":
            return st.booleans()
        case "uuid7":
            return ids()
        case "datetime":
            return moments()
        case _:
            return words(multiline=field.name == "note")


@st.composite
def attempts(draw: st.DrawFn) -> Attempt:
    """An attempt with some of its fields filled, whose look fits its kind."""
    plain = [f for f in fields().values() if f.type not in {"defects", "list"}]
    filled = draw(st.lists(st.sampled_from(plain), unique=True, max_size=12))
    values: dict[str, Any] = {f.name: draw(of_field(f)) for f in filled}
    values["kind"] = draw(st.sampled_from(["whole", "part", "block"]))
    words_for_look = ("missed",) if values["kind"] == "part" else DEFECTS
    faults = st.lists(st.sampled_from(words_for_look), min_size=1, max_size=3, unique=True).map(
        tuple
    )
    result = draw(st.none() | st.just(("good",)) | faults)
    values["result"] = result
    values["after_cleanup"] = draw(st.none() | st.just(("good",)) | faults)
    if result is not None and result[0] in DEFECTS:
        sizes = st.lists(st.sampled_from([1, 2, 3]), min_size=1, max_size=len(result))
        values["severity"] = draw(st.none() | sizes.map(tuple))
    if "began" in values and draw(st.booleans()):
        midnight = {"hour": 0, "minute": 0, "second": 0, "microsecond": 0}
        values["began"] = values["began"].replace(**midnight, tzinfo=UTC)
        values["day_only"] = True
    return Attempt(**values)
