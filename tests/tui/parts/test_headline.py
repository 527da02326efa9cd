"""The headline: what stands in it, and where the number goes in a narrow window."""

import pytest
from tests.tui.bench import a_view
from tests.tui.driving import running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.widgets import Digits

from platebook.tui.parts.headline import DONE, LEFT, bar


@pytest.mark.parametrize(
    ("done", "of", "width", "drawn"),
    [
        (0, 11, 11, LEFT * 11),
        (4, 8, 10, DONE * 5 + LEFT * 5),
        (9, 8, 4, DONE * 4),
        (1, 0, 3, LEFT * 3),
    ],
)
def test_a_bar_is_as_far_as_the_work(done: int, of: int, width: int, drawn: str) -> None:
    """Never longer than it is wide, and empty where there is nothing to do."""
    assert bar(done, of, width).plain == drawn


@pytest.mark.parametrize(("width", "large"), [(60, False), (80, True)])
async def test_the_number_is_a_word_in_a_narrow_window(width: int, large: bool) -> None:  # noqa: FBT001 - a case
    """What it counts stands there in both."""
    async with running(SessionOfAnEvening(view=a_view()), size=(width, 24)) as pilot:
        assert pilot.app.screen.query_one(Digits).display is large
        assert ("4 good ones to go" in picture(pilot.app)) is not large
        assert "good ones" in picture(pilot.app)
