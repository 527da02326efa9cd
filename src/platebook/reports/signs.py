"""Words and signs of what a finding and a grade can be, the same in text, on pages and on screens.

Plain signs go with any terminal and printer; what a screen draws is given beside them. No library
is needed here, so that a screen has them before anything heavy is loaded.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sign:
    """One of a few things that something can be: in words, as a plain sign, as one on a screen."""

    words: str
    plain: str
    drawn: str

    @property
    def title(self) -> str:
        """The words with a capital, to begin a line."""
        return self.words.capitalize()


FINDINGS = {
    "claim": Sign("well supported", "*", "■"),
    "lead": Sign("worth watching", ">", "□"),
    "mechanism": Sign("how it came about", "-", "↳"),
}
"""By status, the best first."""

GRADES = {
    "passed": Sign("passed", "*", "■"),
    "working": Sign("working on it", ">", "▸"),
    "waiting": Sign("enough points", "=", "□"),
    "slipping": Sign("slipping back", "!", "↓"),
    "ahead": Sign("ahead of you", " ", "·"),
}
"""By state."""

AT_WORK = frozenset({"working", "waiting", "slipping"})
"""The states of a grade that a setter works at now."""

PERSONAL = "One setter's own, worth watching at most:"
"""Stands above findings of a class that hold for one setter alone."""


def waits_for_sign_off(points: int, promote_at: int) -> str:
    """What is said of a grade that has its points and nobody's signature."""
    return f"{points} of {promote_at} points; waits for an instructor's sign-off."
