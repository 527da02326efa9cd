"""An example in the colours that are set: signs with their words, a plate, a seat in section."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content

from platebook.practice.defects import GOOD, verdicts
from platebook.reports.text.figures import GRADES, OUTCOMES
from platebook.services.plates import PlateCell, PlateView
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.seat_picture import SeatPicture
from platebook.tui.parts.signs import GRADE_STYLES, OUTCOME_STYLES
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words

if TYPE_CHECKING:
    from platebook.practice.results import Outcome
    from platebook.trade.setup_sheet import SetUpSheet

SHOWN: "tuple[tuple[str, Outcome], ...]" = (
    (GOOD, "good"),
    ("tilted", "failed"),
    (GOOD, "good"),
    ("gap", "slight"),
    (GOOD, "good"),
    ("loose", "failed"),
    (GOOD, "good"),
)
"""How the positions of the example came out; three more are free."""
POSITIONS, ACROSS = 10, 5
TALL = 30
"""From so many lines the plate is drawn large and the seat beside it."""
STONE_MM, SHEET_MM = 2.0, 1.6


def example_plate() -> PlateView:
    """A plate that nobody has set, with each outcome on it."""
    cells = [
        PlateCell(str(n), verdicts()[result].sign, result, f"example {n}", outcome)
        for n, (result, outcome) in enumerate(SHOWN, 1)
    ]
    free = [PlateCell(str(n), "", "") for n in range(len(SHOWN) + 1, POSITIONS + 1)]
    return PlateView("example", (*cells, *free), free[0].position, ACROSS)


def example_sizes() -> "SetUpSheet":
    """What would be chosen for a small stone in copper, without anybody's drawer."""
    from platebook.trade import Sheet, Stone, size

    return size(Stone(diameter_mm=STONE_MM), Sheet(sheet_mm=SHEET_MM, metal="copper"))


class ColourSample(Horizontal):
    """The signs with their words and a plate; `show_seat` adds the section where there is room."""

    DEFAULT_CSS = """
    ColourSample { height: 1fr; }
    ColourSample > Vertical { width: 44; padding: 0 1; }
    ColourSample Words { height: auto; }
    ColourSample PlateGrid { margin: 1 0 0 0; }
    ColourSample SeatPicture { width: 1fr; padding: 0 1; }
    """

    can_focus = False

    def compose(self) -> ComposeResult:
        """Signs and plate, then the seat."""
        with Vertical():
            yield Words(_signs())
            yield PlateGrid()
        yield SeatPicture()

    def on_mount(self) -> None:
        """The plate stands at once."""
        self.query_one(PlateGrid).plate = example_plate()

    def on_resize(self) -> None:
        """As large as there is room."""
        tall = self.screen.size.height >= TALL
        self.query_one(PlateGrid).large = tall
        self.query_one(SeatPicture).display = tall

    def show_seat(self, sizes: "SetUpSheet") -> None:
        """Show the seat of these sizes."""
        self.query_one(SeatPicture).sizes = sizes


def _signs() -> Content:
    """How a setting counts and how a grade stands, each sign in its colour."""
    outcomes = [
        Content.styled(f"{OUTCOMES[outcome].drawn} {OUTCOMES[outcome].words}", style)
        for outcome, style in OUTCOME_STYLES.items()
    ]
    grades = [
        Content.styled(f"{GRADES[state].drawn} {GRADES[state].words}", style)
        for state, style in GRADE_STYLES.items()
        if state in {"passed", "practised", "slipping"}
    ]
    between = Content("  ")
    return stack(txt("An example", "bold $accent"), between.join(outcomes), between.join(grades))
