"""A simulated setter's bench: the drawer, this evening's habits, and the set-up they make.

Habits stick: they are drawn at the start of an evening, and what is not kept for the whole plate is
drawn again before about one setting in four.
"""

from dataclasses import dataclass

import numpy as np

from platebook.demo.people import Person
from platebook.demo.simulated_setter import BenchTonight
from platebook.practice.courses.course import Grade
from platebook.trade.records import Tool
from platebook.values import Value

_CHANGES = 0.25
"""Chance that a habit is drawn again before a setting."""

_TONIGHT_MM = 0.010

_LOTS = {1.5: (1.49, 0.90), 2.0: (1.98, 1.19), 2.5: (2.48, 1.50), 3.0: (2.97, 1.80)}
"""Mean diameter and depth of the class's parcels, in millimetres, by nominal size."""

_UNDER_MM = (0.10, 0.05)
"""The two seat burs of each size: how far under the nominal stone they are marked."""

_SPARE_UNDER_MM = 0.15
"""A third seat bur of each size, hardly ever used: a hand that cuts wide needs it, and so does a
block that settles what the bur does."""

_PILOTS = {1.5: 0.5, 2.0: 0.7, 2.5: 0.8, 3.0: 1.0}

_SLOWER = ("slow", "medium")
_PASSES = ("1", "2", "3+")

_PLATE_FIELDS = frozenset({"metal_state", "support", "runout", "burnisher_polished"})
"""Asked once a plate: they do not change within an evening."""


class Setting(Value):
    """The set-up of one setting: as the simulation needs it, and as the record has it."""

    tonight: BenchTonight
    fields: dict[str, object]


@dataclass(slots=True)
class _Bur:
    """A seat bur in use: its marked size, seats cut, and which of its kind it is."""

    size_mm: float
    seats: int = 0
    number: int = 1

    @property
    def name(self) -> str:
        again = f", no. {self.number}" if self.number > 1 else ""
        return f"setting {self.size_mm:.2f}{again}"


class Workbench:
    """One person's bench over the term."""

    def __init__(self, person: Person, rng: np.random.Generator) -> None:
        self.person, self.rng = person, rng
        self._burs = {
            (stone, under): _Bur(round(stone - under, 2)) for stone in _LOTS for under in _UNDER_MM
        }
        self._tip_mm = float(rng.choice((0.8, 1.0, 1.2)))
        self._passes = str(rng.choice(("1", "2", "3+"), p=(0.2, 0.5, 0.3)))
        self._magnification = float(rng.choice((2.5, 3.0, 5.0)))
        self._handpiece = str(rng.choice(("pendant", "micromotor")))
        self._tonight: dict[str, object] = {}
        self._tonight_mm = 0.0

    def new_evening(self) -> None:
        """Another evening: habits, hand and room are drawn anew."""
        self._tonight = self._draw()
        self._tonight_mm = float(self.rng.normal(0, _TONIGHT_MM))

    def _draw(self) -> dict[str, object]:
        habits, rng = self.person.habits, self.rng
        hasty = rng.random() < habits.hasty
        unsupported = ("hand", "bench pin")
        return {
            "lubricant": "none" if rng.random() < habits.dry else "wax",
            "metal_state": "worked" if rng.random() < habits.worked else "annealed today",
            "punch": "steel" if rng.random() < habits.steel else "copper",
            "support": str(rng.choice(unsupported))
            if rng.random() < habits.unsupported
            else "thermoplastic",
            "burnisher_polished": bool(rng.random() >= habits.rough),
            "speed_step": "fast" if rng.random() < habits.fast else str(rng.choice(_SLOWER)),
            "runout": "slight" if rng.random() < 0.12 else "none seen",
            "under_mm": _UNDER_MM[int(rng.random() < habits.large)],
            "fit_checks": str(rng.choice(("0", "1-2") if hasty else ("3-5", "6+"))),
        }

    def _now(self) -> dict[str, object]:
        """This setting's habits; what changed stays for the rest of the evening."""
        again = self._draw()
        for name in self._tonight:
            if name not in _PLATE_FIELDS and self.rng.random() < _CHANGES:
                self._tonight[name] = again[name]
        return self._tonight

    def next_setting(self, grade: Grade) -> Setting:
        """The set-up of the next whole setting at this grade."""
        now = self._now()
        nominal = float(self.rng.choice(grade.stones_mm))
        mean_mm, _ = _LOTS[nominal]
        bur = self._burs[nominal, float(str(now["under_mm"]))]
        if bur.seats >= self.person.habits.bur_lasts:
            bur.seats, bur.number = 0, bur.number + 1
        passes = self._passes if self.rng.random() < 0.7 else str(self.rng.choice(_PASSES))
        tonight = BenchTonight(
            stone_mm=mean_mm + float(self.rng.normal(0, 0.006)),
            bur_mm=bur.size_mm,
            bur_uses=bur.seats,
            tonight_mm=self._tonight_mm,
            speed=str(now["speed_step"]),
            runout=str(now["runout"]),
            lubricant=str(now["lubricant"]),
            metal_state=str(now["metal_state"]),
            support=str(now["support"]),
            punch=str(now["punch"]),
            polished=bool(now["burnisher_polished"]),
            checks=str(now["fit_checks"]),
            passes=passes,
            sterling=grade.metal == "sterling silver",
        )
        fields = self._fields(grade, nominal, bur)
        bur.seats += 1
        return Setting(tonight, fields)

    def sheet_fields(self, grade: Grade) -> dict[str, object]:
        """What is known of a part exercise: metal, sheet, and how the plate is held."""
        return {
            "metal": grade.metal,
            "metal_state": self._tonight["metal_state"],
            "sheet_mm": grade.sheet_mm,
            "layers": grade.layers,
            "backing": grade.backing,
            "support": self._tonight["support"],
            "handpiece": self._handpiece,
            "magnification": self._magnification,
            "light": "one lamp",
        }

    def _fields(self, grade: Grade, nominal: float, bur: _Bur) -> dict[str, object]:
        mean_mm, depth_mm = _LOTS[nominal]
        carried = {n: v for n, v in self._tonight.items() if n not in {"under_mm", "fit_checks"}}
        return {
            **self.sheet_fields(grade),
            **carried,
            "stone_material": grade.stone_material,
            "stone_lot": f"parcel {nominal:.1f}",
            "stone_diameter_mm": mean_mm,
            "stone_depth_mm": depth_mm,
            "stone_uses": int(self.rng.random() < 0.1),
            "stone_checked": bool(self.rng.random() < 0.85),
            "hand_cut": False,
            "pilot_mm": _PILOTS[nominal],
            "opening_bur_shape": "ball",
            "opening_bur_mm": round(nominal - 0.2, 2),
            "seat_bur": bur.name,
            "seat_bur_shape": "setting",
            "seat_bur_mm": bur.size_mm,
            "seat_bur_uses": bur.seats,
            "burnisher_tip_mm": self._tip_mm,
            "seat_method": grade.method,
            "point_order": "opposite pairs",
        }

    def tools(self) -> tuple[Tool, ...]:
        """The drawer as it is now."""
        burs = [
            Tool(kind="bur", name=b.name, shape="setting", size_mm=b.size_mm, seats_cut=b.seats)
            for b in self._burs.values()
        ]
        burs += [
            Tool(
                kind="bur",
                name=_Bur(round(stone - _SPARE_UNDER_MM, 2)).name,
                shape="setting",
                size_mm=round(stone - _SPARE_UNDER_MM, 2),
            )
            for stone in _LOTS
        ]
        openings = [
            Tool(kind="bur", name=f"ball {s - 0.2:.1f}", shape="ball", size_mm=round(s - 0.2, 2))
            for s in _LOTS
        ]
        drills = [
            Tool(kind="twist drill", name=f"drill {size:.1f}", size_mm=size)
            for size in _PILOTS.values()
        ]
        others = [
            Tool(kind="burnisher", name="burnisher", size_mm=self._tip_mm),
            Tool(kind="punch", name="copper punch"),
            Tool(kind="measuring", name="caliper", resolution_mm=0.01, mpe_mm=0.02),
        ]
        if self.person.pins:
            others.append(Tool(kind="pin", name="pins in 0.02 steps", note="0.90 to 3.20 mm"))
        if self.person.habits.steel:
            others.append(Tool(kind="punch", name="steel punch"))
        return (*drills, *openings, *burs, *others)
