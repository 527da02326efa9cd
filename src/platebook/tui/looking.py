"""A look under way, a key at a time: the result, how bad it is, and a comment or none."""

from dataclasses import dataclass, replace
from typing import Literal

from platebook.practice.defects import GOOD
from platebook.practice.look import RESULT_KEYS, SEVERITIES
from platebook.tui.text import line

MOST_KEYS = 7
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

    def after(self, key: str) -> "Looking":
        """The look with one more key; the same where the key says nothing here."""
        if self.waits_for == "result" and key in RESULT_KEYS:
            return replace(self, result=RESULT_KEYS[key])
        if self.waits_for == "severity" and key.isdigit() and int(key) in SEVERITIES:
            return replace(self, severity=key)
        return self

    def told(self) -> str:
        """What to do next, in one or two sentences."""
        if self.waits_for == "result":
            return f"Look first, then {keys_in_words(MOST_KEYS)}"
        if self.waits_for == "severity":
            return f"{line(self.result)}: {WEIGH}"
        weight = f", {SEVERITIES[int(self.severity)]}" if self.severity else ""
        return f"{line(self.result)}{weight}: {COMMENT}"


def keys_in_words(most: int) -> str:
    """The first so many digits with what they say, then the letters: "a digit: 0 good, …"."""
    words = {key: f"{key} {result}" for key, result in RESULT_KEYS.items()}
    digits = [word for key, word in words.items() if key.isdigit()]
    letters = [word for key, word in words.items() if not key.isdigit()]
    shown = [*digits[:most], *(["…"] if len(digits) > most else []), *letters]
    return f"a {'digit or letter' if letters else 'digit'}: {', '.join(shown)}"
