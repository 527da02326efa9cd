"""What goes with failure is one answer: the command, its JSON and the page tell the same."""

import html
import re

import pytest
from tests.cli.shell import Shell, with_a_season


def _plain(text: str) -> str:
    """The text without marks and line ends, so that a wrapped sentence is one again."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def _in_order(sentences: list[str], text: str) -> list[int]:
    """Where each of the sentences stands in the text; -1 for one that does not."""
    return [text.find(" ".join(sentence.split())) for sentence in sentences]


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Shell:
    """Ada after a season in which something goes with failure."""
    return with_a_season(tmp_path_factory.mktemp("season"))


@pytest.mark.slow
def test_the_same_findings_stand_in_the_same_order_everywhere(season: Shell) -> None:
    """Well supported, worth watching, how it came about; no sentence is missing in any of them."""
    found = season.answers("findings")["findings"]
    status = [finding["status"] for finding in found]
    assert status == sorted(status, key=["claim", "lead", "mechanism"].index)
    assert status
    sentences = [finding["sentence"] for finding in found]
    season.runs("report", "page.html")
    page = (season.folder / "page.html").read_text(encoding="utf-8")
    for text in (season.runs("findings").stdout, page):
        places = _in_order(sentences, _plain(text))
        assert -1 not in places
        assert places == sorted(places)


@pytest.mark.slow
def test_the_class_is_asked_for_a_window_like_a_setter(season: Shell) -> None:
    """`--since` after the last evening leaves nothing, `--all` all; both at once is wrong."""
    every = season.answers("class", "findings", "--all")["attempts"]
    assert every == season.answers("findings", "--all")["attempts"] > 0
    later = season.answers("class", "findings", "--since", "2030-01-01")
    assert (later["attempts"], later["answer"][0]) == (0, "No judged attempts in that time.")
    both = season.runs("class", "findings", "--all", "--since", "2026-01-01", code=2)
    assert "two different questions" in both.stderr
