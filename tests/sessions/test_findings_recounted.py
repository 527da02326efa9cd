"""Every sentence that `findings` prints of the invented class is counted again from its own rows.

The rows come from `export`, the sentences from the command as a person reads them; nothing here
asks the analysis. Each line that counts attempts is taken apart, and a line that nobody can count
again, for want of words, fails.
"""

import csv
import math
import re
import shutil
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, zip_longest
from pathlib import Path

import pytest
from click.testing import CliRunner
from tests.simulated.recount import (
    has_level,
    in_time,
    levels_said,
    of_trend,
    side_of_trend,
    sides_of,
    spoken_of,
)

from platebook.analysis.variables.columns import known_variables, variable
from platebook.cli.main import main

pytestmark = [pytest.mark.slow]

Row = Mapping[str, str]
Command = Sequence[str]
MINUS = "\N{MINUS SIGN}"

NAMES = {
    "places of marred metal": "marred",
    "marred metal": "marred",
    "scratched stones": "scratched",
    "scratched stone": "scratched",
    "a scratched stone": "scratched",
    "gaps": "gap",
    "a gap": "gap",
}
"""How sentences speak of a defect, where it is not the word of the rows."""

HEAD = re.compile(r"(\d+) attempts judged, (\d+) failed\. Seen: (.+)\.")
WENT = re.compile(
    r"(?P<defect>[A-Z][a-z ]+?) went with (?P<phrase>.+?): (?P<k>\d+) of (?P<of>\d+)"
    r"(?P<here>[^:]*?), against (?P<k2>\d+) of (?P<of2>\d+)(?P<there>[^:]*?)"
    r"(?:; and the (?:seat|table) (?P<shift>.+))?\."
)
LEVELS = re.compile(
    r"(?P<defect>[A-Z][a-z ]+?) went with (?P<toward>[^:]+): (?P<levels>\d+ of \d+ \([^;]+\))"
    r"(?P<slight>; [^;]*slight)?(?:; and the (?:seat|table) (?P<shift>.+))?\."
)
NOT_STEADY = re.compile(
    r"(?:Not from level to level|No steady trend): (?P<far>.+) is more than (?P<near>.+\)), .+\."
)
MECHANISM = re.compile(
    r"(\d+) of (\d+) (\w+) ones? (?:was|were) (proud|deep) with the trial stone,"
    r" against (\d+) of (\d+) others(?:; and the seat was cut \w+ with .+, (\d+) seats measured)?\."
)
SUPPORT = re.compile(
    rf"({MINUS}?\d+) more in 100 \(may be ({MINUS}?\d+) to ({MINUS}?\d+)\)"
    r"(?:, (.+) against (.+)\.)?"
)
KNOWN = re.compile(r"Known for (\d+) of (\d+) failed and (\d+) of (\d+) good attempts?\.")
SHIFT = re.compile(r"(?:The|Worth watching beside it: the) seat was cut .+, (\d+) seats measured\.")
CHECKED_SEATS = re.compile(r"Checked how wide and how deep (\d+) measured seats came out .+")
CLOCK = re.compile(
    r"(\d+) of (\d+) (\w+) ones with a place noted and no other defect were at (\d+) to (\d+)"
    r" o'clock \(12 is the plate's notch\); .+"
)
SINCE = r"(\d+) of (\d+)(?: \(.+?\))?, against (\d+) of (\d+)(?: \(.+?\))?"
NO_LONGER = re.compile(rf"No longer so: {SINCE}, since (?:.+\()?attempt (\d+)\)?\.")
DROPPED = re.compile(
    r"So counted up to attempt (\d+), when it was well supported; at \d+ it was not any more\."
    rf" Since (?:.+\()?attempt (\d+)\)?: {SINCE}\."
)
CHANGED = re.compile(r"- (?P<names>.+): changed in (\d+) of (\d+) attempts")
ONCE = re.compile(r"- (?P<names>.+): changed once, at attempt (\d+): .+")
UNCOUNTED = (
    r"INVENTED: .+",
    r"Worth watching, not settled.*",
    r"What is well supported was decided at \d+ attempts and is asked again at \d+: .+",
    r"Checked \d+ variables against failure as a whole and against \d+ defects \(.+\)\.",
    r"A lead this strong turns up in .+",
    r"Of the seats alone: a lead this strong turns up in .+",
    r"A log cannot tell it from .+: together they are the .+\.",
    r"Beside practice, size and grade it stands out, but there may be no difference\.",
    r"This may be cause or effect: .+",
    r"It was well supported at attempt \d+, and at \d+ not any more\.",
    r"- .+: (?:never changed|no change but with the grade)",
    r"- .+: one value all through an evening: 3 evenings of each are needed",
    r"(?:Well supported|Worth watching)(?:, in the class)?:",
    r"(?:How it came about|Could not be judged|No longer so):",
)
"""Lines that count no attempts: headings, and what the engine says of its own certainty."""


def platebook(logbook: Path, *words: str) -> str:
    """What the command prints."""
    named = {"PLATEBOOK_LOGBOOK": str(logbook), "HOME": str(logbook.parent)}
    done = CliRunner().invoke(main, words, env=named, catch_exceptions=False)
    assert done.exit_code == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def logbook(kept_class: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented class, of which nothing was asked yet."""
    file = tmp_path_factory.mktemp("class") / "class.sqlite"
    return Path(shutil.copyfile(kept_class / "invented-class.sqlite", file))


@pytest.fixture(scope="module")
def rows(logbook: Path) -> Mapping[str, Sequence[Row]]:
    """Every setter's rows as they were exported, in order, with their place in time."""
    file = logbook.with_name("class.csv")
    platebook(logbook, "export", str(file), "--everyone")
    with file.open(encoding="utf-8-sig", newline="") as table:
        every = list(csv.DictReader(table))
    return {name: in_time([r for r in every if r["setter"] == name]) for name in _names(every)}


def _names(every: Sequence[Row]) -> list[str]:
    return list(dict.fromkeys(row["setter"] for row in every))


HEADINGS = (
    "Well supported",
    "Worth watching",
    "How it came about",
    "No longer so",
    "Could not be judged",
)


def told(text: str) -> Iterator[str]:
    """The thoughts of a page, each on one line again."""
    thought = ""
    for line in text.splitlines():
        finished = (
            thought.endswith(".")
            or (SUPPORT.fullmatch(thought) and thought.endswith(")"))
            or thought.removesuffix(":").removesuffix(", in the class") in HEADINGS
        )
        if thought and (finished or not line.strip() or re.match(r"[*>~-] ", line)):
            yield thought
            thought = ""
        thought = f"{thought} {line.strip()}".strip()
    if thought:
        yield thought


def judged(of_setter: Sequence[Row]) -> list[Row]:
    """Rows that count: judged, and no part exercises."""
    return [r for r in of_setter if r["result"] and r["kind"] != "part" and r["result"] != "missed"]


def seen(row: Row) -> dict[str, str]:
    """Each defect of a row with its severity, clear where none is written down."""
    results = [r for r in re.split("[;+,]", row["result"]) if r != "good"]
    severities = [s for s in re.split("[;+,]", row["severity"]) if s]
    return {r: s or "2" for r, s in zip_longest(results, severities, fillvalue="") if r}


def fails(row: Row, defect: str) -> bool:
    """Loose always, any other from severity 2 on."""
    found = seen(row)
    return defect in found and (defect == "loose" or found[defect] >= "2")


def failed(row: Row) -> bool:
    """Whether any defect of the row fails."""
    return any(fails(row, defect) for defect in seen(row))


def shows(row: Row, defect: str) -> bool:
    """Whether the row shows the defect, slight or not; `failure` is any that fails."""
    return failed(row) if defect == "failure" else defect in seen(row)


def word_of(spoken: str) -> str:
    """The word of the rows for a defect as a sentence speaks of it."""
    name = spoken.lower()
    return NAMES.get(name, name.removeprefix("a ").removesuffix(" ones"))


def slight_in(words: str, of: int) -> int:
    """How many were slight, as the words behind a count say."""
    if "all of them slight" in words or words.endswith(", slight"):
        return of
    found = re.search(r"(\d+) of them slight", words)
    return int(found[1]) if found else of if re.search(r", slight(?:,|$)", words) else 0


def newcombe(first: tuple[int, int], second: tuple[int, int]) -> tuple[float, float, float]:
    """Difference of two shares with its interval (Newcombe, Stat Med 1998;17:873, method 10)."""
    z = 1.959963984540054
    limits = []
    for k, n in (first, second):
        p, wide = k / n, z * math.sqrt(k / n * (1 - k / n) / n + z * z / (4 * n * n))
        limits.append(
            tuple((p + z * z / (2 * n) + s * wide) / (1 + z * z / n) for s in (-1.0, 1.0))
        )
    (l1, u1), (l2, u2) = limits
    p1, p2 = first[0] / first[1], second[0] / second[1]
    low = p1 - p2 - math.hypot(p1 - l1, u2 - p2)
    return p1 - p2, low, p1 - p2 + math.hypot(u1 - p1, p2 - l2)


def _measured(of_setter: Sequence[Row]) -> set[int]:
    """How many seats tell how wide or how deep: by fit, pins or reading, and by trial or depth."""
    wide = sum(
        bool(r["seat_diameter_mm"] or r["seat_go_mm"] or r["seat_nogo_mm"] or r["fit"])
        for r in of_setter
    )
    deep = sum(bool(r["seat_depth_mm"] or r["trial_height"]) for r in of_setter)
    return {wide, deep}


class Recount:
    """Counts one setter's answer again, line by line."""

    def __init__(self, name: str, of_setter: Sequence[Row]) -> None:
        self.name, self.every, self.rows = name, of_setter, judged(of_setter)
        self.last: tuple[tuple[int, int], tuple[int, int]] | None = None
        self.known: tuple[int, ...] | None = None
        self.asked: tuple[Sequence[bool | None], str] = ((), "")
        self.until: tuple[tuple[int, int], tuple[int, int]] | None = None
        self.levels: tuple[tuple[str, int, int], ...] = ()
        self.variable = self.toward = ""
        self.counted: Counter[str] = Counter()

    def check(self, line: str) -> None:
        """Count this line again; it has to be one that can be counted or that counts nothing."""
        line = re.sub(
            r"^(?:[*>~-]) (?=[A-Z0-9])(?!.+: (?:changed|never|no change|one value))", "", line
        )
        for form, check in (
            (HEAD, self._head),
            (WENT, self._went),
            (LEVELS, self._levels),
            (NOT_STEADY, self._not_steady),
            (MECHANISM, self._mechanism),
            (SUPPORT, self._support),
            (KNOWN, self._known),
            (SHIFT, self._seats),
            (CHECKED_SEATS, self._seats),
            (CLOCK, self._clock),
            (NO_LONGER, self._no_longer),
            (DROPPED, self._dropped),
            (CHANGED, self._changed),
            (ONCE, self._once),
        ):
            match = form.fullmatch(line)
            assert self.until is None or form is not WENT, f"{self.name}: before {line}"
            if match:
                check(match)
                self.counted[check.__name__] += 1
                return
        assert any(re.fullmatch(plain, line) for plain in UNCOUNTED), f"{self.name}: {line}"

    def _head(self, match: re.Match[str]) -> None:
        assert int(match[1]) == len(self.rows)
        assert int(match[2]) == sum(map(failed, self.rows))
        said = {}
        for part in match[3].split("; "):
            count, _, words = part.partition(" ")
            spoken, _, slight = words.partition(", ")
            said[word_of(spoken)] = (int(count), slight_in(f", {slight}", int(count)))
        hits = {d for row in self.rows for d in seen(row)} - {"culet out"}
        here = {
            d: (
                sum(d in seen(r) for r in self.rows),
                sum(d in seen(r) and not fails(r, d) for r in self.rows),
            )
            for d in hits
        }
        assert said == here

    def _went(self, match: re.Match[str]) -> None:
        defect = word_of(match["defect"])
        phrase = side_of_trend(match["phrase"], match["here"])
        k, of, k2, of2 = (int(match[g]) for g in ("k", "of", "k2", "of2"))
        on = list(sides_of(phrase, self.rows))
        self.asked, said = (on, defect), ((k, of), (k2, of2))
        if self._counted(0, None) != said:
            self.until = said  # Only what was dropped counts fewer, and its next line says which.
            return
        for side, group, words in ((True, k, match["here"]), (False, k2, match["there"])):
            slight = sum(
                s is side and defect in seen(r) and not fails(r, defect)
                for r, s in zip(self.rows, on, strict=True)
            )
            assert slight == slight_in(words, group), (self.name, match[0])
        self.last = ((k, of), (k2, of2))
        self.known = tuple(
            n
            for bad in (True, False)
            for n in (
                sum(s is not None and failed(r) is bad for r, s in zip(self.rows, on, strict=True)),
                sum(failed(r) is bad for r in self.rows),
            )
        )
        self._shifted(match)

    def _shifted(self, match: re.Match[str]) -> None:
        if match["shift"]:
            measured = re.search(r"(\d+) (?:seat|table)s? measured", match["shift"])
            assert measured is not None
            assert int(measured[1]) in _measured(self.every)

    def _levels(self, match: re.Match[str]) -> None:
        """Level by level; which of them make a side the line below says."""
        variable, defect = of_trend(match["toward"]), word_of(match["defect"])
        assert variable is not None, match[0]
        self.levels, self.variable = levels_said(match["levels"]), variable
        self.toward = match["toward"]
        self.asked, self.last = ((), defect), None
        slight = 0
        for name, k, of in self.levels:
            here = [row for row in self.rows if has_level(row, variable, name)]
            slight += sum(defect in seen(row) and not fails(row, defect) for row in here)
            assert (sum(shows(row, defect) for row in here), len(here)) == (k, of), match[0]
        failures = sum(k for _, k, _ in self.levels)
        assert slight == slight_in(match["slight"] or "", failures), match[0]
        known = [bool(row.get(variable)) for row in self.rows]
        self.known = tuple(
            n
            for bad in (True, False)
            for n in (
                sum(k and failed(r) is bad for r, k in zip(self.rows, known, strict=True)),
                sum(failed(r) is bad for r in self.rows),
            )
        )
        self._shifted(match)

    def _not_steady(self, match: re.Match[str]) -> None:
        (far, near) = (levels_said(match[side])[0] for side in ("far", "near"))
        assert {far, near} <= set(self.levels)
        assert far[1] * near[2] > near[1] * far[2]

    def _no_longer(self, match: re.Match[str]) -> None:
        k, of, k2, of2, first = map(int, match.groups())
        assert self._counted(int(first) - 1, None) == ((k, of), (k2, of2)), (self.name, match[0])

    def _dropped(self, match: re.Match[str]) -> None:
        last, first, k, of, k2, of2 = map(int, match.groups())
        assert self._counted(0, last) == self.until, (self.name, match[0])
        assert self._counted(first - 1, None) == ((k, of), (k2, of2)), (self.name, match[0])
        self.until = None

    def _counted(self, begin: int, end: int | None) -> tuple[tuple[int, int], tuple[int, int]]:
        """The sides of the last finding, in some of the attempts."""
        on, defect = self.asked
        both = list(zip(self.rows, on, strict=True))[begin:end]
        here, there = (
            [shows(row, defect) for row, side in both if side is wanted] for wanted in (True, False)
        )
        return (sum(here), len(here)), (sum(there), len(there))

    def _mechanism(self, match: re.Match[str]) -> None:
        k, of, defect, how, k2, of2, seats = match.groups()
        tried = [r for r in self.rows if r["trial_height"]]
        on = [defect in seen(r) for r in tried]
        true = [r["trial_height"] == how for r in tried]
        here = sum(a and b for a, b in zip(on, true, strict=True)), sum(on)
        others = sum(b and not a for a, b in zip(on, true, strict=True)), len(on) - sum(on)
        assert ((int(k), int(of)), (int(k2), int(of2))) == (here, others), self.name
        assert seats is None or int(seats) in _measured(self.every)
        self.last = (here, others)

    def _support(self, match: re.Match[str]) -> None:
        *numbers, here, there = match.groups()
        if here is not None:
            self.asked = (self._on_sides(here, there), self.asked[1])
            self.last = self._counted(0, None)
        assert self.last is not None
        said = tuple(int(n.replace(MINUS, "-")) for n in numbers)
        assert said == tuple(round(100 * n) for n in newcombe(*self.last)), (self.name, self.last)

    def _on_sides(self, here: str, there: str) -> list[bool | None]:
        """Whether each row has a level of the first side; a number lies beside its limit."""
        if not set(here.split(" or ")) & set(self._seen_levels()):
            return list(sides_of(side_of_trend(self.toward, here), self.rows))
        sides = (set(here.split(" or ")), set(there.split(" or ")))
        values = [row.get(self.variable) or None for row in self.rows]
        assert {v for v in values if v is not None} <= sides[0] | sides[1], (here, there)
        return [None if v is None else v in sides[0] for v in values]

    def _seen_levels(self) -> Iterator[str]:
        return (word for name, _, _ in self.levels for word in name.split(" or "))

    def _known(self, match: re.Match[str]) -> None:
        assert self.known == tuple(map(int, match.groups()))

    def _seats(self, match: re.Match[str]) -> None:
        assert int(match[1]) in _measured(self.every), (self.name, match[0])

    def _clock(self, match: re.Match[str]) -> None:
        count, of, defect, first, last = match.groups()
        places = [int(r["clock"]) for r in self.rows if list(seen(r)) == [defect] and r["clock"]]
        arc = {(int(first) - 1 + n) % 12 + 1 for n in range((int(last) - int(first)) % 12 + 1)}
        assert (int(count), int(of)) == (sum(p in arc for p in places), len(places))

    def _changed(self, match: re.Match[str]) -> None:
        for name in match["names"].split(", "):
            values = [r[self._field(name)] for r in self.rows]
            written = [v for v in values if v]
            rarer = len(written) - Counter(written).most_common(1)[0][1]
            assert (rarer, len(written)) == (int(match[2]), int(match[3])), (self.name, match[0])

    def _once(self, match: re.Match[str]) -> None:
        for name in match["names"].split(", "):
            field = self._field(name)
            if field not in self.rows[0]:
                continue  # A ratio of the course's stone and sheet: no column of the file.
            values = [(n, r[field]) for n, r in enumerate(self.rows, start=1) if r[field]]
            pairs = pairwise(values)
            changes = [n for (_, before), (n, after) in pairs if before != after]
            assert changes == [int(match[2])], (self.name, name)

    @staticmethod
    def _field(name: str) -> str:
        return next(known for known in known_variables() if variable(known).spoken == name)


def test_every_setters_sentences_count_what_the_exported_rows_say(
    logbook: Path, rows: Mapping[str, Sequence[Row]]
) -> None:
    """Twelve setters, each line of each answer; no line is left that nobody can count again."""
    counted: Counter[str] = Counter()
    for name, of_setter in rows.items():
        recount = Recount(name, of_setter)
        for line in told(platebook(logbook, "findings", "--setter", name)):
            recount.check(line)
        assert recount.until is None, name
        counted += recount.counted
    assert len(rows) == 12
    assert counted["_head"] == 12
    assert counted["_went"] + counted["_levels"] >= 12
    assert counted["_support"] > counted["_went"]


def test_the_class_sentences_count_what_the_exported_rows_say(
    logbook: Path, rows: Mapping[str, Sequence[Row]]
) -> None:
    """All setters together for what is shared; each setter's own rows for what is theirs alone."""
    together = Recount("class", [row for of_setter in rows.values() for row in of_setter])
    shared = own = 0
    for line in told(platebook(logbook, "class", "findings").partition("Eyes:")[0]):
        plain = re.sub(r"^[*>] ", "", line)
        head = re.fullmatch(r"(\d+) setters, (\d+) attempts judged, (\d+) failed\.", plain)
        setter, _, sentence = plain.partition(": ")
        if head:
            said = tuple(map(int, head.groups()))
            assert said == (12, len(together.rows), sum(map(failed, together.rows)))
        elif setter in rows and (WENT.fullmatch(sentence) or LEVELS.fullmatch(sentence)):
            Recount(setter, rows[setter]).check(sentence)
            own += 1
        elif any(form.fullmatch(plain) for form in (WENT, LEVELS, NOT_STEADY, SUPPORT)):
            together.check(plain)
            shared += 1
    assert shared >= 2
    assert own >= 3


@pytest.mark.parametrize(
    ("phrase", "variable"),
    [
        ("a stone that drops in or drops in and moves", "fit"),
        ("a clearance above 0.05 mm", "clearance_mm"),
        ("an undersize (stone minus seat bur) below 0.09 mm", "undersize_mm"),
        ("no lubricant", "lubricant"),
        ("3-5 or 6+ checks of the fit", "fit_checks"),
        ("an unpolished burnisher", "burnisher_polished"),
        ("a seat bur of shape hart", "seat_bur_shape"),
        ("another lubricant than wax", "lubricant"),
    ],
)
def test_the_words_alone_say_which_variable_is_meant(phrase: str, variable: str) -> None:
    """So that a sentence can be counted again by whoever reads it."""
    assert spoken_of(phrase) == variable
