"""The set-up sheet for a grade: its stone as it was measured last, with these tools."""

from collections.abc import Sequence

from platebook.practice.attempt import Attempt
from platebook.practice.course import Grade
from platebook.trade import Drawer, Hand, SetUpSheet, Sheet, Stone, check_sheet, check_stone, size
from platebook.trade.rules import RuleBook


def sizes_for_grade(
    grade: Grade | None,
    attempts: Sequence[Attempt],
    drawer: Drawer | None = None,
    hand: Hand | None = None,
    book: RuleBook | None = None,
) -> SetUpSheet | None:
    """The sizes; None without a grade, or where its sheet or stone is outside the limits."""
    if grade is None:
        return None
    sheet = Sheet(
        sheet_mm=grade.sheet_mm, layers=grade.layers, metal=grade.metal, backing=grade.backing
    )
    stone = _stone(grade, attempts)
    if check_stone(stone) or check_sheet(sheet):
        return None
    return size(stone, sheet, method=grade.method, drawer=drawer, hand=hand, book=book)


def _stone(grade: Grade, attempts: Sequence[Attempt]) -> Stone:
    """The stone last measured at this grade; the grade's own size before there is one."""
    here = (a for a in reversed(attempts) if a.grade == grade.id and a.stone_diameter_mm)
    last = next(here, None)
    if last is not None:
        measured = {
            "diameter_mm": last.stone_diameter_mm,
            "depth_mm": last.stone_depth_mm,
            "crown_mm": last.stone_crown_mm,
            "girdle": last.stone_girdle,
            "material": last.stone_material or grade.stone_material,
        }
        if not check_stone(measured):
            return Stone.model_validate(measured)
    return Stone(diameter_mm=grade.stones_mm[0], material=grade.stone_material)
