"""What signs and colours mean, the same on every screen: one table for all of them.

| meaning | colour | stands for |
|---|---|---|
| good | `$good` | came out good; a grade that is passed |
| slight | `$slight` | good with a remark; a grade that slips back |
| failed | `$failed` | a failure |
| practised | `$practised` | what is worked at now |
| unknown | `$unknown` | not judged, or still ahead |

No colour stands alone: the sign says the same by its shape (`OUTCOMES`, `GRADES` and `FINDINGS` of
`reports.text.figures`), and no shape means two things. `tests/tui/parts/test_theme.py` proves that
colour-blind eyes tell the colours apart.
"""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.text.figures import OUTCOMES
from platebook.tui.parts.text import txt

if TYPE_CHECKING:
    from platebook.practice.results import Outcome

MEANINGS = ("good", "slight", "failed", "practised", "unknown")

OUTCOME_STYLES: "Mapping[Outcome, str]" = {
    "good": "$good",
    "slight": "$slight",
    "failed": "bold $failed",
    "": "$unknown",
}

GRADE_STYLES = {
    "passed": "$good",
    "to be signed off": "$good",
    "practised": "bold $practised",
    "tried": "$practised",
    "slipping": "bold $slight",
    "ahead": "$unknown",
}
"""By state (`GRADES`)."""


VERDICT_SIGNS = {"inside": "✓", "outside": "!", "": " "}
"""How a question's verdict on an answer is drawn."""


def outcome_sign(outcome: "Outcome") -> Content:
    """How one setting counted, as a coloured sign."""
    return Content.styled(OUTCOMES[outcome].drawn, OUTCOME_STYLES[outcome])


def outcome_signs(outcomes: "Iterable[Outcome]") -> Content:
    """How several settings counted, a sign each, as they come: the oldest first as a rule."""
    return Content("").join(outcome_sign(outcome) for outcome in outcomes)


def signs_before(outcomes: "Iterable[Outcome]", words: object) -> Content:
    """The last outcomes as signs and what is said of them behind; the words alone where none is."""
    signs, said = outcome_signs(outcomes), txt(words)
    return Content("  ").join(part for part in (signs, said) if part)


def legend_of(outcomes: "Iterable[Outcome]") -> list[str]:
    """The signs of these outcomes with their words, each once, in the order of the table."""
    shown = set(outcomes)
    return [f"{s.drawn} {s.words}" for name, s in OUTCOMES.items() if name in shown]
