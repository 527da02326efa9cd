"""An inspection: what it may hold."""

from datetime import UTC, datetime

import pytest
from pydantic import ValidationError

from platebook.practice.inspection import Inspection


def test_an_inspection_may_say_as_little_as_who_looked_at_what() -> None:
    """Not judged is not good."""
    look = Inspection(attempt_id="a", inspector="Ansel Reed")
    assert (look.result, look.severity, look.drawn_at_random) == (None, None, False)


@pytest.mark.parametrize("clock", [1, 12])
def test_the_clock_goes_from_1_to_12(clock: int) -> None:
    """The plate's notch is 12."""
    assert Inspection(attempt_id="a", inspector="b", clock=clock).clock == clock


@pytest.mark.parametrize(
    "wrong",
    [{"clock": 0}, {"clock": 13}, {"looked": datetime(2026, 2, 3)}],  # noqa: DTZ001 - the point
)
def test_what_no_clock_shows_is_refused(wrong: dict[str, object]) -> None:
    """Neither on the rim, nor a time of which nobody can say when it was."""
    with pytest.raises(ValidationError):
        Inspection.model_validate({"attempt_id": "a", "inspector": "b", **wrong})


def test_a_look_keeps_its_time_and_offset() -> None:
    """An aware time is taken as it is."""
    looked = datetime(2026, 2, 3, 19, 0, tzinfo=UTC)
    assert Inspection(attempt_id="a", inspector="b", looked=looked).looked == looked
