"""The runner of pages tells what differs: a page that is wrong cannot pass."""

from pathlib import Path

import pytest
from tests.documents.json_types import is_of
from tests.documents.page import steps_of
from tests.documents.running import Reader, written_anew

ADDED = '```console ids\n$ platebook setter add "Ada Quill"\nAda Quill  {}\n```\n'
ID = "01a224b1-88cf-72a6-84e5-48f22455bf8c"


def _wrong(text: str, folder: Path) -> list[str]:
    reader = Reader(folder)
    return [problem for step in steps_of(text) for problem in reader.takes(step)]


@pytest.mark.parametrize(
    "text",
    [
        ADDED.format(ID).replace("Ada Quill  ", "Bram Osk  "),
        ADDED.format("nothing"),
        ADDED.format(ID) + "`platebook show 55bf8d`\n",
        "`platebook log --upside-down`\n",
        "`class sign-off --upside-down`\n",
        "```sh terminal\nplatebook tidy-up\n```\n",
        "```sh network\nmake tea\n```\n",
        "```sh\nplatebook undo\n```\n",
        "```console\n$ platebook setter list\nnobody is there\n```\n",
        '```console\n$ platebook sizes 2.0 --json\n{"schema": 2}\n```\n',
        '```console\n$ platebook sizes 2.0 --json\n{"cautions": []}\n```\n',
        '```console\n$ platebook sizes 2.0 --json\n{"stone": {"diameter": 2.0}}\n```\n',
    ],
)
def test_a_page_that_is_wrong_is_told(tmp_path: Path, text: str) -> None:
    """A word, an id, an option, an exit code or a value that is not so."""
    assert len(_wrong(text, tmp_path)) == 1


def test_an_id_of_the_page_stands_for_one_of_the_run(tmp_path: Path) -> None:
    """The id printed first is the one meant later, by its last six characters too."""
    page = ADDED.format(ID) + '```console ids\n$ platebook setter use "Ada Quill"\n...\n```\n'
    page += "```console ids\n$ platebook record --result good\n...\n"
    page += "01a224b1-8a32-7212-8d25-c3c9fe463f8e\n```\n`platebook show 463f8e`\n"
    assert _wrong(page, tmp_path) == []


def test_a_page_is_written_anew_with_its_own_ids(tmp_path: Path) -> None:
    """What was printed takes the place of what the page says, and the page runs then."""
    page = ADDED.format(ID) + "```console\n$ platebook setter list\nnobody\n```\n"
    reader = Reader(tmp_path)
    for step in steps_of(page):
        reader.takes(step)
    (tmp_path / "again").mkdir()
    anew = written_anew(page, reader.written)
    assert (ID in anew, _wrong(anew, tmp_path / "again")) == (True, [])


@pytest.mark.parametrize(
    ("value", "named", "expected"),
    [
        (1, "whole number, days", True),
        (1.5, "whole number", False),
        (1, "number or null, mm", True),
        (None, "number, mm", False),
        (True, "number", False),
        (["a", 1], "list of numbers or text", True),
        (["a"], "list of objects", False),
        ("2026-01-08", "date or null", True),
        ({}, "text", False),
    ],
)
def test_the_words_for_types(value: object, named: str, *, expected: bool) -> None:
    """A value is of the type that the page names, or it is not."""
    assert expected == is_of(value, named)
