"""A size that strays into a question which one digit answers.

A caliper that types sends "1.96" and Enter within a few milliseconds. Where sizes are typed it
lands right by itself. Where one digit answers, "1" would be taken for a fit; the decimal sign that
follows at once gives it away. Then what its digits did is taken back and the rest is dropped.
"""

from typing import Generic, TypeVar

BURST_S = 0.04
"""Keys closer than this come from a cable: the slowest sends one each 33 ms, and between two keys
of a fast hand lie 80 ms and more (judgement). Times are those at which the terminal was read, so a
busy program changes nothing."""

DECIMAL_SIGNS = frozenset(".,")
SIZE_SIGNS = frozenset("0123456789.,+-")
ENTER = "\r"

State = TypeVar("State")


class StraySize(Generic[State]):
    """Hears every key with the state before it; remembers the digits of the burst of the moment."""

    def __init__(self) -> None:
        self.text = ""
        self._before: list[State] = []
        self._last: float | None = None
        self._dropping = False

    def hear(self, sign: str, time: float, state: State, *, typing: bool) -> State | None:
        """The state to go back to where this key belongs to a stray size, else None.

        `typing` says that the stop takes a typed size. A key that belongs to one is to be dropped.
        """
        joined = self._last is not None and time - self._last <= BURST_S
        self._last = time
        if self._dropping:
            if joined and sign in SIZE_SIGNS:
                self.text += sign
                return state
            self._dropping = False
            if joined and sign == ENTER:
                self._forget()
                return state
        if not joined or not (sign.isdecimal() or sign in DECIMAL_SIGNS):
            self._forget()
        if sign in DECIMAL_SIGNS and self._before:
            self._dropping = True
            self.text += sign
            return self._before[0]
        if sign.isdecimal() and (self._before or not typing):
            self._before.append(state)
            self.text += sign
        return None

    def starts_from(self, state: State) -> None:
        """The key just heard led here from another screen: go back no further than this."""
        self._before = [state for _ in self._before]

    def _forget(self) -> None:
        self._before, self.text = [], ""


def stray_sentence(read: str, asked: str) -> str:
    """The sentence about a size that was dropped."""
    return f"{asked}: read {read}, expected one digit. Nothing of it is noted."
