"""What is known of stone materials: facts of each, and what pressure it takes.

The facts stand in `data/stones.csv`, each row with its status (published gem tables, or memory).
"""

import csv
import functools
from importlib import resources
from typing import Literal

from platebook.trade.value import Value


class StoneFacts(Value):
    """One material: density (specific gravity), hardness (Mohs), toughness and fitness.

    `under_burnishing_pressure` is what to say; `pressure` sums it up. `names` are the words that
    people write for it.
    """

    stone: str
    names: tuple[str, ...]
    specific_gravity: float
    mohs: float
    toughness: str
    under_burnishing_pressure: str
    pressure: Literal["takes it", "caution"]
    status: str


def stone_facts(material: str) -> StoneFacts | None:
    """The facts for a material by any of its names, or None for one that is not in the table."""
    wanted = material.strip().lower()
    return next((s for s in all_stones() if wanted == s.stone or wanted in s.names), None)


@functools.cache
def all_stones() -> tuple[StoneFacts, ...]:
    """All materials in the order of the table."""
    file = resources.files("platebook.trade").joinpath("data", "stones.csv")
    rows = csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    return tuple(
        StoneFacts.model_validate({**row, "names": tuple(row["names"].split(";"))}) for row in rows
    )
