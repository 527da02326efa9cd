"""How an attempt is begun from Now, also by keys typed before the exercise is there."""

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from textual.message import Message

from platebook.practice.reading.questions import Question
from platebook.tui.bench_session import BenchSession
from platebook.tui.entry.keys_behind import OF_A_PLATE
from platebook.tui.entry.stray_size import ENTER, StraySize, stray_sentence
from platebook.tui.now.draft_screen import Draft, DraftScreen
from platebook.tui.now.start_keys import (
    DECIMAL_KEYS,
    GOOD_ONE,
    KEYS_OF_WAYS,
    WAYS,
    WHOLE_PLATE,
    means_something,
    reading_by_digit,
)
from platebook.tui.places import PLACES
from platebook.tui.running.keys_in_order import InOrderApp

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView


NOTHING_NEW = "{key} begins nothing new yet."
"""Said of a key that begins something while something is unfinished; what is stands with it."""

Begin = Callable[["NowView", Draft | None, str], None]
"""Starts an attempt: what Now shows, the draft to go on with, and a way in ("" or a digit too)."""


class BeginScreen(DraftScreen):
    """Now, as far as it starts attempts.

    `view` is what it shows, `current` whether that is the newest; until then what is typed is
    `wanted`, and `hold` keeps the keys after it from going astray.
    """

    class TypedOn(Message):
        """What was typed while the exercise was awaited goes on; `lost` where it led nowhere."""

        def __init__(self, *, lost: bool = False) -> None:
            super().__init__()
            self.lost = lost

    def __init__(self, session: BenchSession, begin: Begin, hold: Callable[[], None]) -> None:
        super().__init__(session)
        self.begin, self.hold = begin, hold
        self.view: NowView | None = None
        self.current = False
        self.wanted: list[str] = []
        self.stray: StraySize[NowView] = StraySize()

    def last_view(self) -> "NowView | None":
        """What is shown."""
        return self.view

    def in_focus(self) -> Question | None:
        """The first reading, where a digit answers it at once."""
        return reading_by_digit(self.view) if self.draft is None else None

    def action_begin(self) -> None:
        """Start the attempt, or go on with the one set aside."""
        self._begin("")

    def action_good(self) -> None:
        """Start the attempt with a good result, where that may come first."""
        self._begin(GOOD_ONE)

    def action_first_reading(self, key: str) -> None:
        """Start the attempt with its first reading answered, where a digit is an answer.

        A decimal sign gives away that its digits were a size's.
        """
        self._begin(DECIMAL_KEYS.get(key, key))

    def action_whole_plate(self) -> None:
        """Fill in the whole plate as a grid."""
        self._begin(WHOLE_PLATE)

    def _begin(self, sign: str) -> None:
        # The call is direct: a message would let the keys typed after this one pass it.
        if self.view is None or not self.current:
            if not self.session.teaching:
                self.wanted.append(sign)
                self.hold()
        elif (
            self.stray.hear(sign or ENTER, self._key_read_at(), self.view, typing=False) is not None
        ):
            if self.stray.text:
                self.tell(stray_sentence(self.stray.text, PLACES[self.PLACE]))
        elif self.draft is not None and sign not in self._ways_on(self.draft):
            self.tell(NOTHING_NEW.format(key=KEYS_OF_WAYS.get(sign, sign)))
        elif sign in WAYS or means_something(self.view, sign):
            self.begin(self.view, self.draft, sign)

    def _key_read_at(self) -> float:
        """When the terminal was read for the key: how busy the program is changes nothing."""
        return cast("InOrderApp[None]", self.app).key_read_at

    @staticmethod
    def _ways_on(draft: Draft) -> tuple[str, ...]:
        """What leads to what is unfinished: Enter, and for a plate the key of a plate."""
        return ("", WHOLE_PLATE) if OF_A_PLATE in draft else ("",)

    def begin_wanted(self) -> None:
        """Start as a key typed ahead asked for; all that was typed after it goes where it leads."""
        wanted, self.wanted = self.wanted, []
        for sign in wanted:
            if self.app.screen is self:
                self._begin(sign)
            # What was typed for a plate that does not come is no answer to anything else.
            lost = sign == WHOLE_PLATE and self.app.screen is self
            self.post_message(self.TypedOn(lost=lost))
