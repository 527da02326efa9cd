"""Bundles, workbooks, sheets, courses and logbooks that are bent inside, and closed again.

Each is refused at once where its outside is damaged, and what lies behind is never reached. So it
is opened, bent where it holds a value, and closed with the sums, sizes, names and checksums that
belong to what it holds now.
"""

import base64
import contextlib
import csv
import hashlib
import html
import io
import json
import random
import re
import sqlite3
import tempfile
import uuid
import zipfile
from pathlib import Path
from typing import Any

from tests.torture.bending import NOT_TO_BE_OPENED, ODD, bent, bent_json, bent_value

from platebook.logbook.file.checksums import fill_checksums
from platebook.logbook.file.connection import Database


def bent_start(data: bytes, rng: random.Random) -> bytes:
    """A start file bent as JSON, or in the bundle that is in it."""
    with contextlib.suppress(ValueError, TypeError, KeyError):
        if rng.random() < 0.6:
            start = json.loads(data)
            inside = bent_bundle(base64.b64decode(start["bundle"]), rng)
            return json.dumps(start | {"bundle": base64.b64encode(inside).decode()}).encode()
    return bent_json(data, rng)


def bent_bundle(data: bytes, rng: random.Random) -> bytes:
    """A bundle bent in a line, under a manifest that agrees; unsigned, without checksums."""
    lines = data.splitlines(keepends=True)
    if rng.random() < 0.1 or len(lines) < 2:
        return bent(data, rng)
    try:
        manifest, rows = json.loads(lines[0]), [json.loads(line) for line in lines[1:]]
    except ValueError:
        return bent(data, rng)
    for _ in range(rng.choice((1, 1, 2, 5))):
        if rng.random() < 0.1:
            manifest = bent_value(manifest, rng)
        else:
            _bend_a_line(rows, rng)
    return closed_bundle(manifest, rows)


def _bend_a_line(rows: list[Any], rng: random.Random) -> None:
    """One line with another value in it, left out, or said once more as a later revision."""
    place = rng.randrange(len(rows))
    if not isinstance(rows[place], dict) or not rows[place]:
        return
    (name, row), *_ = rows[place].items()
    if not isinstance(row, dict) or rng.random() < 0.03:
        rows[place] = rng.choice(({}, [], {name: row, "more": 1}, {"more": row}, None))
        return
    row = {key: value for key, value in row.items() if key not in {"checksum", "signed"}}
    draw = rng.random()
    if draw < 0.05:
        del rows[place]
    elif draw < 0.35 and name == "revision" and isinstance(row.get("record"), str):
        later = {"revision_id": _an_id(rng), "parents": [row.get("revision_id")]}
        rows.append({name: row | later | {"record": bent_value(row["record"], rng)}})
    elif draw < 0.4:
        rows.append(_a_line(row, rng))
    else:
        rows[place] = {name: bent_value(row, rng)}


def _an_id(rng: random.Random) -> str:
    return str(uuid.UUID(int=rng.getrandbits(128), version=4))


def _a_line(row: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """A line of the rarer kinds, about what another line is about."""
    whose = row.get("record_id") or _an_id(rng)
    erased = {"record_id": whose, "kind": row.get("kind", "setter"), "replica": _an_id(rng)}
    lines: tuple[dict[str, Any], ...] = (
        {"erased": erased | {"erased": "2026-11-20T18:30:00+00:00"}},
        {"prior": {"setter_id": whose, "sums": '{"setters":6}'}},
        {"course": {"course": "evenings", "version": 1, "text": 'id = "evenings"\nversion = 1\n'}},
    )
    line = rng.choice(lines)
    return {
        name: value if rng.random() < 0.5 else bent_value(value, rng)
        for name, value in line.items()
    }


_COUNTED = {
    "change": "changes",
    "revision": "revisions",
    "erased": "erased",
    "course": "courses",
    "prior": "priors",
}


def closed_bundle(manifest: Any, rows: list[Any]) -> bytes:
    """These lines under a manifest that counts and sums them."""
    body = b"".join(json.dumps(row, separators=(",", ":")).encode() + b"\n" for row in rows)
    if not isinstance(manifest, dict):
        return json.dumps(manifest).encode() + b"\n" + body
    kinds = [next(iter(row), "") for row in rows if isinstance(row, dict)]
    counted = {name: kinds.count(kind) for kind, name in _COUNTED.items()}
    sealed = {"bytes": len(body), "sha256": "0" * 64}
    head = json.dumps(manifest | counted | sealed, separators=(",", ":")).encode() + b"\n"
    digest = hashlib.sha256(head + body).hexdigest()
    return head.replace(b"0" * 64, digest.encode(), 1) + body


_SAID = re.compile(rb'(?<=>)[^<>]+(?=<)|(?<==")[^"]*(?=")')
_ELEMENT = re.compile(rb"<(row|c|si|mergeCell|col|sheet)\b[^>]*?(?:/>|>.*?</\1>)", re.DOTALL)


def bent_workbook(data: bytes, rng: random.Random) -> bytes:
    """A workbook bent in one of its parts, mostly so that it is read still, and packed again."""
    if rng.random() < 0.05:
        return bent(data, rng)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = {name: packed.read(name) for name in packed.namelist()}
    except NOT_TO_BE_OPENED:
        return bent(data, rng)
    if not parts:
        return bent(data, rng)
    sheets = [name for name in parts if "sheet" in name.lower() or "shared" in name.lower()]
    for _ in range(rng.choice((1, 1, 2, 4))):
        name = rng.choice(sheets if sheets and rng.random() < 0.85 else sorted(parts))
        parts[name] = bent_xml(parts[name], rng)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for part, content in parts.items():
            packed.writestr(part, content)
    return out.getvalue()


def bent_xml(data: bytes, rng: random.Random) -> bytes:
    """XML in which a text says something else, or an element is not there or there twice."""
    draw = rng.random()
    if draw < 0.1:
        return bent(data, rng)
    spans = list((_SAID if draw < 0.8 else _ELEMENT).finditer(data))
    if not spans:
        return bent(data, rng)
    span = rng.choice(spans)
    if draw >= 0.8:
        said = span[0] * rng.choice((0, 2, 2, 200))
    elif rng.random() < 0.5:
        said = rng.choice(spans)[0]
    else:
        odd = "".join(letter for letter in _odd_text(rng) if letter >= " " or rng.random() < 0.1)
        said = html.escape(odd).encode("utf-8", "replace")
    return data[: span.start()] + said + data[span.end() :]


def _odd_text(rng: random.Random) -> str:
    return rng.choice(ODD).decode("utf-8", "replace")


def bent_sheet(data: bytes, rng: random.Random) -> bytes:
    """A sheet of text bent in a few of its cells, rows and columns, the others as they were."""
    if rng.random() < 0.2:
        return bent(data, rng)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
    sign = max("\t;,", key=text.partition("\n")[0].count)
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=sign))
    except csv.Error:
        return bent(data, rng)
    for _ in range(rng.choice((1, 1, 2, 4, 8))):
        _bend_a_row(rows, rng)
    out = io.StringIO()
    csv.writer(out, delimiter=sign, lineterminator=rng.choice(("\n", "\r\n"))).writerows(rows)
    return out.getvalue().encode()


def _bend_a_row(rows: list[list[str]], rng: random.Random) -> None:
    if not any(rows):
        return
    place = rng.choice([number for number, row in enumerate(rows) if row])
    row, column = rows[place], rng.randrange(len(rows[place]))
    other = rng.choice(rng.choice([row for row in rows if row]))
    match rng.randrange(10):
        case 0:
            rows[place:place] = [list(row)] * rng.choice((1, 1, 30))
        case 1:
            del rows[place]
        case 2:
            rows[0][column : column + 1] = [rng.choice(rows[0] or [""])]
        case 3:
            for each in rows:
                del each[column : column + 1]
        case 4 | 5:
            row[column] = other
        case 6:
            row[column] += rng.choice(("?", " ", ";", "-", "/", "mm", ",5", other))
        case 7:
            row[column] = row[column][: rng.randrange(len(row[column]) + 1)]
        case _:
            row[column] = _odd_text(rng)


_SETTING = re.compile(r"^(\s*[\w.-]+\s*=\s*)(.+)$")
_ODD_SETTINGS = (
    *('""', '"x"', "-1", "0", "1e308", "nan", "-inf", "9" * 400, "[]", "{}", "[[]]", "true"),
    *("1979-05-27", "07:32:00", f'"{"x" * 5000}"', '"\\u202e"', '"../../x"', '[1, "a"]', "{a = 1}"),
    *('"free"', "0.0001", "1e-320", '"2.0"', '["loose"]', "[" * 900 + "]" * 900),
)


def bent_course(data: bytes, rng: random.Random) -> bytes:
    """A course bent in a few of its lines and tables, so that it is TOML still."""
    if rng.random() < 0.15:
        return bent(data, rng)
    lines = data.decode("utf-8", "replace").split("\n")
    for _ in range(rng.choice((1, 1, 2, 4))):
        place = rng.randrange(len(lines))
        tables = [number for number, line in enumerate(lines) if line.startswith("[")]
        match rng.randrange(8):
            case 0:
                del lines[place : place + rng.choice((1, 1, 6))]
                lines = lines or [""]
            case 1 if len(tables) > 1:
                begin = rng.randrange(len(tables) - 1)
                piece = lines[tables[begin] : tables[begin + 1]]
                lines[place:place] = piece
            case 2:
                lines.insert(place, f"more = {rng.choice(_ODD_SETTINGS)}")
            case _:
                _set_otherwise(lines, rng)
    return "\n".join(lines).encode()


def _set_otherwise(lines: list[str], rng: random.Random) -> None:
    """One setting of the file has an odd value, or that of another."""
    settings = [
        (number, found) for number, line in enumerate(lines) if (found := _SETTING.match(line))
    ]
    if settings:
        place, found = rng.choice(settings)
        value = rng.choice((rng.choice(_ODD_SETTINGS), rng.choice(settings)[1][2]))
        lines[place] = found[1] + value


def bent_logbook(data: bytes, rng: random.Random) -> bytes:
    """A logbook bent in a few cells of its tables, as no program of ours would leave it.

    Half of them with the checksums that belong to what it says now, as who means it would.
    """
    if rng.random() < 0.2:
        return bent(data, rng)
    with tempfile.TemporaryDirectory(prefix="bent-") as folder:
        file = Path(folder) / "book.sqlite"
        file.write_bytes(data)
        connection = sqlite3.connect(file)
        try:
            connection.execute("PRAGMA ignore_check_constraints = 1")
            for _ in range(rng.choice((1, 1, 2, 4))):
                _bend_a_cell(connection, rng)
            connection.commit()
            if rng.random() < 0.5:
                _seal(connection)
        except NOT_TO_BE_OPENED:
            return bent(data, rng)
        finally:
            connection.close()
        return file.read_bytes()


def _seal(connection: sqlite3.Connection) -> None:
    with contextlib.suppress(*NOT_TO_BE_OPENED, TypeError, AttributeError):
        connection.execute("UPDATE change SET checksum = NULL")
        connection.execute("UPDATE revision SET checksum = NULL")
        fill_checksums(Database(connection))
    connection.commit()


def _bend_a_cell(connection: sqlite3.Connection, rng: random.Random) -> None:
    tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    name = "revision" if rng.random() < 0.3 else rng.choice(sorted(tables))[0]
    columns = [row[1] for row in connection.execute(f"PRAGMA table_info('{name}')")]
    column = rng.choice(columns)
    held = connection.execute(f'SELECT rowid, "{column}" FROM "{name}"').fetchall()  # noqa: S608 - names of the file's own tables
    if not held:
        return
    row, value = rng.choice(held)
    odd = bent_value(value, rng)
    if isinstance(odd, dict | list | bool) or (isinstance(odd, int) and abs(odd) >= 2**63):
        odd = json.dumps(odd)
    if isinstance(odd, str):
        odd = odd.encode("utf-8", "surrogatepass").decode("utf-8", "replace")
    with contextlib.suppress(sqlite3.Error):
        connection.execute(f'UPDATE "{name}" SET "{column}" = ? WHERE rowid = ?', (odd, row))  # noqa: S608 - as above
