"""What signs and colours mean, the same on every screen: one table for all of them.

| meaning | colour | stands for |
|---|---|---|
| good | `$good` | came out good; a grade that is passed |
| slight | `$slight` | good with a remark; a grade that slips back; an evening missed |
| failed | `$failed` | a failure |
| practised | `$practised` | what is worked at now; an evening somebody came to |
| unknown | `$unknown` | not judged, or still ahead |

No colour stands alone: the sign says the same by its shape (`OUTCOMES`, `GRADES` and `FINDINGS` of
`reports.text.figures`), and no shape means two things. `tests/tui/parts/test_theme.py` proves that
colour-blind eyes tell the colours apart.
"""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.text.figures import OUTCOMES, SLIGHT_IS_GOOD
from platebook.tui.parts.text import txt

if TYPE_CHECKING:
    from platebook.practice.results import Outcome
    from platebook.reports.text.figures import Sign

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


EVENING_STYLES = {"came": "$practised", "missed": "bold $slight"}
"""By what the register says of somebody on an evening."""

VERDICT_SIGNS = {"inside": "✓", "outside": "!", "": " "}
"""How a question's verdict on an answer is drawn."""


def outcome_sign(outcome: "Outcome") -> Content:
    """How one setting counted, as a coloured sign."""
    return Content.styled(OUTCOMES[outcome].drawn, OUTCOME_STYLES[outcome])


def outcome_signs(outcomes: "Iterable[Outcome]") -> Content:
    """How several settings counted, a sign each, as they come: the oldest first as a rule."""
    return Content("").join(outcome_sign(outcome) for outcome in outcomes)


def signs_before(outcomes: "Iterable[Outcome]", words: object) -> Content:
    """The last outcomes as signs and what is said of them behind; the words alone where none is.

    How a slight fault among them counts stands in a line near by, which is shorter: `with_slight`.
    """
    return Content("  ").join(part for part in (outcome_signs(outcomes), txt(words)) if part)


def with_slight(words: Content, outcomes: "Iterable[Outcome]") -> Content:
    """The words, and behind them how a slight fault counts where one is among these signs."""
    counts = Content.assemble(outcome_sign("slight"), (f" {SLIGHT_IS_GOOD}", "$muted"))
    return Content("  ").join([words, *([counts] if "slight" in set(outcomes) else [])])


def legend_of(outcomes: "Iterable[Outcome]") -> list[str]:
    """The signs of these outcomes with their words, each once, in the order of the table."""
    shown = set(outcomes)
    return [_in_legend(name, sign) for name, sign in OUTCOMES.items() if name in shown]


def _in_legend(outcome: "Outcome", sign: "Sign") -> str:
    said = f"{sign.words}, {SLIGHT_IS_GOOD}" if outcome == "slight" else sign.words
    return f"{sign.drawn} {said}"
