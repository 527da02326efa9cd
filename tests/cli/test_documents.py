"""docs/commands.md and docs/json.md say what the program has, no more and no less."""

import json
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import pytest
from tests.cli.shell import Shell, keys_of, with_ada
from tests.documents.json_types import is_of, values_at

from platebook.cli.main import main
from platebook.logbook import open_logbook
from platebook.logbook.records import add_inspections
from platebook.practice.records import Inspection
from platebook.practice.results import LAST

DOCS = Path(__file__).parents[2] / "docs"
COURSE_FILE = Path(__file__).parents[2] / "curricula" / "small-to-large.toml"


def _leaves(group: click.Group, ctx: click.Context) -> Iterator[tuple[str, click.Command]]:
    """Each command by the words that call it."""
    for name in group.list_commands(ctx):
        command = group.get_command(ctx, name)
        assert command is not None
        if isinstance(command, click.Group):
            yield from ((f"{name} {inner}", leaf) for inner, leaf in _leaves(command, ctx))
        else:
            yield name, command


COMMANDS = dict(_leaves(main, click.Context(main)))


def _takes_json(command: click.Command) -> bool:
    return any(parameter.name == "as_json" for parameter in command.params)


def _examples() -> list[str]:
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    return re.findall(r"^\|[^|]*\| `platebook ([^`]*)` \|", text, re.MULTILINE)


def _documented() -> dict[str, dict[str, str]]:
    """The keys in each section of docs/json.md, with their types."""
    text = (DOCS / "json.md").read_text(encoding="utf-8")
    parts = re.split(r"^## (.+)$", text, flags=re.MULTILINE)[1:]
    sections = dict(zip(parts[::2], parts[1::2], strict=True))
    return {
        name: dict(re.findall(r"^\| `([^`]+)` \| ([^|]+) \|", body, re.MULTILINE))
        for name, body in sections.items()
    }


def test_every_command_is_documented_and_no_other() -> None:
    """The table of commands is the program's own list."""
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    named = set(re.findall(r"^\| `([a-z -]+)` \|", text, re.MULTILINE))
    assert named == set(COMMANDS)


def test_every_example_is_a_command_with_options_it_has() -> None:
    """An example line that is typed as it stands is understood."""
    wrong = []
    for example in _examples():
        name = next(n for n in sorted(COMMANDS, key=len, reverse=True) if example.startswith(n))
        params = COMMANDS[name].params
        known = {option for p in params for option in (*p.opts, *p.secondary_opts)}
        wrong += [o for o in re.findall(r"(?<!\S)--[a-z-]+", example) if o not in known]
    assert (wrong, len(_examples()) >= len(COMMANDS)) == ([], True)


def test_every_command_that_takes_json_has_its_section() -> None:
    """The sections of docs/json.md are the commands with `--json`."""
    assert set(_documented()) == {name for name, c in COMMANDS.items() if _takes_json(c)}


def test_the_commands_that_read_take_json() -> None:
    """The design promises `--json` on every command that reads."""
    reading = {"sizes", "log", "show", "findings", "progress", "next", "setter list", "drawer list"}
    reading |= {"plate list", "course list", "course show", "course check", "check"}
    assert {name for name in reading if not _takes_json(COMMANDS[name])} == set()


def _season_asks(*words: str) -> Callable[[Shell, Shell], dict[str, Any]]:
    return lambda season, _: season.answers(*words)


def _ada_asks(*words: str, first: tuple[str, ...] = ()) -> Callable[[Shell, Shell], dict[str, Any]]:
    def asks(_: Shell, ada: Shell) -> dict[str, Any]:
        if first:
            ada.runs(*first)
        return ada.answers(*words)

    return asks


def _show(_: Shell, ada: Shell) -> dict[str, Any]:
    """Of an attempt that somebody else has looked at."""
    made = ada.runs("record", "--result", "good").stdout.strip()
    with open_logbook(ada.logbook) as book:
        look = Inspection(attempt_id=made, inspector="Tutor Vale", result=("gap",))
        book.tell(
            add_inspections,
            [look],
            book.stamp("Tutor Vale", datetime(2026, 2, 3, tzinfo=UTC), "inspect"),
        )
    return ada.answers("show", made)


def _amend(_: Shell, ada: Shell) -> dict[str, Any]:
    made = ada.runs("record", "--result", "good").stdout.strip()
    return ada.answers("amend", made, "fit=2")


def _import(_: Shell, ada: Shell) -> dict[str, Any]:
    """For the second time, a verdict corrected, a stone twice more, and a word nobody knows."""
    head = "began,stone_diameter_mm,fit,result\n"
    for result, more in (("good", ""), ("loose", "2026-02-03 18:40,2,loosely,good\n" * 2)):
        row = f"2026-02-03 18:30,2,loosely,{result}\n"
        (ada.folder / "in.csv").write_text(head + row + more, encoding="utf-8")
        found = ada.answers("import", "in.csv")
    return found


OTHER = ("--logbook", "other.sqlite")


def _something_waits(ada: Shell) -> None:
    """Another logbook puts a next version of Ada's course in force, and erases Cato."""
    own = COURSE_FILE.read_text(encoding="utf-8").replace('id = "small-to-large"', 'id = "mine"', 1)
    file = ada.folder / "mine.toml"
    file.write_text(own, encoding="utf-8")
    ada.runs("course", "use", "mine.toml")
    ada.runs("setter", "add", "Cato Finn")
    ada.runs("record", "--setter", "Cato Finn", "--result", "good")
    (ada.folder / "class").mkdir()
    ada.runs("share", "class")
    ada.runs("share", "class", "--all", *OTHER)
    ada.runs("setter", "add", "Bram Osk", *OTHER)
    ada.runs("setter", "use", "Bram Osk", *OTHER)
    file.write_text(own.replace("version = 3", "version = 4", 1), encoding="utf-8")
    ada.runs("course", "use", "mine.toml", "--yes", *OTHER)
    ada.runs("setter", "erase", "Cato Finn", "--yes", *OTHER)
    ada.runs("share", "class", "--all", *OTHER)


def _share(_: Shell, ada: Shell) -> dict[str, Any]:
    """With another logbook that clashes and asks, and a file that is no bundle."""
    made = ada.runs("record", "--result", "good").stdout.strip()
    _something_waits(ada)
    ada.runs("amend", made, "fit=2")
    ada.runs("amend", made, "fit=3", *OTHER)
    ada.runs("share", "class", *OTHER)
    (ada.folder / "class" / "odd.platebook").write_text("odd", encoding="utf-8")
    found = json.loads(ada.runs("share", "class", "--json", code=1).stdout)
    assert isinstance(found, dict)
    ada.runs("key", "waiting", "Ada Quill", "--take")
    clashing = json.loads(ada.runs("share", "class", "--json", code=1).stdout)
    found = {**found, "clashes": clashing["clashes"], "received": clashing["received"]}
    tutor = ("--logbook", "tutor.sqlite")
    ada.runs(*TEACHES, *tutor)
    ada.runs("class", "new", "Thursday", *tutor)
    waiting = json.loads(ada.runs("share", "class", "--json", *tutor, code=1).stdout)["waiting"]
    return {**found, "waiting": waiting}


def _waiting(_: Shell, ada: Shell) -> dict[str, Any]:
    """Of a logbook in which somebody else changed an attempt."""
    made = ada.runs("record", "--result", "good").stdout.strip()
    _something_waits(ada)
    ada.runs("amend", made, "fit=3", *OTHER)
    ada.runs("share", "class", *OTHER)
    ada.runs("share", "class")
    return ada.answers("key", "waiting")


def _after_sharing(*words: str) -> Callable[[Shell, Shell], dict[str, Any]]:
    """Of a logbook in which something waits."""

    def asks(_: Shell, ada: Shell) -> dict[str, Any]:
        _something_waits(ada)
        ada.runs("share", "class")
        return ada.answers(*words)

    return asks


def _course_check(_: Shell, ada: Shell) -> dict[str, Any]:
    """The problems of a course that cannot be used, and the run lengths of one that can."""
    text = COURSE_FILE.read_text(encoding="utf-8")
    (ada.folder / "own.toml").write_text(text, encoding="utf-8")
    sound = ada.answers("course", "check", "own.toml")
    (ada.folder / "own.toml").write_text(text + "\n[[grades]]\n", encoding="utf-8")
    done = ada.runs("course", "check", "own.toml", "--json", code=1)
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    assert found["run_lengths"] == []
    return found | {"run_lengths": sound["run_lengths"]}


BORE_GAUGE = ("drawer", "add", "measuring", "--name", "bore gauge", "--mpe", "0.004")
CHECK = ("drawer", "check", "bore gauge", "--against", "2", "--reading", "2", "--reading", "2.01")


INVENTED = ("--logbook", "invented-class.sqlite")


def _class_asks(*words: str) -> Callable[[Shell], dict[str, Any]]:
    return lambda demo: demo.answers("class", *words, *INVENTED)


def _sign_off(_: Shell, ada: Shell) -> dict[str, Any]:
    """Of a grade that has its points, in a course that asks for it."""
    text = COURSE_FILE.read_text(encoding="utf-8").replace(
        'id = "small-to-large"', 'id = "signed"', 1
    )
    (ada.folder / "own.toml").write_text(f"sign_off = true\n{text}", encoding="utf-8")
    ada.runs("course", "use", "own.toml")
    for _number in range(11):
        ada.runs("record", "--grade", "copper-1.5", "--result", "good")
    return ada.answers("class", "sign-off", "Ada Quill", "copper-1.5", "--by", "Marta Corvo")


def _findings(demo: Shell) -> dict[str, Any]:
    """Of one in the invented class, whose seats were measured, and who runs a block."""
    asked = ("findings", "--values", *INVENTED)
    block = ("kind=block", "block=1", "block_run=1", f"block_levels={PLANNED}")
    pairs = [word for pair in block for word in ("--set", pair)]
    demo.runs("record", "--result", "good", *pairs, *INVENTED)
    found, leaning = demo.answers(*asked), demo.answers(*asked, "--setter", "Tove Lindmark")
    return {**found, "clocks": leaning["clocks"]}


PLANNED = "loose by burnish_passes: burnish_passes 1 low"


def _next(demo: Shell) -> dict[str, Any]:
    """Of one in the invented class who settles a lead by a block, and has something to mind."""
    return demo.answers("next", "--settle", "burnish_passes", "--defect", "loose", *INVENTED)


def _progress(season: Shell, ada: Shell) -> dict[str, Any]:
    """By the calendar, and of one who also sets a stone of their own."""
    ada.runs("import", str(_own_work(ada)))
    ada.runs("record", "--kind", "part", "--part", "width", "--result", "good")
    own = ada.answers("progress")
    beside = {"own_work": own["own_work"], "rows": own["rows"]}
    return {**season.answers("progress", "--by", "month"), **beside}


def _own_work(shell: Shell) -> Path:
    file = shell.folder / "own.csv"
    rows = [f"5,platinum,good,stone {number}" for number in range(LAST)]
    text = "\n".join(["stone_diameter_mm,metal,result,note", *rows])
    file.write_text(text, encoding="utf-8")
    return file


def _drawer_list(_: Shell, ada: Shell) -> dict[str, Any]:
    ada.runs(*BORE_GAUGE)
    ada.runs(*CHECK)
    return ada.answers("drawer", "list")


def _study(_: Shell, ada: Shell) -> dict[str, Any]:
    rows = [f"{p},{who},{2 + p / 10 + n / 100}" for p in (1, 2) for who in "ab" for n in (0, 1)]
    text = "\n".join(["part,person,reading", *rows])
    (ada.folder / "study.csv").write_text(text, encoding="utf-8")
    return ada.answers("drawer", "study", "study.csv")


RECORD = ("record", "--diameter", "2.0", "--result", "good")


def _seeing(_: Shell, ada: Shell) -> dict[str, Any]:
    ada.runs(*SEEN)
    return ada.answers("seeing", "show")


def _begin(_: Shell, ada: Shell) -> dict[str, Any]:
    """With the start file of a class."""
    ada.runs(*THURSDAY)
    ada.runs("class", "start", "starts", "--group", "Thursday", "--share", "class")
    return ada.answers("begin", "starts/Cleo Vane.start.json", "--logbook", "cleo.sqlite")


def _doubles(_: Shell, ada: Shell) -> dict[str, Any]:
    ada.runs("setter", "add", "Ada Quil")
    for name in ("Lynn Crane", "Lin Crane"):
        ada.runs("teacher", "add", name)
    return ada.answers("setter", "doubles")


def _teacher_merge(_: Shell, ada: Shell) -> dict[str, Any]:
    for name in ("Lynn Crane", "Lin Crane"):
        ada.runs("teacher", "add", name)
    return ada.answers("teacher", "merge", "Lynn Crane", "Lin Crane")


ANOTHER = ("setter", "add", "A. Quill")
TEACHES = ("teacher", "add", "Isolde Crane")
THURSDAY = ("class", "new", "Thursday", "Ada Quill", "Cleo Vane", "--begins", "2026-01-08")
SEEN = ("seeing", "keep", "R", "1=good", "2=loose 2", "3=gap", "4=good")
PLATE = ("plate", "new", "copper 1", "--width", "50", "--height", "30")
PRINTED: dict[str, Callable[[Shell, Shell], dict[str, Any]]] = {
    "sizes": _season_asks("sizes", "1.95-2.01", "--sheet=1.2", "--curve=ring 10", "--pitch=2.6"),
    "log": _season_asks("log"),
    "message": _season_asks("message"),
    "progress": _progress,
    "show": _show,
    "record": _ada_asks(*RECORD),
    "amend": _amend,
    "undo": _ada_asks("undo", first=RECORD),
    "redo": _ada_asks("redo", first=("undo",)),
    "setter add": _ada_asks("setter", "add", "Bram Osk"),
    "setter list": _ada_asks("setter", "list"),
    "setter rules": _ada_asks("setter", "rules"),
    "look-again": _season_asks("look-again"),
    "seeing show": _seeing,
    "seeing keep": _ada_asks(*SEEN),
    "seeing judge": _ada_asks(
        "seeing", "judge", "R", "1=good", "2=good", "3=gap", "4=good", first=SEEN
    ),
    "setter use": _ada_asks("setter", "use", "Ada Quill"),
    "setter merge": _ada_asks("setter", "merge", "Ada Quill", "A. Quill", first=ANOTHER),
    "setter erase": _ada_asks("setter", "erase", "A. Quill", "--yes", first=ANOTHER),
    "setter erasures": _after_sharing("setter", "erasures"),
    "setter edit": _ada_asks("setter", "edit", "Ada Quill", "--group", "Thursday"),
    "teacher add": _ada_asks("teacher", "add", "Isolde Crane"),
    "teacher edit": _ada_asks("teacher", "edit", "Isolde Crane", "--away", first=TEACHES),
    "teacher merge": _teacher_merge,
    "teacher use": _ada_asks("teacher", "use", "Isolde Crane", first=TEACHES),
    "teacher erase": _ada_asks("teacher", "erase", "Isolde Crane", "--yes", first=TEACHES),
    "teacher list": _ada_asks("teacher", "list", first=TEACHES),
    "class new": _ada_asks(*THURSDAY),
    "class list": _ada_asks("class", "list", first=THURSDAY),
    "class add": _ada_asks("class", "add", "Thursday", "Bram Osk", first=THURSDAY),
    "class remove": _ada_asks("class", "remove", "Thursday", "Ada Quill", first=THURSDAY),
    "class edit": _ada_asks("class", "edit", "Thursday", "--evening", "thursday", first=THURSDAY),
    "class end": _ada_asks("class", "end", "Thursday", first=THURSDAY),
    "class start": _ada_asks("class", "start", "starts", "--group", "Thursday", first=THURSDAY),
    "begin": _begin,
    "setter doubles": _doubles,
    "class compare": _ada_asks("class", "compare", "Thursday", first=THURSDAY),
    "class sign-off": _sign_off,
    "class export": _ada_asks("class", "export", "class.xlsx"),
    "drawer add": _ada_asks("drawer", "add", "pin", "2.0"),
    "drawer list": _drawer_list,
    "drawer take-out": _ada_asks("drawer", "take-out", "1.9 mm setting bur"),
    "drawer check": _ada_asks(*CHECK, first=BORE_GAUGE),
    "drawer study": _study,
    "plate new": _ada_asks(*PLATE),
    "plate show": _ada_asks("plate", "show", "copper 1", first=PLATE),
    "plate list": _ada_asks("plate", "list", first=PLATE),
    "plate paper": _ada_asks("plate", "paper", "tonight.svg", "--rows", "8"),
    "plate print": _ada_asks("plate", "print", "copper 1", "plate.svg", first=PLATE),
    "course list": _after_sharing("course", "list"),
    "course show": _after_sharing("course", "show", "mine"),
    "course new": _ada_asks("course", "new", "evening.toml", "--id", "evening"),
    "course use": _ada_asks("course", "use", "small-to-large"),
    "course take": _after_sharing("course", "take", "mine", "--yes"),
    "course refuse": _after_sharing("course", "refuse", "mine"),
    "course check": _course_check,
    "key list": _ada_asks("key", "list"),
    "key paper": _ada_asks("key", "paper"),
    "key waiting": _waiting,
    "import": _import,
    "share": _share,
    "export": _ada_asks("export", "out.csv"),
    "report": _ada_asks("report", "ada.html"),
    "backup": _ada_asks("backup", "copy.sqlite"),
    "restore": _ada_asks("restore", "copy.sqlite", first=("backup", "copy.sqlite")),
    "where": _ada_asks("where", first=("backup",)),
    "glossary": _ada_asks("glossary", "tilted"),
    "check": _ada_asks("check"),
}
LEFT_OUT = ("left_out[].", "received[].left_out[].")
OF_THE_CLASS: dict[str, Callable[[Shell], dict[str, Any]]] = {
    "findings": _findings,
    "next": _next,
    "class register": _class_asks("register"),
    "class roster": _class_asks("roster"),
    "class progress": _class_asks("progress"),
    "class findings": _class_asks("findings"),
    "class inspect": _class_asks("inspect"),
}
BY_REFERENCE = {
    "show": ("attempt.",),
    "share": ("erasings[].", "received[].asks_to_erase[].", "courses[].", *LEFT_OUT),
    "next": ("sizes.", "run.", "block.runs[].levels.", "block.runs[].values.", "thanks."),
}


def test_every_shape_is_compared() -> None:
    """No section of docs/json.md goes unchecked."""
    assert {*PRINTED, *OF_THE_CLASS} == set(_documented())


@pytest.mark.parametrize("name", PRINTED)
def test_the_documented_keys_are_the_printed_ones(season: Shell, tmp_path: Path, name: str) -> None:
    """Each key that is printed is in the table of its section with its type, and no other."""
    _compare(name, PRINTED[name](season, with_ada(tmp_path)))


@pytest.mark.parametrize("name", OF_THE_CLASS)
def test_the_documented_keys_are_those_printed_of_a_class(invented_class: Path, name: str) -> None:
    """The same for what wants many attempts, or a class."""
    _compare(name, OF_THE_CLASS[name](Shell(invented_class.parent)))


def _compare(name: str, answer: dict[str, Any]) -> None:
    """Keys below one that the page says has another section's keys are compared there."""
    elsewhere = BY_REFERENCE.get(name, ())
    printed = {key for key in set(keys_of(answer)) - {"schema"} if not key.startswith(elsewhere)}
    types = _documented()[name]
    wrong = {
        f"{key}: {types[key]}, but {value!r}"
        for key, value in values_at(answer)
        if key in types and not is_of(value, types[key])
    }
    missing, unprinted = printed - set(types), set(types) - printed
    assert (missing, unprinted, wrong) == (set(), set(), set())
