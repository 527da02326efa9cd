"""A plate in a grid: as high as its rows are in the width it gets."""

import pytest
from textual.geometry import Size

from platebook.services.plates import PlateCell, PlateView
from platebook.tui.parts.plate_grid import PlateGrid


@pytest.mark.parametrize(
    ("large", "width", "height"), [(True, 36, 7), (False, 36, 3), (True, 30, 10), (False, 9, 11)]
)
def test_it_is_as_high_as_its_rows_in_the_width_it_gets(
    width: int, height: int, *, large: bool
) -> None:
    """Five of ten in a row where so many fit, else as many as do; a large one is three lines."""
    grid = PlateGrid()
    cells = tuple(PlateCell(str(n), "", "") for n in range(1, 11))
    grid.set_reactive(PlateGrid.plate, PlateView("A", cells, "1", 5))
    grid.set_reactive(PlateGrid.large, large)
    assert grid.get_content_height(Size(0, 0), Size(0, 0), width) == height
