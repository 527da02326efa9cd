"""When to rest eyes and hand: after so long at the bench without a pause, and no sooner again.

Time is at the bench while keys come; a while without any is a pause. A setting is made with both
hands, so a pause is longer than the longest one usually takes.
"""

AT_A_STRETCH_S = 25 * 60
"""After so many seconds it is said (common practice: rest before it hurts)."""

PAUSE_S = 10 * 60

SAYS = "25 minutes at a stretch: rest eyes and hand for a moment. {key} never says this again."


class Stretch:
    """One stretch of work; seconds by any clock that only goes on."""

    def __init__(self) -> None:
        self._began: float | None = None
        self._last = 0.0

    def key(self, now_s: float) -> bool:
        """A key came at this time; whether it is time to say it. Said once, it begins anew."""
        if self._began is None or now_s - self._last >= PAUSE_S:
            self._began = now_s
        self._last = now_s
        if now_s - self._began < AT_A_STRETCH_S:
            return False
        self._began = now_s
        return True
