"""Whether a logbook's answers agree where several of them answer one question.

Everything is asked as a person asks it: by command, with `--json`, and of the workbook by its
cells.
"""

import json
import tempfile
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from click.testing import CliRunner
from openpyxl import load_workbook

from platebook.cli.main import main

Answer = Mapping[str, Any]
NEAR = 1e-9
SIGN_WORDS = {"+": "good", "x": "failed"}


class Asked:
    """The answers of one logbook, as commands give them."""

    def __init__(self, book: Path) -> None:
        self.book = book

    def __call__(self, *words: str) -> Any:
        """What a command prints with `--json`; RuntimeError with its words where it gives none."""
        result = CliRunner().invoke(main, ["--logbook", str(self.book), *words, "--json"])
        if result.exit_code:
            raise RuntimeError(f"{' '.join(words)}: {result.output}{result.stderr}")
        return json.loads(result.stdout)


def disagreements(book: Path) -> Iterator[str]:
    """A sentence for everything that two answers about this logbook say differently."""
    ask = Asked(book)
    everyone = {line["setter_id"]: line for line in ask("class", "progress")["setters"]}
    running = [term for term in ask("class", "list")["classes"] if term["runs"]]
    for line in everyone.values():
        yield from _of_setter(ask, line)
    for term in running:
        yield from _of_class(ask, term, everyone)


def _of_setter(ask: Asked, line: Answer) -> Iterator[str]:
    """One setter's line beside their own progress, log and next exercise."""
    who = line["setter_id"]
    progress = ask("progress", "--setter", who)
    grade: Answer = next((g for g in progress["grades"] if g["title"] == line["grade"]), {})
    counted = progress["settings"] + progress["left_out"]
    log = ask("log", "--setter", who, "--all")["attempts"]
    judged = [a for a in log if a["kind"] == "whole" and a["grade"] == grade.get("grade")]
    upcoming = ask("next", "--setter", who)
    there = next(g for g in progress["grades"] if g["grade"] == upcoming["grade"])
    days = [datetime.fromisoformat(a["began"]).date().isoformat() for a in log]
    yield from _unlike(
        line["name"],
        {
            "attempts: line, progress": (line["attempts"], counted),
            "attempts: line, log": (line["attempts"], len(log)),
            "last day: line, log": (line["last_day"], max(days, default="")),
            "days since: line, progress": (line["days_since"], progress["days_since_practice"]),
            "states: line, progress": (
                {g["grade"]: g["state"] for g in line["grades"]},
                {g["grade"]: g["state"] for g in progress["grades"]},
            ),
            "state: line, progress": (line["state"], grade.get("state", line["state"])),
            "to go: line, progress": (
                line["good_to_go"],
                grade.get("good_to_go", line["good_to_go"]),
            ),
            "good now: line, progress": (line["lately"], grade.get("now")),
            "good now from: line, progress": (line["lately_low"], grade.get("now_low")),
            "good now to: line, progress": (line["lately_high"], grade.get("now_high")),
            "last eight: signs, log": (len(line["signs"]), min(len(judged), 8)),
            "grade: line, next": (
                grade.get("grade"),
                upcoming["practised"] if line["attempts"] else grade.get("grade"),
            ),
            "state of the next grade: next, progress": (upcoming["state"], there["state"]),
        },
    )


def _of_class(ask: Asked, term: Answer, everyone: Mapping[str, Answer]) -> Iterator[str]:
    """One class: its lines beside those of everyone, its roll, register, queue and workbook."""
    name = term["name"]
    progress = ask("class", "progress", "--group", name)
    lines = {line["setter_id"]: line for line in progress["setters"]}
    roster = {p["setter_id"]: p for p in ask("class", "roster", "--group", name)["setters"]}
    register = {p["setter_id"]: p for p in ask("class", "register", "--group", name)["setters"]}
    queue = ask("class", "inspect", "--group", name)["queue"]
    pairs: dict[str, tuple[object, object]] = {
        "people: class list, roster": (term["members"], len(roster)),
        "people: lines, roster": (set(lines), set(roster)),
        "people: register, list": (len(register), term["ever"]),
        "queue: people outside": ({row["setter_id"] for row in queue} - set(lines), set()),
    }
    for who, line in lines.items():
        seen, at = register[who], line["name"]
        pairs[f"{at}: line in the class, of everyone"] = (line, everyone[who])
        pairs[f"{at}: attempts: line, roster"] = (line["attempts"], roster[who]["attempts"])
        pairs[f"{at}: came: register, its signs"] = (seen["came"], seen["signs"].count("came"))
        pairs[f"{at}: of: register, its signs"] = (
            seen["of"],
            sum(sign is not None for sign in seen["signs"]),
        )
        last = line["last_day"]
        if last >= (term["begins"] or ""):
            pairs[f"{at}: last seen: register, line"] = (seen["last_seen"], last)
        waits = {row["sign_off"] for row in queue if row["setter_id"] == who} - {""}
        pairs[f"{at}: waits for a sign-off: queue, line"] = (
            waits,
            {line["sign_off"]} - {""},
        )
    for each in ("weeks", "stones", "burs"):
        count = "attempts" if each == "weeks" else "count"
        pairs[f"practice, {each}: class, its people"] = (
            sum(row[count] for row in progress["practice"][each]),
            sum(row[count] for line in lines.values() for row in line["practice"][each]),
        )
    yield from _unlike(name, pairs)
    yield from _of_workbook(ask, name, lines)


def _of_workbook(ask: Asked, name: str, lines: Mapping[str, Answer]) -> Iterator[str]:
    """The workbook's cells beside the class's lines and each setter's next exercise."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.xlsx"
        ask("class", "export", str(file), "--group", name)
        sheets = load_workbook(file, read_only=True)
        head, *rows = sheets["Students"].iter_rows(values_only=True)
        looks, attempts = (sum(1 for _ in sheets[name].rows) for name in ("Looks", "Attempts"))
    students = [dict(zip(map(str, head), row, strict=True)) for row in rows]
    pairs: dict[str, tuple[object, object]] = {
        "workbook: people": ({str(s["setter_id"]) for s in students}, set(lines)),
        "workbook: looks": (sum(_whole(s["looks"]) for s in students), looks - 1),
        "workbook: attempts": (sum(_whole(s["attempts"]) for s in students), attempts - 1),
    }
    for student in students:
        line = lines[str(student["setter_id"])]
        at, upcoming = f"{line['name']}: workbook", ask("next", "--setter", line["setter_id"])
        passed = [g for g in line["grades"] if g["state"] == "passed"]
        pairs |= {
            f"{at}: next": (
                student["next"],
                f"{upcoming['title']}, {upcoming['grade_title']}",
            ),
            f"{at}: grades passed": (student["grades passed"], len(passed)),
            f"{at}: grade": (student["grade"] or "", line["grade"]),
            f"{at}: state": (student["state"] or "", line["state"] if line["grade"] else ""),
            f"{at}: share": (student["share good"], line["lately"]),
            f"{at}: share from": (student["share good from"], line["lately_low"]),
            f"{at}: share to": (student["share good to"], line["lately_high"]),
            f"{at}: last eight": (
                student["last eight"] or "",
                ", ".join(SIGN_WORDS[sign] for sign in line["signs"]),
            ),
            f"{at}: attempts": (student["attempts"], line["attempts"]),
            f"{at}: a week": (student["attempts a week"], line["practice"]["a_week"]),
            f"{at}: last practised": (str(student["last practised"] or "")[:10], line["last_day"]),
            f"{at}: waits": (student["waits for a sign-off"] or "", line["sign_off_title"]),
            f"{at}: eye": (student["eye"] or "", line["eye"]),
        }
    yield from _unlike(name, pairs)


def _whole(cell: object) -> int:
    return cell if isinstance(cell, int) else 0


def _unlike(whose: str, pairs: Mapping[str, tuple[object, object]]) -> Iterator[str]:
    for question, (one, other) in pairs.items():
        if not _same(one, other):
            yield f"{whose}: {question}: {one!r}, {other!r}"


def _same(one: object, other: object) -> bool:
    if isinstance(one, float) and isinstance(other, float | int):
        return abs(one - other) < NEAR
    return one == other
