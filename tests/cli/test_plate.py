"""`platebook plate` and `platebook sizes --svg`: what is said, written and refused."""

from xml.etree import ElementTree as ET

from tests.cli.shell import Shell

NEW = ("plate", "new", "copper 1", "--width", "50", "--height", "30")


def test_a_plate_is_made_listed_and_printed(ada: Shell) -> None:
    """From the metal's size to a file that prints at 1:1."""
    assert ada.runs(*NEW, "--metal", "copper").stdout == "copper 1: 28 positions, 4 by 7\n"
    assert ada.runs("plate", "list").stdout == f"{'copper 1':<24}   0 of 28   copper\n"
    told = ada.runs("plate", "print", "copper 1", "plate.svg").stdout
    assert told == "plate.svg: print it at 100 %; the bar must measure 50 mm.\n"
    root = ET.fromstring((ada.folder / "plate.svg").read_text(encoding="utf-8"))  # noqa: S314 - our own
    assert root.get("width", "").endswith("mm")


def test_the_json_is_the_plates_record(ada: Shell) -> None:
    """Names as everywhere; the list adds what is taken."""
    made = ada.answers(*NEW, "--stones", "1.5,2.0")
    (listed,) = ada.answers("plate", "list")["plates"]
    assert listed["taken"] == 0
    assert {**listed, "schema": 1} == {**made, "taken": 0}
    assert made["stones_mm"] == [1.5, 2.0]
    assert ada.answers("plate", "print", "copper 1", "p.svg")["file"] == "p.svg"


def test_a_file_that_is_there_is_left(ada: Shell) -> None:
    """Neither drawing writes over anything."""
    ada.runs(*NEW)
    kept = ada.folder / "kept.svg"
    kept.write_text("mine", encoding="utf-8")
    for words in (("plate", "print", "copper 1"), ("sizes", "2.0", "--svg")):
        done = ada.runs(*words, "kept.svg", code=1)
        assert (done.stdout, done.stderr) == ("", "kept.svg: is there already; name another file\n")
    assert kept.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_not_there_is_said(ada: Shell) -> None:
    """No folder is made up for a name that was typed wrong."""
    done = ada.runs("sizes", "2.0", "--svg", "nowhere/seat.svg", code=1)
    assert done.stderr.startswith("nowhere/seat.svg: No such file")


def test_what_cannot_be_is_said_and_nothing_kept(ada: Shell) -> None:
    """Field, value and what is possible; the list stays empty."""
    done = ada.runs("plate", "new", "small", "--width", "9", "--height", "30", code=1)
    assert done.stderr == (
        "width and height: read '9 by 30 mm', expected at least 10 mm each way for one position\n"
    )
    assert "No plate yet" in ada.runs("plate", "list").stderr
    done = ada.runs("plate", "print", "small", "p.svg", code=1)
    assert done.stderr == "plate: read 'small', expected one of: no plate yet\n"
    assert not (ada.folder / "p.svg").exists()


def test_undo_takes_a_plate_back(ada: Shell) -> None:
    """A plate is a record like any other."""
    ada.runs(*NEW)
    ada.runs("undo")
    assert "No plate yet" in ada.runs("plate", "list").stderr


def test_the_seat_is_written_for_paper_and_not_drawn_into_a_pipe(ada: Shell) -> None:
    """Exact geometry in the file; its drawing in cells is for a terminal alone."""
    done = ada.runs("sizes", "1.98", "--sheet", "20ga", "--svg", "seat.svg")
    assert not any("\u2800" <= sign <= "\u28ff" for sign in done.stdout)
    assert "Will the point stand out? Yes: by 0.42 mm at the back." in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert done.stderr == "seat.svg: written.\n"
    assert (ada.folder / "seat.svg").read_text(encoding="utf-8").startswith("<?xml")
    assert "stone" in ada.answers("sizes", "1.98")
