"""Views for notebooks: a row an attempt, a look, a tool check, in millimetres and ISO time.

They follow from the kinds of record, so a field that is added is in them; they hold nothing of
their own and are made anew where the file's are not these. What was taken out is not in them.

| view | a row is | beside its fields |
|---|---|---|
| `attempt_mm` | an attempt that stands | the setter's name; `extra` is one JSON object |
| `look_mm` | another's look, or one's own second | `setter`, `own_result`, who looked by name |
| `tool_check_mm` | a check of a tool | the tool's name |
| `class_member` | a stay of a setter in a class | `setter`, `class`, `begins`, `ends`, `evening` |
| `class_message` | a word to a student or a class | `setter`, `class`, who wrote by name |

A length is millimetres, a time ISO 8601 with its offset, yes/no is 1 or 0, several values are
joined by `;`, and empty is NULL.
"""

import functools
from collections.abc import Mapping

from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import kind_named
from platebook.logbook.row_values import TableColumn

_JOINED = {
    "attempt": "JOIN setter AS s ON s.setter_id = t.setter_id",
    "inspection": """
        JOIN attempt AS a ON a.attempt_id = t.attempt_id AND a.hidden = 0
        JOIN setter AS s ON s.setter_id = a.setter_id
        LEFT JOIN setter AS who ON who.setter_id = t.inspector
        LEFT JOIN teacher AS mentor ON mentor.teacher_id = t.inspector""",
    "membership": """
        JOIN setter AS s ON s.setter_id = t.setter_id
        JOIN class AS c ON c.class_id = t.class_id AND c.hidden = 0""",
    "message": """
        LEFT JOIN setter AS s ON s.setter_id = t.setter_id
        LEFT JOIN class AS c ON c.class_id = t.class_id
        LEFT JOIN setter AS who ON who.setter_id = t.author
        LEFT JOIN teacher AS mentor ON mentor.teacher_id = t.author""",
    "tool_check": "LEFT JOIN tool AS o ON o.tool_id = t.tool_id",
}
_BESIDE = {
    "attempt": ("s.name AS setter",),
    "inspection": (
        "s.name AS setter",
        "coalesce(who.name, mentor.name, t.inspector) AS looked_by",
        "(SELECT group_concat(value, ';') FROM json_each(a.result)) AS own_result",
    ),
    "tool_check": ("o.name AS tool",),
    "membership": ("s.name AS setter", 'c.name AS "class"', "c.begins", "c.ends", "c.evening"),
    "message": (
        "s.name AS setter",
        'c.name AS "class"',
        "coalesce(who.name, mentor.name, t.author) AS written_by",
    ),
}
_VIEWS = {
    "attempt": "attempt_mm",
    "inspection": "look_mm",
    "tool_check": "tool_check_mm",
    "membership": "class_member",
    "message": "class_message",
}


@functools.cache
def views() -> Mapping[str, str]:
    """The statement that makes each view, by its name."""
    return {view: _statement(kind, view) for kind, view in _VIEWS.items()}


def make_views(db: Database) -> None:
    """Make the views of this file what they are to be; a file that has them is left as it is."""
    rows = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'view'").fetchall()
    there = {name: sql for name, sql in rows if name in views()}
    if there == views():
        return
    drop_views(db)
    for statement in views().values():
        db.execute(statement)


def drop_views(db: Database) -> None:
    """Take the views away, as before a step that changes the tables under them."""
    for name in views():
        db.execute(f"DROP VIEW IF EXISTS {name}")


def _statement(name: str, view: str) -> str:
    kind = kind_named(name)
    columns = ", ".join((*_BESIDE[name], *(_shown(column) for column in kind.columns.columns)))
    return (
        f"CREATE VIEW {view} AS SELECT {columns} FROM {name} AS t {_JOINED[name]}"  # noqa: S608 - names of our own
        " WHERE t.hidden = 0"
    )


def _shown(column: TableColumn) -> str:
    first = column.stored_as[0]
    match column.type:
        case "length":
            return f't.{first} / 1000.0 AS "{column.name}"'
        case "datetime":
            return f'{_iso(*column.stored_as)} AS "{column.name}"'
        case "list":
            listed = f"(SELECT group_concat(value, ';') FROM json_each(t.{first}))"  # noqa: S608 - ours
            return f'{listed} AS "{column.name}"'
        case "pairs":
            pair = "json_extract(value, '$[0]'), json_extract(value, '$[1]')"
            listed = f"(SELECT json_group_object({pair}) FROM json_each(t.{first}))"  # noqa: S608 - ours
            return f'CASE WHEN t.{first} IS NOT NULL THEN {listed} END AS "{column.name}"'
        case _:
            return f't."{first}" AS "{column.name}"'


def _iso(at: str, offset: str) -> str:
    local = f"strftime('%Y-%m-%dT%H:%M:%S', t.{at} / 1000000 + 60 * t.{offset}, 'unixepoch')"
    sign = f"CASE WHEN t.{offset} < 0 THEN '-' ELSE '+' END"
    return f"{local} || {sign} || printf('%02d:%02d', abs(t.{offset}) / 60, abs(t.{offset}) % 60)"
