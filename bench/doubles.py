# ruff: noqa: T201 - a script that prints
"""How often two people of a school are asked about as one: `python -m bench.doubles [SCHOOLS]`.

Names are drawn for schools of 60 and of 500 from given and family names written down from memory,
the first ones of each list more often than the last (Zipf), which makes more of one family than a
telephone book has. Pairs of quite the same name are left out. Printed are the pairs a school that
each rule asks about, with the Monte Carlo error of the mean, and how many of known spellings of one
name each rule finds.
"""

import random
import statistics
import sys
from collections.abc import Callable
from itertools import combinations

from platebook.practice.people.names import letters_off, may_be_one, one_letter_off

GIVEN = (
    "Maria Anna Jan Lena Paul Emma Thomas Laura Peter Julia Michael Sara David Lisa "
    "Daniel Hanna Martin Nina Jonas Eva Lukas Clara Simon Marie Robert Ines John Alice "
    "Felix Nora Oscar Ida Mark Lea Karl Mia Ben Ella Tom Rosa Max Ruth Leon Greta Noah "
    "Mila Eric Zoe Anton Vera Hugo Olga Ivan Ana Jana Jane June Joan Jean Joel Josef Maya "
    "Mara Mira Moira Lin Lia Lara Lola Ada Ann Amy Alma Alva Erin Erica Ellen Helen Karen "
    "Karin Kira Klara Chris Christa Christine Petra Pia Philip Steven Stefan Sven Sofia "
    "Sonia Tanja Tina Theo Tim Toni Ulla Ute Vera Viktor Yara "
)
FAMILY = (
    "Moor Vale Quill Osk Marsh Crane Berg Lund Holm Strand Dahl Lind Falk Roth Weber Koch "
    "Bauer Klein Wolf Vogel Keller Frank Berger Winkler Horn Busch Kraus Stein Brandt "
    "Hahn Kuhn Arnold Otto Sommer Winter Lorenz Beck Engel Pohl Schulte Vogt Sauer Kern "
    "Jung Kaiser Fuchs Scholz Peters Lang Haas Graf Heinrich Seidel Dietrich Ziegler Kunz "
    "Pfeiffer Thomas Simon Ludwig Bohm Ward Cole Reed Shaw Hunt Stone Mills Grant Webb "
    "Dean Pike Finch Heron Wren Lark Dove Rook Ash Elm Oakes Birch Rowan Hazel Thorne "
    "Brook Ford Lake Hill Dale Field Woods Heath Fenn Glen Cliff "
)
ONE_NAME = (
    "Lin Lynn;Jon John;Sara Sarah;Steven Stephen;Philip Phillip;Erik Eric;Hanna Hannah;Karin Karen;"
    "Marc Mark;Lea Leah;Isabel Isabelle;Mathias Matthias;Sofia Sophia;Ann Anne;Elisabeth Elizabeth;"
    "Nicolas Niklas;Jenifer Jennifer;Geof Geoff;Teresa Theresa;Kristin Christine;Lucas Lukas;"
    "Alan Allen;Vivien Vivian;Rebeca Rebekka;Tomas Thomas;Debora Deborah;Caitlin Kaitlyn;Sean Shawn"
)
"""Two spellings of one name each, from memory."""

FEWEST = 4


def as_before(name: str, other: str) -> bool:
    """One letter off in the whole name, and nothing else."""
    return min(len(name), len(other)) >= FEWEST and one_letter_off(name, other)


def plainly(name: str, other: str) -> bool:
    """Two letters off with the first letter and the family name alike, whatever it sounds like."""
    (one, of_one), (two, of_two) = name.split(), other.split()
    near = of_one == of_two and one[0] == two[0] and letters_off(one, two) <= 2
    return as_before(name, other) or near


RULES: dict[str, Callable[[str, str], bool]] = {
    "one letter off": as_before,
    "two letters off, any": plainly,
    "sounding alike (the program's)": may_be_one,
}


def drawn(names: str, count: int, rng: random.Random) -> list[str]:
    """So many of these names, the earlier the more often."""
    words = names.split()
    return rng.choices(words, [1 / (place + 5) for place in range(len(words))], k=count)


def main() -> None:
    """Print false alarms a school by rule, then what each rule finds."""
    schools = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    rng = random.Random(20_260_101)  # noqa: S311 - a simulation
    for size in (60, 500):
        asked: dict[str, list[int]] = {rule: [] for rule in RULES}
        for _ in range(schools):
            given, family = drawn(GIVEN, size, rng), drawn(FAMILY, size, rng)
            names = sorted({f"{g} {f}".casefold() for g, f in zip(given, family, strict=True)})
            for rule, says in RULES.items():
                asked[rule].append(sum(says(a, b) for a, b in combinations(names, 2)))
        for rule, counts in asked.items():
            error = statistics.stdev(counts) / len(counts) ** 0.5
            print(f"{size:4} people  {rule:32} {statistics.mean(counts):6.2f} +- {error:.2f} pairs")
    pairs = [pair.casefold().split() for pair in ONE_NAME.split(";")]
    for rule, says in RULES.items():
        found = [f"{a}/{b}" for a, b in pairs if says(f"{a} quill", f"{b} quill")]
        print(f"{rule:32} finds {len(found)} of {len(pairs)}")
        if rule == list(RULES)[-1]:
            missed = {f"{a}/{b}" for a, b in pairs} - set(found)
            print("  misses " + ", ".join(sorted(missed)))


if __name__ == "__main__":
    main()
