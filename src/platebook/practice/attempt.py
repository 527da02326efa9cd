"""One attempt: one exercise at one position, with its set-up, readings and look.

The attributes are the fields of `data/fields.csv`, which says what each one means. None is an empty
field; empty is never zero. Lengths are millimetres that are exact in micrometres.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from itertools import islice, repeat
from operator import attrgetter
from typing import Any, TypeVar, cast

from msgspec import defstruct

from platebook.practice.fields import FieldType, fields
from platebook.values import Value, replace

BESIDE_THE_FIELDS = ("day_only", "extra")
"""The attributes that are no fields: what is to be known of `began`, and a course's own fields."""

TYPES: dict[FieldType, Any] = {
    "text": str,
    "integer": int,
    "number": float,
    "length": float,
    "choice": str,
    "yes/no": bool,
    "datetime": datetime,
    "uuid7": str,
    "defects": tuple[str, ...],
    "list": tuple[int, ...],
}
"""What a filled field of each type is."""

_Record = TypeVar("_Record", bound=Value)


def with_every_field(record: type[_Record]) -> type[_Record]:
    """The class with an attribute for each field of the table, in its order.

    TypeError for an attribute that the table does not have, which says what to add.
    """
    written = record.__annotations__
    strangers = [name for name in written if name not in {*fields(), *BESIDE_THE_FIELDS}]
    if strangers:
        message = f"{record.__name__}.{strangers[0]} is no field: add its row to data/fields.csv"
        raise TypeError(message)
    types = {name: written.get(name, TYPES[field.type] | None) for name, field in fields().items()}
    beside = [(name, written[name], getattr(record(), name)) for name in BESIDE_THE_FIELDS]
    whole = defstruct(
        record.__name__,
        [*((name, kind, None) for name, kind in types.items()), *beside],
        bases=(Value,),
        namespace={"__doc__": record.__doc__, "with_values": record.__dict__["with_values"]},
        module=record.__module__,
    )
    return cast("type[_Record]", whole)


@with_every_field
class Attempt(Value, kw_only=True):
    """A frozen record; change one with `with_values`.

    The lines below are the fields as the type checker knows them: code that reads `attempt.name`
    needs a line here, a field that only goes through the tables needs none.

    `result` is ("good",) or the defects in the order typed, and for a part exercise ("good",) or
    ("missed",); `severity` stands in the same order. `day_only` says that `began` is a day whose
    hour nobody wrote down (it then stands at midnight, and rows keep their order by id). `extra`
    holds the fields a course added, as pairs of name and value.
    """

    attempt_id: str | None = None
    setter_id: str | None = None
    setter: str | None = None

    began: datetime | None = None
    minutes: float | None = None

    course: str | None = None
    course_version: int | None = None
    grade: str | None = None
    exercise: str | None = None
    kind: str | None = None
    part: str | None = None
    block: str | None = None
    block_run: int | None = None
    block_levels: str | None = None
    plate: str | None = None
    position: str | None = None
    proposed: str | None = None

    stone_material: str | None = None
    stone_lot: str | None = None
    stone_diameter_mm: float | None = None
    stone_diameter_min_mm: float | None = None
    stone_diameter_max_mm: float | None = None
    stone_hole_mm: float | None = None
    stone_depth_mm: float | None = None
    stone_crown_mm: float | None = None
    stone_girdle: str | None = None
    stone_girdle_min_mm: float | None = None
    stone_girdle_max_mm: float | None = None
    stone_table_off_mm: float | None = None
    stone_uses: int | None = None
    stone_checked: bool | None = None
    hand_cut: bool | None = None

    metal: str | None = None
    metal_state: str | None = None
    sheet_mm: float | None = None
    layers: int | None = None
    curve: str | None = None
    curve_radius_mm: float | None = None
    backing: str | None = None
    support: str | None = None

    pilot_mm: float | None = None
    opening_bur_shape: str | None = None
    opening_bur_mm: float | None = None
    seat_bur: str | None = None
    seat_bur_shape: str | None = None
    seat_bur_angle_deg: float | None = None
    seat_bur_mm: float | None = None
    seat_bur_uses: int | None = None
    runout: str | None = None
    handpiece: str | None = None
    speed_step: str | None = None
    spindle_rpm: float | None = None
    lubricant: str | None = None
    punch: str | None = None
    hammer_g: float | None = None
    burnisher_tip_mm: float | None = None
    burnisher_polished: bool | None = None
    magnification: float | None = None
    light: str | None = None

    seat_method: str | None = None
    fit_checks: str | None = None
    fit: str | None = None
    trial_height: str | None = None
    ledge: str | None = None
    seat_diameter_mm: float | None = None
    seat_go_mm: float | None = None
    seat_nogo_mm: float | None = None
    seat_measured_with: str | None = None
    seat_depth_mm: float | None = None
    spindle_tilt_deg: float | None = None
    levelled_by: str | None = None
    effort: str | None = None
    point_order: str | None = None
    burnish_passes: str | None = None
    readings_asked: bool | None = None

    push_test: str | None = None
    table_height_mm: float | None = None
    table_tilt_deg: float | None = None
    ended: str | None = None
    result: tuple[str, ...] | None = None
    severity: tuple[int, ...] | None = None
    first_seen: str | None = None
    clock: int | None = None
    rescued: str | None = None
    seen: str | None = None
    after_cleanup: tuple[str, ...] | None = None
    note: str | None = None

    day_only: bool = False
    extra: tuple[tuple[str, str | float | bool], ...] = ()

    def with_values(self, **values: object) -> "Attempt":
        """A copy with these fields changed; TypeError for a name that is no field."""
        return replace(self, **values)


_NAMES = Attempt.__struct_fields__
values_of = attrgetter(*_NAMES)
"""All values of an attempt, in the order of its fields."""


_EMPTY: dict[str, object] = {"day_only": False, "extra": ()}
"""What an attribute that stands empty holds, where it is not None."""


def attempts_of(columns: Mapping[str, Sequence[object]], count: int) -> tuple[Attempt, ...]:
    """So many attempts from lists of their values, one for each attribute; None for an empty one.

    Attributes without a list are empty. It gives what `Attempt(**values)` gives for each of them.
    """
    made: Callable[..., Attempt] = Attempt
    filled = (_filled(columns.get(name), _EMPTY.get(name)) for name in _NAMES)
    return tuple(islice(map(made, *filled), count))


def _filled(values: Sequence[object] | None, empty: object) -> Iterable[object]:
    """The values with what an empty one holds in the place of None."""
    if not values:
        return repeat(empty)
    return values if empty is None else (empty if value is None else value for value in values)


def in_order(attempts: Iterable[Attempt]) -> tuple[Attempt, ...]:
    """Attempts by `began`, then id; those without a time keep their place before the timed ones.

    Rows without ids keep the order they came in.
    """
    places = sorted(
        [
            (
                a.began.timestamp() if a.began is not None else -math.inf,
                a.attempt_id or "",
                place,
                a,
            )
            for place, a in enumerate(attempts)
        ]
    )
    return tuple([attempt for *_, attempt in places])
