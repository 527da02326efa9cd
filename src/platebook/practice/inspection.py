"""An inspection: an instructor's own look, made before seeing the setter's.

It stands beside the setter's look, never over it.
"""

from pydantic import AwareDatetime, Field

from platebook.trade.value import Value


class Inspection(Value):
    """One look at one attempt by someone other than its setter, or by the setter a day later.

    `result` and `severity` read as in an attempt. `inspector` is the setter id of who looked, or a
    name where the logbook has none. `drawn_at_random` marks the positions that agreement is
    computed from. `looked` is the time of the look, with its offset.
    """

    inspection_id: str | None = None
    attempt_id: str
    inspector: str
    result: tuple[str, ...] | None = None
    severity: tuple[int, ...] | None = None
    clock: int | None = Field(default=None, ge=1, le=12)
    comment: str = ""
    drawn_at_random: bool = False
    looked: AwareDatetime | None = None
