"""An evening at which lengths are read, for what a caliper's cable sends."""

from tests.tui.bench import PIN, a_view
from tests.tui.fakes import SessionOfAnEvening

from platebook.values import replace

SIZES = ("seat_go_mm", "seat_nogo_mm", "seat_depth_mm", "seat_diameter_mm")
SERIES = ("1.96", "1,98", "0.38", "12.04")


def sizes_asked() -> SessionOfAnEvening:
    """An evening at which four sizes are read of each stone."""
    asked = (replace(PIN, field=name, label=name) for name in SIZES)
    return SessionOfAnEvening(view=a_view(readings=tuple(asked)))
