"""Which logbook a command uses."""

import pytest
from tests.cli.shell import Shell

PLACES = {
    "before": ("--logbook", "{other}", "setter", "add", "Bram Osk"),
    "after": ("setter", "add", "Bram Osk", "--logbook", "{other}"),
    "after wins": (
        "--logbook",
        "third.sqlite",
        "setter",
        "add",
        "Bram Osk",
        "--logbook",
        "{other}",
    ),
}


def _names(shell: Shell, *where: str) -> list[str]:
    return [s["name"] for s in shell.answers("setter", "list", *where)["setters"]]


@pytest.mark.parametrize("place", PLACES)
def test_the_option_stands_before_or_after_and_beats_the_variable(ada: Shell, place: str) -> None:
    """Both places name the same file; the one nearest to the command counts."""
    other = ada.folder / "other.sqlite"
    ada.runs(*(word.format(other=other) for word in PLACES[place]))
    assert _names(ada, "--logbook", str(other)) == ["Bram Osk"]
    assert _names(ada) == ["Ada Quill"]
    assert not (ada.folder / "third.sqlite").exists()


def test_reading_where_there_is_no_logbook_makes_none(shell: Shell) -> None:
    """A mistyped name does not leave an empty logbook behind."""
    for words in (("log",), ("setter", "list"), ("sizes", "2.0")):
        shell.runs(*words)
    for words in (("findings",), ("progress",), ("next",)):
        shell.runs(*words, code=1)
    shell.runs("check", code=3)
    assert list(shell.folder.iterdir()) == []


@pytest.mark.parametrize("words", [("log",), ("findings",), ("progress",), ("next",), ("check",)])
def test_reading_leaves_the_logbook_byte_for_byte(ada: Shell, words: tuple[str, ...]) -> None:
    """Asking changes nothing."""
    ada.runs("record", "--result", "good")
    before = ada.logbook.read_bytes()
    ada.runs(*words)
    assert ada.logbook.read_bytes() == before
