"""What came of one kind of torture: what was done how often, and what was found."""

from collections import Counter
from dataclasses import dataclass, field


@dataclass
class Outcome:
    """Counts of what was done, and a sentence for each thing that should not be so."""

    part: str
    counts: Counter[str] = field(default_factory=Counter)
    found: list[str] = field(default_factory=list)

    def count(self, what: str) -> None:
        """One more of these."""
        self.counts[what] += 1

    def lines(self) -> list[str]:
        """The part in lines of text."""
        done = ", ".join(f"{number} {what}" for what, number in self.counts.items())
        return [f"{self.part}: {done}", *(f"  FOUND {sentence}" for sentence in self.found)]


def what_of(wrong: str) -> str:
    """What two findings have in common where they are the same: what was raised, and where."""
    return wrong.partition(": ")[0]
