"""Drives a copy of the program whose table of fields has one row more, and prints what it saw.

`python -m tests.guards.added_field FIELD FOLDER`, with the copy in front of all other modules. The
folder holds `logbook.sqlite`, of the schema before. `test_field_added_by_data.py` starts it.
"""

import asyncio
import csv
import json
import re
import sys
from pathlib import Path
from typing import Any

from tests.cli.shell import Shell
from tests.tui.bench import an_empty_view
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

PAGES = 6
LOW, HIGH = "150", "300"


def rows_with(field: str) -> list[dict[str, str]]:
    """Sixty settings of which those under the low lamp come loose, but for a few of either."""
    rows = []
    for number in range(60):
        low = number % 2 == 0
        odd = number % 10 in {4, 7}
        rows.append(
            {
                "began": f"2026-02-{number // 4 + 1:02} 18:{number % 4 * 10 + 10}",
                "grade": "copper-1.5",
                "stone_diameter_mm": "1.5",
                "metal": "copper",
                field: LOW if low else HIGH,
                "result": "loose" if low != odd else "good",
            }
        )
    return rows


def written(path: Path, rows: list[dict[str, str]]) -> Path:
    """A CSV file of these rows."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return path


def exported(shell: Shell, name: str) -> list[dict[str, str]]:
    """What the logbook writes into a CSV file of this name, row by row."""
    shell.runs("export", name)
    text = (shell.folder / name).read_text(encoding="utf-8-sig")
    return list(csv.DictReader(text.splitlines()))


async def asked(field: str, label: str) -> tuple[str, object]:
    """The line of the Attempt screen that asks the field, and what an answer there is saved as."""
    session = SessionOfAnEvening(view=an_empty_view())
    async with running(session) as pilot:
        await press(pilot, "enter")
        for _ in range(PAGES):
            shown = re.search(rf"(\d)   {label}\b.*", picture(pilot.app))
            if shown is not None:
                break
            await press(pilot, "0")
        else:
            return "", None
        await press(pilot, shown[1], *HIGH, "enter", "enter", "0", "enter")
    return shown[0].strip(), session.saved[0].get(field)


def seen(field: str, label: str, folder: Path) -> dict[str, Any]:
    """Everything that the test wants to know, as plain values."""
    shell, new, other = Shell(folder), Shell(folder / "new"), Shell(folder / "other")
    checked = shell.runs("check").stdout
    before = len(shell.attempts())
    (recorded,) = shell.answers("record", "--result", "good", "--set", f"{field}={HIGH}")["ids"]
    outside = shell.runs("record", "--result", "good", "--set", f"{field}=950", code=1).stderr
    shell.runs("amend", recorded, f"{field}={LOW}")
    new.folder.mkdir()
    new.runs("setter", "add", "Ada Quill")
    new.runs("import", str(written(folder / "typed.csv", rows_with(field))))
    rows = exported(new, "out.csv")
    other.folder.mkdir()
    other.runs("import", str(new.folder / "out.csv"))
    findings = new.answers("findings")["findings"]
    shown = shell.runs("show", recorded).stdout
    return {
        "checked": [checked, shell.runs("check").stdout],
        "before": before,
        "shown": [line for line in shown.splitlines() if field in line],
        "logged": [attempt[field] for attempt in shell.attempts()],
        "outside": outside,
        "kept": rows == exported(other, "back.csv"),
        "column": [row[field] for row in rows],
        "findings": [found for found in findings if found["variable"] == field],
        "asked": asyncio.run(asked(field, label)),
    }


if __name__ == "__main__":
    sys.stdout.write(json.dumps(seen(sys.argv[1], sys.argv[2], Path(sys.argv[3]))))
