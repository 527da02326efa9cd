"""Which cutting tools a setter evidently has: those of their last settings."""

from collections.abc import Sequence

from platebook.practice.attempt import Attempt
from platebook.trade.records import Tool

LAST = 20
"""A tool that was not used in so many settings may have been lent, broken or thrown away."""


def last_tools(attempts: Sequence[Attempt]) -> tuple[Tool, ...]:
    """Drills, opening burs and seat burs of the last settings, each kind, shape and size once.

    A seat bur without a shape counts as a setting bur, an opening bur without one as a ball. Parts
    are left out, as somebody else's tools may have done what came before them.
    """
    found: dict[Tool, None] = {}
    settings = [a for a in attempts if a.kind != "part"]
    for attempt in settings[-LAST:]:
        sized = (
            ("twist drill", None, attempt.pilot_mm),
            ("bur", attempt.opening_bur_shape or "ball", attempt.opening_bur_mm),
            ("bur", attempt.seat_bur_shape or "setting", attempt.seat_bur_mm),
        )
        for kind, shape, mm in sized:
            if mm is not None:
                found[Tool.model_validate({"kind": kind, "shape": shape, "size_mm": mm})] = None
    return tuple(found)
