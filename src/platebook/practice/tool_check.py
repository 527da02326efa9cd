"""A check of a measuring tool as it is recorded: readings of something whose size is known."""

from pydantic import AwareDatetime, Field

from platebook.trade.measuring import ToolCheck
from platebook.trade.value import Value


class ToolCheckRecord(Value):
    """One check of one tool of a setter's drawer.

    `against` says what was measured (plug gauge, drill shank, gauge block), `known_mm` its size and
    `known_uncertainty_mm` the standard uncertainty of that; `readings_mm` are in the order read.
    `checked` is when, with its offset.
    """

    check_id: str | None = None
    setter_id: str
    tool_id: str
    against: str = ""
    known_mm: float = Field(gt=0)
    known_uncertainty_mm: float = Field(default=0.0, ge=0)
    readings_mm: tuple[float, ...] = Field(min_length=1)
    checked: AwareDatetime | None = None
    note: str = ""

    def worth(self) -> ToolCheck:
        """The check as the trade counts with it."""
        return ToolCheck(
            known_mm=self.known_mm,
            known_u_mm=self.known_uncertainty_mm,
            readings_mm=self.readings_mm,
        )
