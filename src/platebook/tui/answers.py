"""What the logbook answers to an attempt: it is saved, what follows, what was taken back."""

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from platebook.practice.problem import Problem
    from platebook.services.now import NowView
    from platebook.services.recording import Recorded


class Saved(Message):
    """The logbook has taken the attempt, or says what is wrong with it."""

    def __init__(self, recorded: "Recorded") -> None:
        super().__init__()
        self.recorded = recorded


class Following(Message):
    """What comes next, and what to do now about the last result."""

    def __init__(self, found: "tuple[NowView, tuple[str, ...]]") -> None:
        super().__init__()
        self.view, self.remedies = found


class TakenBack(Message):
    """What undo did."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


def stands_already(recorded: "Recorded") -> bool:
    """Whether it is refused only because it was saved before."""
    # The program may have died after saving and before its draft was cleared.
    return any(problem.field == "attempt_id" for problem in recorded.problems)


def wrong(problem: "Problem") -> str:
    """What is wrong, in a sentence: field, what was read, what is expected."""
    return f"{problem.field}: read {problem.read}, expected {problem.expected}."
