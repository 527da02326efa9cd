"""The colours of the bench: every text stands out from what it stands on."""

import pytest
from tests.contrast import contrast
from textual.theme import Theme

from platebook.tui.parts.theme import THEMES

TEXTS = ("foreground", "primary", "secondary", "accent", "success", "warning", "error")
GROUNDS = ("background", "surface", "panel")


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
def test_every_text_can_be_read(theme: Theme, ground: str) -> None:
    """At least 4.5 to 1 on every ground it may stand on (WCAG 2.2, 1.4.3)."""
    on = str(getattr(theme, ground))
    texts = {name: str(getattr(theme, name)) for name in TEXTS}
    texts["muted"] = theme.variables["muted"]
    assert {n: round(contrast(t, on), 2) for n, t in texts.items() if contrast(t, on) < 4.5} == {}
