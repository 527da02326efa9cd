"""The colours of the bench: words can be read, and colours that mean something told apart."""

from itertools import combinations
from pathlib import Path

import pytest
from tests.colour_vision import USUAL, distance, matrices
from tests.contrast import contrast
from textual.theme import Theme

from platebook.tui.parts.signs import GRADE_STYLES, MEANINGS, OUTCOME_STYLES
from platebook.tui.parts.theme import BENCH, CONTRAST, DAYLIGHT, THEMES

TEXTS = ("foreground", "primary", "secondary", "accent", "success", "warning", "error")
GROUNDS = ("background", "surface", "panel")
LEAST = 13.0
"""CIEDE2000 between two meanings, to any eyes: 1 is about what is just noticed."""
PAGE = Path(__file__).parents[3] / "docs" / "accessibility.md"


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
def test_every_text_can_be_read(theme: Theme, ground: str) -> None:
    """At least 4.5 to 1 on every ground it may stand on (WCAG 2.2, 1.4.3)."""
    on = str(getattr(theme, ground))
    texts = {name: str(getattr(theme, name)) for name in TEXTS}
    texts |= {name: theme.variables[name] for name in ("muted", *MEANINGS)}
    assert {n: round(contrast(t, on), 2) for n, t in texts.items() if contrast(t, on) < 4.5} == {}


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_the_names_in_the_section_can_be_read(theme: Theme) -> None:
    """They stand on metal and stone in the colour of the background."""
    grounds = {name: theme.variables[name] for name in ("metal", "stone")}
    ink = str(theme.background)
    assert {n: g for n, g in grounds.items() if contrast(ink, g) < 4.5} == {}


def _least(theme: Theme, vision: str) -> tuple[float, str]:
    """The least distance between two meanings, and which two."""
    colours = theme.variables
    return min(
        (distance(colours[one], colours[other], vision), f"{one} and {other}")
        for one, other in combinations(MEANINGS, 2)
    )


def _in_words(theme: Theme, vision: str) -> str:
    far, pair = _least(theme, vision)
    return f"{far:.1f} ({pair})"


@pytest.mark.parametrize("vision", sorted(matrices()))
@pytest.mark.parametrize("theme", [BENCH, DAYLIGHT], ids=lambda theme: theme.name)
def test_colour_blind_eyes_tell_meanings_apart(theme: Theme, vision: str) -> None:
    """No two meanings come nearer than 13, by usual, protan, deutan and tritan eyes."""
    far, pair = _least(theme, vision)
    assert far >= LEAST, pair


def test_the_page_states_the_least_distances() -> None:
    """What docs/accessibility.md says of each set of colours is what is worked out here."""
    rows = [
        f"| {vision} | {_in_words(BENCH, vision)} | {_in_words(DAYLIGHT, vision)} |"
        for vision in (USUAL, "protan", "deutan", "tritan")
    ]
    said = PAGE.read_text(encoding="utf-8")
    assert [row for row in rows if row not in said] == []


def test_high_contrast_needs_no_colour() -> None:
    """There the two that call for action stand out, and shapes say the rest."""
    apart = {name for name in MEANINGS if CONTRAST.variables[name] != "#ffffff"}
    assert apart == {"slight", "failed"}


def test_each_outcome_and_state_has_a_colour_that_means_something() -> None:
    """The table of signs uses the five meanings and nothing else."""
    styles = {style.split("$")[1] for style in (*OUTCOME_STYLES.values(), *GRADE_STYLES.values())}
    assert styles == set(MEANINGS)
