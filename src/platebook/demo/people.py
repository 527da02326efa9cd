"""The invented people of the demo class, their tools, their habits and what is planted in them.

The class, its town and everyone in it are made up.
"""

from platebook.demo.simulated_setter import SimulatedHand
from platebook.values import Value, field

TOWN = "Tarnwick"
GROUP = "Thursday evenings, Tarnwick"


class Habits(Value):
    """How often, from 0 to 1, something is so on an evening, and a bur's seats before a new one.

    `dry` without wax, `worked` sheet not annealed, `steel` a steel punch, `unsupported` the plate
    in the hand or on the bench pin, `rough` an unpolished burnisher, `fast` a fast spindle, `large`
    the seat bur one size up, `hasty` hardly checking the fit.
    """

    dry: float = 0.08
    worked: float = 0.08
    steel: float = 0.0
    unsupported: float = 0.08
    rough: float = 0.05
    fast: float = 0.15
    large: float = 0.15
    hasty: float = 0.35
    bur_lasts: int = 15


class Planted(Value):
    """What goes with what, by construction: for one setter, or None for the whole class."""

    setter: str | None
    variable: str
    defect: str
    sentence: str


class Person(Value):
    """One invented setter."""

    name: str
    hand: SimulatedHand = field(default_factory=SimulatedHand)
    habits: Habits = field(default_factory=Habits)
    pins: bool = False
    comes: float = 0.9
    planted: tuple[Planted, ...] = ()


def _planted(name: str, variable: str, defect: str, sentence: str) -> tuple[Planted, ...]:
    return (Planted(name, variable, defect, sentence),)


COMMON = Planted(None, "clearance_mm", "loose", "Seats are cut too wide, and wide ones come loose.")

PEOPLE: tuple[Person, ...] = (
    Person(
        "Jorge Villaseca",
        SimulatedHand(shallow_mm=0.100),
        Habits(hasty=0.6),
        planted=_planted(
            "Jorge Villaseca", "fit_checks", "high", "Hardly checked seats are cut too shallow."
        ),
    ),
    Person("Amahle Dubru", pins=True),
    Person(
        "Tove Lindmark",
        SimulatedHand(lean_unsupported_deg=3.6, clock=4),
        Habits(unsupported=0.5),
        planted=_planted(
            "Tove Lindmark", "ledge", "tilted", "With the plate in the hand the spindle leans."
        ),
    ),
    Person(
        "Rashid Benkara",
        SimulatedHand(overcut_mm=0.065),
        Habits(dry=0.5),
        planted=_planted(
            "Rashid Benkara", "lubricant", "marred", "Without wax the burnisher drags."
        ),
    ),
    Person(
        "Mei Hanakawa",
        SimulatedHand(overcut_mm=0.065),
        Habits(steel=0.45),
        pins=True,
        planted=_planted("Mei Hanakawa", "punch", "chipped", "The steel punch chips stones."),
    ),
    Person(
        "Oluchi Eze-Barr",
        SimulatedHand(overcut_mm=0.060),
        Habits(bur_lasts=34, dry=0.0),
        planted=_planted(
            "Oluchi Eze-Barr", "seat_bur_uses", "marred", "Burs kept past their time leave a burr."
        ),
    ),
    Person(
        "Sanna Kivelä",
        SimulatedHand(overcut_mm=0.070),
        Habits(worked=0.5),
        pins=True,
        planted=_planted(
            "Sanna Kivelä", "metal_state", "loose", "Sheet that was not annealed springs back."
        ),
    ),
    Person(
        "Pradeep Nallathambi",
        SimulatedHand(overcut_mm=0.085),
        Habits(fast=0.5),
        pins=True,
        planted=_planted(
            "Pradeep Nallathambi", "speed_step", "loose", "A fast spindle cuts wide seats."
        ),
    ),
    Person("Gwenllian Prosser", SimulatedHand(unsteady=1.4)),
    Person(
        "Dragan Vukmir",
        SimulatedHand(overcut_mm=0.072),
        Habits(large=0.5),
        pins=True,
        planted=_planted(
            "Dragan Vukmir", "undersize_mm", "loose", "A bur of nearly the stone's size cuts wide."
        ),
    ),
    Person("Yael Tamari", SimulatedHand(unsteady=1.3), comes=0.75),
    Person(
        "Kofi Asante-Lund",
        SimulatedHand(burnish=0.14, unsteady=1.2),
        Habits(hasty=0.2),
        pins=True,
    ),
)
