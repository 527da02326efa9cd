"""Sign-offs as the points read them: after which whole setting each was given.

A sign-off says that a grade is passed where the course asks for an instructor's word. It counts
from the setting after which it was given, and until the grade falls back: then it has to be given
again. By the last attempt that counted when it was given, not by the clock, so wrong clocks do no
harm; only where that attempt is not in the log its time decides. At 0 sign-offs nothing is signed.
"""

from collections.abc import Iterable, Mapping, Sequence

from platebook.analysis.whole_settings import WholeSetting
from platebook.practice.course import Course
from platebook.practice.sign_off import SignOff

Signed = Mapping[str, tuple[int, ...]]
"""By grade id: after how many of the setter's whole settings it was signed off, each time."""


def signed(course: Course, settings: Sequence[WholeSetting], given: Iterable[SignOff]) -> Signed:
    """Where the sign-offs of this course stand among the settings; those of others are left out."""
    places = {s.attempt.attempt_id: n for n, s in enumerate(settings, 1) if s.attempt.attempt_id}
    found: dict[str, tuple[int, ...]] = {}
    for one in given:
        if one.course == course.id and course.asks_sign_off(one.grade):
            place = places.get(one.attempt_id)
            number = _by_time(settings, one) if place is None else place
            found[one.grade] = (*found.get(one.grade, ()), number)
    return found


def _by_time(settings: Sequence[WholeSetting], one: SignOff) -> int:
    if one.signed is None:
        return len(settings)
    return sum(s.attempt.began is not None and s.attempt.began <= one.signed for s in settings)
