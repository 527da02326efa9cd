"""When to rest eyes and hand: after so long at the bench without a pause, and no sooner again.

Time is at the bench while keys come, however slowly: a setting is made with both hands, and its
keys may all come at its end. Without any for as long as `A_PAUSE`, a new stretch begins with the
next.
"""

from platebook.practice.people.pause import A_PAUSE

AT_A_STRETCH_S = 25 * 60
"""After so many seconds it is said (common practice: rest before it hurts)."""

SAYS = "25 minutes at a stretch: rest eyes and hand for a moment. {key} never says this again."


class Stretch:
    """One stretch of work; seconds by any clock that only goes on."""

    def __init__(self) -> None:
        self._began: float | None = None
        self._last = 0.0

    def key(self, now_s: float) -> bool:
        """A key came at this time; whether it is time to say it. Said once, it begins anew."""
        if self._began is None or now_s - self._last >= A_PAUSE.total_seconds():
            self._began = now_s
        self._last = now_s
        if now_s - self._began < AT_A_STRETCH_S:
            return False
        self._began = now_s
        return True
