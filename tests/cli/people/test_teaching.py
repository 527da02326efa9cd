"""Teaching from the command line: classes from pasted names, who is in use, who waits."""

from pathlib import Path

from tests.cli.shell import ADA, Shell, with_ada


def a_teacher(folder: Path) -> Shell:
    """A logbook in which Isolde teaches."""
    shell = Shell(folder)
    shell.runs("teacher", "add", "Isolde Crane")
    return shell


def test_sixty_pasted_names_are_a_class_that_one_undo_takes_back(tmp_path: Path) -> None:
    """The teacher stays in use, whoever is added."""
    shell = a_teacher(tmp_path)
    names = "\n".join(f"Student {number}" for number in range(60))
    done = shell.runs("class", "new", "Thursday", "--from", "-", stdin=names)
    assert "60 people, 60 of them new" in done.stdout
    assert [t["in_use"] for t in shell.answers("teacher", "list")["teachers"]] == [True]
    assert not any(s["in_use"] for s in shell.answers("setter", "list")["setters"])
    shell.runs("undo")
    assert shell.answers("setter", "list")["setters"] == []


def test_a_name_that_may_be_somebodys_is_asked_before_anything_is_written(tmp_path: Path) -> None:
    """With the ways to answer; --is and --new answer it."""
    shell = with_ada(tmp_path)
    refused = shell.runs("class", "new", "Thursday", "Ada Quil", "Bram Osk", code=1)
    assert "Ada Quil: is this Ada Quill (0 attempts)?" in refused.stderr
    assert "--is 'NAME=PERSON' or --new NAME" in refused.stderr
    assert shell.answers("class", "list")["classes"] == []
    shell.runs("class", "new", "Thursday", "Ada Quil", "Bram Osk", "--is", f"Ada Quil={ADA}")
    roster = shell.answers("class", "roster", "--group", "thursday")["setters"]
    assert [(s["name"], s["group"], s["classes"]) for s in roster] == [
        (ADA, "Thursday", ["Thursday"]),
        ("Bram Osk", "Thursday", ["Thursday"]),
    ]


def test_whoever_is_in_use_is_taken_out_of_use(tmp_path: Path) -> None:
    """A setter or a teacher; one of the two has to be named."""
    shell = with_ada(tmp_path)
    shell.runs("setter", "use", "--nobody")
    assert "nobody is in use" in shell.runs("next", code=1).stderr
    shell.runs("teacher", "add", "Isolde Crane")
    assert "who teaches and has no log" in shell.runs("next", code=1).stderr
    shell.runs("setter", "use", "--nobody")
    assert not shell.answers("teacher", "list")["teachers"][0]["in_use"]
    shell.runs("setter", "use", code=2)


def test_a_class_that_is_not_there_is_told_with_those_near_it(tmp_path: Path) -> None:
    """As are teachers."""
    shell = a_teacher(tmp_path)
    shell.runs("class", "new", "Thursday")
    assert "Did you mean Thursday?" in shell.runs("class", "end", "Thurday", code=1).stderr
    near = shell.runs("teacher", "use", "Isolda", code=1).stderr
    assert "Did you mean Isolde Crane?" in near


def test_who_waits_in_the_folder_is_named_with_how_to_let_them_in(tmp_path: Path) -> None:
    """And is in the class then."""
    shell = with_ada(tmp_path)
    (tmp_path / "class").mkdir()
    shell.runs("share", "class")
    tutor = ("--logbook", "tutor.sqlite")
    shell.runs("teacher", "add", "Isolde Crane", *tutor)
    shell.runs("class", "new", "Thursday", *tutor)
    told = " ".join(shell.runs("share", "class", *tutor).stdout.split())
    assert "1 person who is not in this logbook waits: Ada Quill (0 attempts)." in told
    assert '--let-in "Ada Quill" (and --class CLASS)' in told
    done = shell.runs("share", "--let-in", ADA, "--class", "Thursday", *tutor).stdout
    assert "Ada Quill joined Thursday" in " ".join(done.split())


def test_a_teacher_puts_a_course_of_their_own_in_force_for_a_class(tmp_path: Path) -> None:
    """Before there is a student; an id alone is nothing that a teacher follows; undo takes it."""
    shell = a_teacher(tmp_path)
    file = tmp_path / "evening.toml"
    shell.runs("course", "new", str(file), "--like", "small-to-large", "--id", "evening")
    assert "teaches and follows none" in shell.runs("course", "use", "evening", code=1).stderr
    said = shell.answers("course", "use", str(file))
    assert (said["setter_id"], said["name"], said["course"]) == (None, "Isolde Crane", "evening")
    shell.runs("class", "new", "Sunday", "Ada Quill", "--course", "evening")
    (ada,) = shell.answers("class", "roster", "--group", "Sunday")["setters"]
    assert ada["course"] == "evening"
    shell.runs("undo")
    assert "the course evening" in shell.runs("undo").stdout
