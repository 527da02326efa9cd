"""A look under way, a key at a time: the result, how bad it is, and a comment or none."""

from dataclasses import dataclass, replace
from typing import Literal

from platebook.practice.look import GOOD, RESULT_KEYS, SEVERITIES
from platebook.tui.text import line

JUDGE = "Look first, then a digit: 0 good, 1 loose, 2 high, 3 low, 4 tilted, 5 chipped, 6 marred, …"
WEIGH = "How bad? 1 slight, 2 clear, 3 lost. Esc takes the digit back."
COMMENT = "A comment? A digit picks one, w writes one, Enter goes without."


@dataclass(frozen=True, slots=True)
class Looking:
    """What was keyed of a look so far; nothing at first."""

    result: str = ""
    severity: str = ""

    @property
    def waits_for(self) -> Literal["result", "severity", "comment"]:
        """What the next key says."""
        if not self.result:
            return "result"
        return "comment" if self.severity or self.result == GOOD else "severity"

    @property
    def comments(self) -> tuple[str, ...]:
        """The stock comments that digits pick now; none before the result is weighed."""
        from platebook.advice.comments import comments_on

        return comments_on((self.result,)) if self.waits_for == "comment" else ()

    def after(self, digit: str) -> "Looking":
        """The look with one more digit; the same where the digit says nothing here."""
        if self.waits_for == "result" and digit in RESULT_KEYS:
            return replace(self, result=RESULT_KEYS[digit])
        if self.waits_for == "severity" and digit.isdigit() and int(digit) in SEVERITIES:
            return replace(self, severity=digit)
        return self

    def told(self) -> str:
        """What to do next, in one or two sentences."""
        if self.waits_for == "result":
            return JUDGE
        if self.waits_for == "severity":
            return f"{line(self.result)}: {WEIGH}"
        weight = f", {SEVERITIES[int(self.severity)]}" if self.severity else ""
        return f"{line(self.result)}{weight}: {COMMENT}"
