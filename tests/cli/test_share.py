"""Exchange by command: what is printed, and what ends with which exit code."""

import json
from pathlib import Path

import pytest
from tests.cli.shell import ADA, Shell

OTHER = ("--logbook", "other.sqlite")


@pytest.fixture
def folder(ada: Shell) -> Path:
    """A folder beside Ada's logbook, in which she has an attempt."""
    ada.runs("record", "--result", "good", "--note", "first of the evening")
    place = ada.folder / "class"
    place.mkdir()
    return place


def test_sharing_says_what_went_out_and_what_came_in(ada: Shell, folder: Path) -> None:
    """In words that fit a terminal, with the file first."""
    first = ada.runs("share", "class").stdout
    assert ".platebook: 3 revisions for others to take in." in " ".join(first.split())
    assert max(map(len, first.splitlines())) <= 80
    assert first.endswith("Nobody else's bundle is in the folder yet.\n")
    done = " ".join(ada.runs("share", "class", "--all", *OTHER).stdout.split())
    assert f"({ADA}): came in, new or changed: 1 attempt, 1 setter, 1 tool." in done
    assert "nothing new" in ada.runs("share", "class", "--all", *OTHER).stdout
    assert len(list(folder.iterdir())) == 2


def test_a_file_that_cannot_be_read_ends_with_1_and_stops_nobody(ada: Shell, folder: Path) -> None:
    """The sentence stands on stderr; with --json the answer is printed all the same."""
    ada.runs("share", "class")
    (folder / "odd.platebook").write_bytes(b"PK\x03\x04")
    done = ada.runs("share", "class", "--all", *OTHER, code=1)
    assert " ".join(done.stderr.split()) == (
        "odd.platebook: is a zip archive under another name, not a bundle. "
        "Nothing of it was taken in."
    )
    assert "came in" in done.stdout
    printed = json.loads(ada.runs("share", "class", "--all", *OTHER, "--json", code=1).stdout)
    assert [one["file"] for one in printed["unread"]] == ["odd.platebook"]


def test_a_folder_that_is_not_there_ends_with_1(ada: Shell) -> None:
    """And is not made."""
    said = ada.runs("share", "nowhere", code=1).stderr
    assert "look whether the stick or network share is connected" in said
    assert not (ada.folder / "nowhere").exists()


def test_a_bundle_goes_out_and_comes_in_by_its_suffix(ada: Shell, folder: Path) -> None:
    """First as a rehearsal, which leaves no trace."""
    del folder
    assert ada.runs("export", "a.platebook").stdout == "a.platebook: 3 revisions.\n"
    rehearsed = ada.runs("import", "a.platebook", "--dry-run", *OTHER).stdout
    assert "would come in, new or changed: 1 attempt" in rehearsed
    assert rehearsed.endswith("Nothing stored (dry run).\n")
    assert ada.answers("log", "--everyone", *OTHER)["attempts"] == []
    done = ada.answers("import", "a.platebook", *OTHER)
    assert (done["stored"], done["revisions"], done["authors"]) == (True, 3, [ADA, "setter"])
    assert len(ada.answers("log", "--everyone", *OTHER)["attempts"]) == 1
    assert ada.answers("import", "a.platebook", *OTHER)["known"] == 3


def test_one_persons_bundle(ada: Shell, folder: Path) -> None:
    """`--setter` writes what is known about them alone."""
    del folder
    ada.runs("setter", "add", "Bram Osk")
    told = ada.answers("export", "b.platebook", "--setter", "Bram Osk")
    assert (told["revisions"], told["about"] is None) == (1, False)
    text = (ada.folder / "b.platebook").read_text(encoding="utf-8")
    for whose_word in ('"author":"Ada Quill"', '"name":"Ada Quill","made"'):
        text = text.replace(whose_word, "")
    assert ADA not in text


@pytest.mark.parametrize(
    "words",
    [
        ("export", "a.platebook", "--words", "good"),
        ("export", "a.platebook", "--everyone"),
        ("import", "a.platebook", "--dates", "dmy"),
        ("import", "a.csv", "--all"),
    ],
)
def test_options_that_do_not_go_with_the_file_are_wrong_use(
    ada: Shell, words: tuple[str, ...]
) -> None:
    """Exit code 2, and no file is written."""
    ada.runs(*words, code=2)
    assert not (ada.folder / "a.platebook").exists()


def test_a_bundle_under_the_name_of_a_table_is_called_one(ada: Shell, folder: Path) -> None:
    """Renamed by a mail program."""
    del folder
    ada.runs("export", "a.platebook")
    (ada.folder / "a.platebook").rename(ada.folder / "a.csv")
    said = ada.runs("import", "a.csv", *OTHER, code=1).stderr
    assert said == "a.csv: is a bundle of another logbook; name it *.platebook\n"


def test_names_are_shown_as_text(ada: Shell, folder: Path) -> None:
    """Escapes that somebody wrote into a bundle by hand never reach a terminal."""
    ada.runs("setter", "add", "[red]Bram[/red]")
    ada.runs("share", "class")
    done = ada.runs("share", "class", "--all", *OTHER)
    assert "\x1b" not in done.stdout + done.stderr
    (file,) = (p for p in folder.iterdir() if ADA in p.read_text(encoding="utf-8"))
    file.write_bytes(file.read_bytes().replace(b'"author":"Ada Quill', b'"author":"Ada Q\x1b[2J'))
    said = ada.runs("share", "class", "--all", *OTHER, code=1).stderr
    assert ("was altered after it was written" in said, "\x1b" in said) == (True, False)


def test_no_path_is_broken_at_a_hyphen(ada: Shell) -> None:
    """It is copied whole from the screen, however long; the words around it wrap."""
    place = ada.folder / "the-evening-class-of-the-old-town-hall-behind-the-river-and-the-mill"
    place.mkdir()
    said = ada.runs("share", str(place)).stdout
    assert str(place) in said
