"""What a block planned for one setting, as text and back."""

import pytest

from platebook.practice.set_up.block_levels import (
    BlockLevels,
    PlannedLevel,
    read_levels,
    write_levels,
)

LEVELS = BlockLevels(
    "off mark",
    "seat_bur_mm",
    (PlannedLevel("seat_bur_mm", "1.95", "high"), PlannedLevel("burnish_passes", "3+", "low")),
)


def test_what_is_written_is_read_back() -> None:
    """Defect, choice, values and levels, words with a blank too."""
    text = write_levels(LEVELS)
    assert (text, read_levels(text)) == (
        "off mark by seat_bur_mm: seat_bur_mm 1.95 high, burnish_passes 3+ low",
        LEVELS,
    )


@pytest.mark.parametrize(
    "text", [None, "", "loose", "loose by seat_bur_mm: 1.95", "a by b: c 1 up"]
)
def test_any_other_text_says_nothing(text: str | None) -> None:
    """What somebody typed there by hand is no plan."""
    assert read_levels(text) is None
