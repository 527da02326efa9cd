"""A tool's check, from `drawer check` to the sentence of `findings`: what it reads large counts."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.cli.shell import Shell, with_ada

FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
GAUGE = "bore gauge"


def _season(folder: Path) -> Shell:
    """48 attempts: run-out clear on half of them, each seat then read with a gauge of its own.

    The seats are as wide either way; the gauge reads 0.05 mm large.
    """
    shell = with_ada(folder)
    shell.runs("drawer", "add", "measuring", "--name", GAUGE)
    head = "began,result,stone_diameter_mm,seat_bur_mm,seat_bur_shape,seat_diameter_mm"
    lines = [f"{head},seat_measured_with,runout"]
    for n in range(48):
        clear = (n * 7) % 16 < 8
        seat = 1.96 + 0.002 * (n * 5 % 11) + (0.05 if clear else 0.0)
        began = FIRST + timedelta(days=n // 6, minutes=9 * (n % 6))
        result = "loose" if (n * 7) % 16 in {1, 2, 3, 4, 9} else "good"
        tool, runout = (GAUGE, "clear") if clear else ("", "none seen")
        lines.append(f"{began.isoformat()},{result},2.0,1.9,hart,{seat:.3f},{tool},{runout}")
    (folder / "season.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    shell.runs("import", "season.csv")
    return shell


def _check(shell: Shell) -> None:
    """Five readings of a ring of 2.00 mm: each 0.05 mm too large."""
    readings = [word for mm in (2.05, 2.051, 2.049, 2.05, 2.05) for word in ("--reading", str(mm))]
    shell.runs("drawer", "check", GAUGE, "--against", "2.00", *readings)


@pytest.mark.slow
def test_a_gauge_that_reads_large_no_longer_widens_seats(tmp_path: Path) -> None:
    """Unchecked the seats are cut wider with run-out clear; checked there is no such shift."""
    shell = _season(tmp_path)
    widened = "the seat was cut wider with run-out judged clear"
    assert widened in shell.runs("findings").stdout.replace("\n  ", " ").lower()
    _check(shell)
    assert widened not in shell.runs("findings").stdout.replace("\n  ", " ").lower()


@pytest.mark.slow
def test_clearance_takes_the_check_too(tmp_path: Path) -> None:
    """The wide half is loose; where it begins is said 0.05 mm lower once the gauge is checked."""
    shell = with_ada(tmp_path)
    shell.runs("drawer", "add", "measuring", "--name", GAUGE)
    lines = ["began,result,stone_diameter_mm,seat_diameter_mm,seat_measured_with"]
    for n in range(48):
        wider = 0.004 * (n * 5 % 11)
        began = FIRST + timedelta(days=n // 6, minutes=9 * (n % 6))
        result = "loose" if wider > 0.022 else "good"
        lines.append(f"{began.isoformat()},{result},2.0,{2.01 + wider:.3f},{GAUGE}")
    (tmp_path / "season.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    shell.runs("import", "season.csv")

    def parted() -> str:
        (label,) = {
            finding["counts"][0]["label"]
            for finding in shell.answers("findings")["findings"]
            if finding["variable"] == "clearance_mm" and finding["defect"] == "loose"
        }
        return str(label)

    unchecked = parted()
    _check(shell)
    assert (unchecked, parted()) == (
        "clearance above 0.03 mm",
        "clearance above \N{MINUS SIGN}0.02 mm",
    )


CLASS = ("Ada Quill", "Bram Osk", "Cleo Finch", "Dora Penn")
LARGE = 0.05


def _wider(n: int) -> float:
    """How much wider than its stone the seat of attempt n really is; the wide half is loose."""
    return 0.004 * (n * 5 % 11) - 0.02


def _class_of_four(folder: Path) -> Shell:
    """48 attempts each; Ada alone reads her seats with a gauge that reads 0.05 mm large."""
    shell = with_ada(folder)
    for name in CLASS[1:]:
        shell.runs("setter", "add", name, "--course", "small-to-large")
    shell.runs("setter", "use", CLASS[0])
    shell.runs("drawer", "add", "measuring", "--name", GAUGE)
    lines = ["setter,began,result,stone_diameter_mm,seat_diameter_mm,seat_measured_with"]
    for name in CLASS:
        for n in range(48):
            began = FIRST + timedelta(days=n // 6, minutes=9 * (n % 6))
            result = "loose" if _wider(n) > 0.002 else "good"
            read, tool = (2.0 + _wider(n), "") if name != CLASS[0] else (2.05 + _wider(n), GAUGE)
            lines.append(f"{name},{began.isoformat()},{result},2.0,{read:.3f},{tool}")
    (folder / "class.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    shell.runs("import", "class.csv")
    return shell


@pytest.mark.slow
@pytest.mark.parametrize("checked", [False, True])
def test_a_check_in_one_drawer_counts_in_what_the_class_shares(
    tmp_path: Path, *, checked: bool
) -> None:
    """Ada's seats count 0.05 mm narrower in the class's sentence once her gauge is checked."""
    shell = _class_of_four(tmp_path)
    if checked:
        _check(shell)
    shell.runs("setter", "use", CLASS[1])
    sentence = " ".join(shell.runs("class", "findings").stdout.split())
    found = re.search(
        r"Loose went with more clearance: (?P<k>\d+) of (?P<of>\d+) above"
        r" (?P<limit>\N{MINUS SIGN}?[\d.]+) mm,"
        r" against (?P<k_out>\d+) of (?P<of_out>\d+)",
        sentence,
    )
    assert found is not None, sentence
    limit = round(1000 * float(found["limit"].replace("\N{MINUS SIGN}", "-")))
    over = {name: LARGE if name == CLASS[0] and not checked else 0.0 for name in CLASS}
    seats = [
        (round(1000 * (_wider(n) + over[name])), _wider(n) > 0.002)
        for name in CLASS
        for n in range(48)
    ]
    above = [loose for seat, loose in seats if seat > limit]
    below = [loose for seat, loose in seats if seat <= limit]
    counted = (sum(above), len(above), sum(below), len(below))
    assert tuple(map(int, found.group("k", "of", "k_out", "of_out"))) == counted
