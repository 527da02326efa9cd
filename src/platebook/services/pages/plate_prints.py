"""A plate on paper: the plate itself at 1:1, or the cards for the stones on it."""

import re

from platebook.practice.text import clean
from platebook.reports.drawings.bench_card import A4_MM, cards_svg
from platebook.reports.drawings.plate_svg import plate_svg, plates_a_page, plates_svg
from platebook.services.answers import rules_at, tools_and_hand
from platebook.services.plates import laid_out_plate
from platebook.services.session import Refused, Session, refusal_of
from platebook.services.sizes import sizes_for
from platebook.values import Value

LETTER_MM = (215.9, 279.4)
PAPERS = {"A4": A4_MM, "Letter": LETTER_MM}


class PlatePrint(Value):
    """A page as the text of an SVG file; `larger` says that no usual paper takes it, "" else."""

    svg: str
    larger: str


def plate_print(session: Session, wanted: str, each_page: int = 1) -> PlatePrint:
    """A plate of the setter in use (by name or id) at 1:1, or so many copies on a page.

    Refused for more than a page takes.
    """
    plate, setter = laid_out_plate(session, wanted)
    if each_page > 1:
        across, down = plates_a_page(plate)
        if each_page > across * down:
            raise Refused(
                f"each-page: read {each_page}, but a page takes {across * down} "
                f"of {plate.width_mm:g} by {plate.height_mm:g} mm"
            )
        return PlatePrint(plates_svg(plate, each_page), "")
    svg = plate_svg(plate, setter=setter.name)
    return PlatePrint(svg, larger_than_paper(svg))


def plate_cards(session: Session, wanted: str, method: str) -> PlatePrint:
    """The cards for a plate's stones, one for each size, with the positions it is for.

    Sizes come from the setter's drawer, hand and rules, and the plate's own metal and sheet.
    Refused with what is wrong for a stone or sheet that is not possible.
    """
    plate, _ = laid_out_plate(session, wanted)
    drawer, hand = tools_and_hand(session)
    cards = []
    for stone_mm in dict.fromkeys(plate.stones_mm):
        typed = {"diameter": f"{stone_mm:g}", "metal": plate.metal or "", "method": method}
        typed |= {"layers": str(plate.layers)}
        typed |= {"sheet": f"{plate.sheet_mm:g}"} if plate.sheet_mm else {}
        answer = sizes_for(typed, drawer=drawer, hand=hand, rules=rules_at(session))
        if answer.sizes is None:
            raise refusal_of(answer.problems)
        places = [p for p in plate.positions if plate.stone_at(p) == stone_mm]
        where = f"positions {places[0]} to {places[-1]}" if places else "no position left"
        where = f"position {places[0]}" if len(places) == 1 else where
        title = f"{clean(plate.name)}: {stone_mm:g} mm, {where}"
        cards.append((title, answer.sizes))
    svg = cards_svg(cards)
    return PlatePrint(svg, larger_than_paper(svg))


def larger_than_paper(svg: str) -> str:
    """That a page is larger than the usual papers, turned either way; "" where one takes it."""
    sides = re.findall(r'(?:width|height)="([0-9.]+)mm"', svg)[:2]
    low, high = sorted(float(side) for side in sides)
    if any(low <= min(paper) and high <= max(paper) for paper in PAPERS.values()):
        return ""
    return (
        f"the page is {low:.0f} by {high:.0f} mm, larger than {' and '.join(PAPERS)}: print it at "
        "100 % on larger paper or in tiles, never fitted to the page"
    )
