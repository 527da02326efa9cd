"""The first start: a name, a course, a few tools; all of it can be skipped."""

from collections.abc import Sequence
from dataclasses import dataclass

from platebook.practice.setter import Setter
from platebook.practice.text import clean
from platebook.services.courses import shipped
from platebook.services.desk import Desk
from platebook.services.desks import SETTER_IN_USE
from platebook.services.faults import opened
from platebook.trade import Sheet, Stone, Tool, size
from platebook.trade.setup_sheet import ToolChoice

NAMELESS = "me"
BURNISHER_MM = 0.5


@dataclass(frozen=True)
class OfferedCourse:
    """A course to choose from."""

    id: str
    title: str
    about: str


@dataclass(frozen=True)
class FirstOffers:
    """What can be chosen from at a first start."""

    courses: tuple[OfferedCourse, ...]
    tools: tuple[Tool, ...]


def first_offers(desk: Desk) -> FirstOffers | None:
    """The courses and tools offered at a first start; None where somebody has been set up."""
    return FirstOffers(offered_courses(), offered_tools()) if is_new(desk) else None


def is_new(desk: Desk) -> bool:
    """Whether nobody has been set up in this logbook yet."""
    from platebook.logbook import belongings

    if not desk.path.exists():
        return True
    with opened(desk) as book:
        return not book.ask(belongings.setters)


def offered_courses() -> tuple[OfferedCourse, ...]:
    """The shipped courses, the one offered first in front."""
    return tuple(OfferedCourse(c.id, c.title, c.about) for c in shipped())


def offered_tools() -> tuple[Tool, ...]:
    """The tools that custom asks for, for the stones of the first course, and two more."""
    course = shipped()[0]
    found: dict[tuple[str, float], Tool] = {}
    for grade in course.ladder():
        for stone_mm in grade.stones_mm:
            sizes = size(Stone(diameter_mm=stone_mm), Sheet(sheet_mm=grade.sheet_mm))
            for choice, is_bur in (
                (sizes.pilot_drill, False),
                (sizes.opening_bur, True),
                (sizes.seat_bur, True),
            ):
                tool = _tool(choice, is_bur=is_bur)
                found.setdefault((tool.name, choice.choose_mm), tool)
    in_order = sorted(found.values(), key=lambda t: (t.kind, t.shape or "", t.size_mm or 0.0))
    return (
        *in_order,
        Tool(kind="burnisher", name="rounded burnisher", size_mm=BURNISHER_MM),
        Tool(kind="measuring", name="caliper", resolution_mm=0.01, mpe_mm=0.02),
    )


def begin(desk: Desk, *, name: str, course_id: str | None, tools: Sequence[Tool] = ()) -> Desk:
    """Set up the first setter and take the desk in their name; a blank name makes "me"."""
    from platebook.logbook import keeping
    from platebook.logbook.adding import add_setter, add_tools

    with opened(desk) as book:
        now = desk.clock()
        setter = book.tell(
            add_setter,
            Setter(name=clean(name) or NAMELESS, course=course_id or shipped()[0].id),
            book.stamp(clean(name) or NAMELESS, now, "add"),
        )
        assert setter.setter_id is not None
        if tools:
            book.tell(add_tools, setter.setter_id, tools, book.stamp(setter.name, now, "add"))
        book.tell(keeping.set_default, SETTER_IN_USE, setter.setter_id)
    return desk.for_setter(setter.setter_id, setter.name)


def _tool(choice: ToolChoice, *, is_bur: bool) -> Tool:
    return Tool(
        kind="bur" if is_bur else "twist drill",
        name=choice.tool,
        shape=choice.shape,
        size_mm=choice.choose_mm,
    )
