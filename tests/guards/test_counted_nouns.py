"""No sentence says "1 seats": a number that may be 1 goes through `count_of`."""

import re
from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "platebook"
NOUNS = (
    "attempts|bundles|burs|cells|classes|columns|courses|days|evenings|exercises|failures|files|"
    "findings|grades|keys|looks|messages|minutes|names|people|plates|points|positions|problems|"
    "readings|records|revisions|rows|seats|sessions|setters|settings|steps|stones|students|teachers|"
    "times|tools|weeks"
)
FIXED = re.compile(rf"\{{[^{{}}]+\}} (?:more |good |last |whole )?(?:{NOUNS})\b[^\"']*")
ONE_BESIDE = re.compile(
    r"== 1 else|== 2 else|> 1 else|if one else|if several else|if count > 1|if times > 1|if n > 1"
)
"""The 1 is told apart on the line itself, or on one of the two lines around it."""

NEVER_ONE = (
    "{ascii(value)",  # a verb, "reads": no count
    "{len(fitting)} tools",  # refused where two or more fit
    "{len(ending)} attempts end",  # so too
    "{len(attempt_ids)} attempts are",  # one is told before
    "{len(person.classes)} classes",  # more than three
    "{len(names)} names",  # more than a class can have
    "{len(unchanged)} bundles",  # more than eight
    "{count} people: ",  # a name that two bear
    "{weeks} weeks",  # two weeks at least are told
    "{row.of} evenings",  # three at least
    "{clock} o'clock {times} times",  # three at least
    "{defect} {times} times",  # so too
    "{rarer} of {measured} attempts",  # eight written down at least
    "{used} of {measured} measured",  # fewer than were measured
    "{attempts} of {attempts + left_out} attempts",  # so too
    "{len(log)} of {log.before + len(log)} attempts",  # so too
    "{LEAST_SESSIONS} evenings",  # constants
    "{COPY_DAYS} days",
    "{SMALL} settings",
    "{WEEKS} weeks",
    "{days} days ago",  # yesterday is told before
    "{LONG} settings",
    "{RUNS} settings",
    "{TRIES} settings",
    "{WATCHED} settings",
    "{FEW} settings",
    "{FEW} positions",
    "{MOST_POSITIONS} positions",
    "{MOST_MORE}",
    "{several(few)} seats",  # no count
    "{number_text(rate)} failures",  # a rate
    "{practice.a_week:.1f} attempts",  # a mean with its decimal
    "{lengths.sees_doubled:.0f} settings",  # dozens
    "{many} readings",  # one reading is told before
    "{work.done} of {work.of} steps",  # of a class with a step each
    "{layout",
)


BY_HAND = re.compile(
    r"""["']1 [a-z]+["'] if |\{['"]{2} if [^{}]+ == 1 else ['"]s|\{['"]e?s['"] (if|\*) """
    r"""|[*+] ["']e?s["']"""
)
"""A noun counted in its own way: "1 seat" if so, and an s put on."""


def test_no_count_is_written_by_hand() -> None:
    """A number with its noun has `trade.phrases.count_of`, the noun alone `noun_for`."""
    found = [
        f"{path.relative_to(SOURCE)}: {hit.group()}"
        for path in sorted(SOURCE.rglob("*.py"))
        for hit in BY_HAND.finditer(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_a_number_before_a_plural_is_never_one() -> None:
    """Who writes a count either goes through `count_of`, tells 1 apart, or stands in the list."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        lines = path.read_text(encoding="utf-8").split("\n")
        for number, line in enumerate(lines):
            around = " ".join(lines[max(number - 2, 0) : number + 2])
            hit = FIXED.search(line)
            if hit is None or "raise ValueError" in around or ONE_BESIDE.search(around):
                continue
            if not any(known in line for known in NEVER_ONE):
                found.append(f"{path.relative_to(SOURCE)}:{number + 1}: {hit.group()}")
    assert found == []
