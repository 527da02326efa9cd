"""What others said of a setter's work, as it reaches the setter: looks, messages, sign-offs."""

from typing import Literal

from platebook.values import Value


class SeenLook(Value):
    """Somebody else's look at one attempt, beside the setter's own verdict.

    `looked` is the day as text, empty where it is not known; `own_result` and `own_severity` are
    the setter's, `result` and `severity` those of `by`. `grade_title` is empty for a grade that the
    setter's course does not have.
    """

    inspection_id: str
    attempt_id: str
    by: str
    looked: str
    grade: str
    plate: str
    position: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]
    result: tuple[str, ...]
    severity: tuple[int, ...]
    clock: int | None
    comment: str
    new: bool
    grade_title: str = ""


class Word(Value):
    """A message to the setter or to their class, or the sign-off of a grade, in words.

    `to` is the class it went to, empty for the setter alone.
    """

    word_id: str
    kind: Literal["message", "sign-off"]
    by: str
    written: str
    to: str
    text: str
    new: bool


class Received(Value):
    """Looks and words, each newest first."""

    looks: tuple[SeenLook, ...] = ()
    words: tuple[Word, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """Of all of it, for `mark_read`."""
        return (*(s.inspection_id for s in self.looks), *(w.word_id for w in self.words))
