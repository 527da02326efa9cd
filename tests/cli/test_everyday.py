"""Correcting, taking back, people, tools, courses, copies and the demo by command."""

from tests.cli.shell import ADA, COURSE, Shell

BRAM = "Bram Osk"
OWN = "evening-of-ours"


def _recorded(shell: Shell, *words: str) -> str:
    return shell.runs("record", "--result", "good", *words).stdout.strip()


def test_an_amendment_is_in_the_history_and_can_be_taken_back(ada: Shell) -> None:
    """The field is corrected, the attempt as it was stays told, undo restores it."""
    made = _recorded(ada, "--fit", "3", "--note", "first")
    ada.runs("amend", made[-6:], "fit=2", "note=")
    shown = ada.answers("show", made)
    assert (shown["attempt"]["fit"], shown["attempt"]["note"]) == ("enters with a firm push", None)
    assert ["logged" in shown["history"][0], "corrected" in shown["history"][1]] == [True, True]
    ada.runs("undo")
    assert ada.answers("show", made)["attempt"]["note"] == "first"
    ada.runs("redo")
    assert ada.answers("show", made)["attempt"]["note"] is None


def test_an_amendment_that_does_not_fit_changes_nothing(ada: Shell) -> None:
    """One faulty field of two leaves both as they were."""
    made = _recorded(ada, "--bur", "1.9")
    ada.runs("amend", made, "seat_bur_mm=wide", "note=second", code=1)
    row = ada.attempts()[0]
    assert (row["seat_bur_mm"], row["note"]) == (1.9, None)


def test_a_hidden_attempt_counts_nowhere_until_undone(ada: Shell) -> None:
    """`--hide` takes it out of the log and the counts."""
    made = _recorded(ada)
    ada.runs("amend", made, "--hide")
    assert (ada.attempts(), ada.answers("findings")["attempts"]) == ([], 0)
    ada.runs("undo")
    assert len(ada.attempts()) == 1


def test_the_log_is_newest_first_and_filtered_by_words(ada: Shell) -> None:
    """`--last` counts from the newest, `--all` begins with the oldest."""
    for day, lubricant in enumerate(("dry", "wax", "oil"), 1):
        _recorded(ada, "--when", f"2026-02-0{day} 18:30", "--note", f"{lubricant} plate")
    notes = [row["note"] for row in ada.answers("log", "--last", "2")["attempts"]]
    assert notes == ["oil plate", "wax plate"]
    assert [row["note"] for row in ada.attempts()] == ["dry plate", "wax plate", "oil plate"]
    found = ada.answers("log", "--words", "PLATE wax")["attempts"]
    assert [row["note"] for row in found] == ["wax plate"]
    lines = ada.runs("log").stdout.splitlines()
    assert [line.split()[1] for line in lines] == ["began", *(f"2026-02-0{d}" for d in (3, 2, 1))]


def test_answers_are_those_of_the_setter_asked_about(ada: Shell) -> None:
    """`--setter` asks about another person; `setter use` changes who is meant without it."""
    ada.runs("setter", "add", BRAM)
    _recorded(ada, "--set", f"setter={BRAM}")
    for command in ("findings", "progress", "log"):
        mine, theirs = ada.runs(command), ada.runs(command, "--setter", BRAM)
        assert mine.stdout != theirs.stdout, command
    assert ada.answers("findings", "--setter", BRAM)["attempts"] == 1
    ada.runs("setter", "use", "bram osk")
    assert ada.answers("findings")["setter"] == BRAM


def test_two_entries_of_one_person_become_one(ada: Shell) -> None:
    """Merging moves the attempts; undo parts them."""
    ada.runs("setter", "add", "A. Quill")
    _recorded(ada, "--set", "setter=A. Quill")
    ada.runs("setter", "merge", ADA, "A. Quill")
    people = ada.answers("setter", "list")["setters"]
    assert [(p["name"], p["attempts"]) for p in people] == [(ADA, 1)]
    ada.runs("undo")
    assert len(ada.answers("setter", "list")["setters"]) == 2


def test_a_merge_and_its_undo_name_both_persons(ada: Shell) -> None:
    """By name, or as two entries where both have the same; its command fits on one line."""
    ada.runs("setter", "add", "Ada Quil")
    suggested = ada.runs("setter", "doubles").stdout.splitlines()[-1].strip()
    assert (suggested[:23], len(suggested) < 80) == ("platebook setter merge ", True)
    assert ada.runs(*suggested.split()[1:]).stdout == (
        f"Ada Quil is now {ADA}; undo parts them again.\n"
    )
    ada.runs("undo")
    _recorded(ada, "--set", "setter=Ada Quil")
    ada.runs("setter", "merge", ADA, "Ada Quil")
    assert ada.runs("undo").stdout == (
        f"Taken back: merge of Ada Quil into {ADA}, with 1 attempt.\n"
    )
    assert ada.runs("redo").stdout.startswith(f"Put back: merge of Ada Quil into {ADA}")
    twin = ada.answers("setter", "add", ADA, "--group", "Thursday")["setter_id"]
    _recorded(ada, "--set", f"setter_id={twin}")
    first = ada.answers("setter", "list")["setters"][0]["setter_id"]
    merged = ada.runs("setter", "merge", first, twin).stdout
    assert merged == f"The two entries of {ADA} are one now; undo parts them again.\n"
    assert f"merge of two entries of {ADA}, with 1 attempt." in ada.runs("undo").stdout


def test_the_roster_has_each_ones_course(ada: Shell) -> None:
    """Also of one who chose none and follows the one offered first; in 80 columns."""
    ada.runs("setter", "add", "Bram Osk", "--group", "Thursday")
    lines = ada.runs("class", "roster").stdout.splitlines()
    assert [line.split()[-3] for line in lines] == [COURSE, COURSE]
    assert max(map(len, lines)) <= 80


def test_erasing_asks_first_and_leaves_no_byte(ada: Shell) -> None:
    """What would go is said; another name is a no; the name takes name and note out of the file."""
    ada.runs("setter", "add", BRAM)
    _recorded(ada, "--set", f"setter={BRAM}", "--note", "only mine to know")
    said = ada.runs("setter", "erase", BRAM, stdin="n\n", code=1).stderr
    for words in (
        f"{BRAM} goes with 1 attempt",
        "cannot be taken back",
        "It travels",
        "That is not",
    ):
        assert words in " ".join(said.split())
    assert len(ada.answers("setter", "list")["setters"]) == 2
    ada.runs("setter", "erase", BRAM, stdin=f"{BRAM.casefold()}\n")
    assert [p["name"] for p in ada.answers("setter", "list")["setters"]] == [ADA]
    left = b"".join(f.read_bytes() for f in ada.folder.iterdir() if f.is_file())
    assert (BRAM.encode() in left, b"only mine to know" in left) == (False, False)


def test_a_bur_from_the_drawer_counts_its_seats(ada: Shell) -> None:
    """A seat cut with a named bur is counted on it, and the bur is offered for its size."""
    bur = ada.answers("drawer", "list")["tools"][0]
    _recorded(ada, "--set", f"seat_bur={bur['name']}")
    _recorded(ada, "--set", f"seat_bur={bur['name']}")
    assert [row["seat_bur_uses"] for row in ada.attempts()] == [0, 1]
    assert ada.answers("drawer", "list")["tools"][0]["seats_cut"] == 2
    offered = ada.answers("sizes", "1.98")["seat_bur"]
    assert (offered["from"], offered["choose_mm"]) == ("drawer", 1.9)


def test_a_course_of_ones_own_is_checked_and_followed(ada: Shell) -> None:
    """From a shipped one, changed, checked with its line, then followed."""
    ada.runs("course", "new", "own.toml", "--like", "large-to-small", "--id", OWN)
    file = ada.folder / "own.toml"
    assert ada.answers("course", "check", "own.toml")["sound"] is True
    ada.runs("course", "use", "own.toml")
    assert (ada.answers("progress")["course"], ada.answers("next")["course"]) == (OWN, OWN)
    file.write_text("grades = 7\n", encoding="utf-8")
    assert "line" in ada.runs("course", "check", "own.toml", code=1).stderr
    ada.runs("course", "use", "own.toml", code=1)
    ada.runs("course", "use", COURSE)
    assert ada.answers("progress")["course"] == COURSE


def test_a_backup_restored_is_the_log_of_that_day(ada: Shell) -> None:
    """What was done since then is kept beside it, not lost."""
    _recorded(ada)
    ada.runs("backup", "copy.sqlite")
    _recorded(ada)
    kept = ada.answers("restore", "copy.sqlite")["kept"]
    assert (len(ada.attempts()), ada.answers("check")["whole"]) == (1, True)
    assert len(ada.answers("log", "--logbook", kept)["attempts"]) == 2


def test_the_demo_prints_findings_and_touches_no_logbook(shell: Shell) -> None:
    """Without a terminal: marked as invented, in sentences, and nothing left behind."""
    done = shell.runs("demo")
    first, *rest = done.stdout.splitlines()
    assert first.startswith("INVENTED")
    assert any(line.startswith("Next:") for line in rest)
    assert max(map(len, rest)) <= 80
    assert list(shell.folder.iterdir()) == []


def test_the_drawer_fits_a_terminal_of_80_columns(ada: Shell) -> None:
    """Long names and what a check says are folded in columns of their own."""
    name = "the caliper from the second drawer of the long bench"
    ada.runs("drawer", "add", "measuring", "--kind", "caliper", "--name", name, "--mpe", "0.02")
    ada.runs("drawer", "add", "measuring", "--name", "x" * 60)
    readings = [word for mm in ("2.01", "2.02", "2.01") for word in ("--reading", mm)]
    ada.runs("drawer", "check", name, "--against", "2", *readings)
    lines = ada.runs("drawer", "list").stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert "measuring  the caliper from the" in lines[1]
    assert "caliper, checked" in lines[1]
    assert lines[2].startswith(" " * 11 + "second drawer of the long")
    (tool,) = (t for t in ada.answers("drawer", "list")["tools"] if t["name"] == name)
    assert tool["measuring_kind"] == "caliper"
