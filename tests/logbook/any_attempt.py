"""Any attempt at all, sensible or not: what is typed must come back, whatever it is."""

from datetime import datetime, timedelta, timezone
from typing import Any

from hypothesis import strategies as st

from platebook.practice.attempt import Attempt
from platebook.practice.fields import Field, fields

TEXT = st.text(max_size=30)
INTEGER = st.integers(-(2**63), 2**63 - 1)
NUMBER = st.floats(allow_nan=False, allow_infinity=False)
LENGTH = st.integers(-(10**9), 10**9).map(lambda micrometres: micrometres / 1000)
TIME = st.builds(
    lambda local, minutes: local.replace(tzinfo=timezone(timedelta(minutes=minutes))),
    st.datetimes(datetime(1900, 1, 1), datetime(2200, 1, 1)),  # noqa: DTZ001 - put on above
    st.integers(-14 * 60, 14 * 60),
)
UUIDS = st.uuids(version=4).map(str)

OF_TYPE: dict[str, st.SearchStrategy[Any]] = {
    "text": TEXT,
    "choice": TEXT,
    "uuid7": UUIDS,
    "integer": INTEGER,
    "number": NUMBER,
    "length": LENGTH,
    "yes/no": st.booleans(),
    "datetime": TIME,
    "defects": st.lists(TEXT, max_size=3).map(tuple),
    "list": st.lists(st.integers(1, 3), max_size=3).map(tuple),
}
OWN = ("attempt_id", "setter_id", "setter")
EXTRA = st.lists(st.tuples(TEXT, TEXT | NUMBER | st.booleans()), max_size=3).map(tuple)


def _values_of(field: Field) -> st.SearchStrategy[Any]:
    """A clock has twelve hours, whatever else is typed; a logbook takes in no other."""
    return st.integers(1, 12) if field.name == "clock" else OF_TYPE[field.type]


@st.composite
def any_attempts(draw: st.DrawFn, setter_id: str) -> Attempt:
    """An attempt of this setter with any of its fields filled with anything of their type."""
    free = [field for field in fields().values() if field.name not in OWN]
    filled = draw(st.lists(st.sampled_from(free), unique=True))
    values = {field.name: draw(_values_of(field)) for field in filled}
    return Attempt(setter_id=setter_id, day_only=draw(st.booleans()), extra=draw(EXTRA), **values)


def full_attempt(setter_id: str) -> Attempt:
    """An attempt of which no field is empty."""
    values: dict[str, Any] = {
        "text": 'Überfang; "12" \'o',
        "choice": "not in the list",
        "integer": 7,
        "number": 0.1,
        "length": 1.983,
        "yes/no": False,
        "datetime": datetime(2026, 2, 3, 18, 30, 15, 250_001, tzinfo=timezone(timedelta(hours=-3))),
        "defects": ("loose", "off mark"),
        "list": (1, 3),
    }
    filled = {f.name: values[f.type] for f in fields().values() if f.name not in OWN}
    extra = (("steadiness", 3.5), ("left hand", True), ("mood", "fine"))
    return Attempt(setter_id=setter_id, day_only=True, extra=extra, **filled)
