"""A plate in a grid: as high as its rows are in the width it gets."""

import pytest
from textual.app import App
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


@pytest.mark.parametrize(
    ("width", "unknown", "shown"),
    [
        (36, "not judged", "Plate A  H high, ? not judged"),
        (36, "", "Plate A  H high"),
        (18, "not judged", "Plate A  H high"),
        (9, "not judged", "Plate A"),
    ],
)
async def test_letters_in_the_holes_are_explained_behind_the_name(
    width: int, unknown: str, shown: str
) -> None:
    """Each once, as far as there is room, and none that a shape stands for."""
    cells = (
        PlateCell("1", "H", "high + gap", outcome="failed"),
        PlateCell("2", "H", "high", outcome="slight"),
        PlateCell("3", "H", "high", outcome="failed"),
        PlateCell("4", "+", "good", outcome="good"),
        PlateCell("5", "?", "not judged"),
        PlateCell("6", "", ""),
    )
    app: App[None] = App()
    async with app.run_test(size=(width, 10)) as pilot:
        grid = PlateGrid()
        await app.mount(grid)
        grid.plate, grid.unknown = PlateView("A", cells, "6", 5), unknown
        await pilot.pause()
        assert grid.render().plain.splitlines()[0] == shown


def test_a_plate_of_something_else_says_what_it_is_for() -> None:
    """Behind its name, in the words that the plate came with."""
    grid = PlateGrid()
    view = PlateView("2", (PlateCell("1", "", ""),), "1", 5, "1.02 mm sheet")
    grid.set_reactive(PlateGrid.plate, view)
    assert grid.render().plain.splitlines()[0] == "Plate 2, for 1.02 mm sheet"
