"""What screens and their workers say to one another and to the app: one message each."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from textual.message import Message

if TYPE_CHECKING:
    from platebook.practice.people.received import Received

Value = TypeVar("Value")


class Answered(Message, Generic[Value]):
    """The value that a use case answered; a screen names each kind that it waits for."""

    def __init__(self, value: Value) -> None:
        super().__init__()
        self.value = value


class Done(Answered[str]):
    """What was done or taken back, in a sentence."""


class Said(Answered[str]):
    """What was asked about, in words; nothing was changed."""


class ToNow(Answered[str]):
    """What was chosen, in a sentence; it is said on Now, where it can be begun."""


class ToPage(Answered[str]):
    """Another page is wanted, by its place; what is in front is set aside for it."""


class Past(Answered[tuple[str, ...]]):
    """The history of one attempt is to be shown, as sentences."""


class SaidByOthers(Message):
    """What others saw and wrote is to be shown."""

    def __init__(self, received: "Received") -> None:
        super().__init__()
        self.received = received


class Landed(Message):
    """What was typed while something was saved has been taken; nothing waits any more."""


class ServiceFailed(Message):
    """A use case could not answer; the app says why."""

    def __init__(self, error: Exception) -> None:
        super().__init__()
        self.error = error


class Tells(Protocol):
    """Whoever asked, and can say on their own screen what became of it."""

    def tell(self, sentence: str) -> None:
        """Say one sentence."""


class Amend(Message):
    """An attempt is to be corrected; `values` are its fields as text, `screen` who asks.

    `told` is what its setter should know before, empty for nothing.
    """

    def __init__(
        self,
        attempt_id: str,
        values: Mapping[str, str],
        screen: Tells,
        told: str = "",
    ) -> None:
        super().__init__()
        self.attempt_id, self.values, self.screen, self.told = attempt_id, values, screen, told


class SheetNamed(Message):
    """The name of a sheet was pasted: it may be brought in."""

    def __init__(self, typed: str) -> None:
        super().__init__()
        self.typed = typed


class Progressed(Message):
    """How far long work is."""

    def __init__(self, done: float, of: int) -> None:
        super().__init__()
        self.done, self.of = done, of


class Unfolded(Message):
    """How it is judged is shown from now on, or no more."""

    def __init__(self, *, method: bool) -> None:
        super().__init__()
        self.method = method


class ToSeeing(Message):
    """The reference plates are wanted."""
