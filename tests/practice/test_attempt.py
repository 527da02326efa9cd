"""The order of attempts."""

from datetime import timedelta

from tests.builders import BEGAN, an_attempt

from platebook.practice.attempt import in_order


def test_attempts_stand_by_time_then_id() -> None:
    """Those without a time come first, and rows without ids keep the order they came in."""
    later = an_attempt(began=BEGAN + timedelta(minutes=5), note="later")
    second = an_attempt(attempt_id="b", note="second")
    first = an_attempt(attempt_id="a", note="first")
    untimed = [an_attempt(began=None, note=note) for note in ("x", "y")]
    found = in_order([later, second, untimed[0], first, untimed[1]])
    assert [attempt.note for attempt in found] == ["x", "y", "first", "second", "later"]
