"""`platebook glossary`: a word, several, all of them, none."""

from tests.cli.shell import Shell


def test_a_word_is_explained(shell: Shell) -> None:
    """Several things that it means are all told; no logbook is needed or made."""
    told = shell.runs("glossary", "push", "test").stdout
    assert "push test  (readings and looks)" in told
    assert "push test  (steps of the work and exercises)" in told
    assert not shell.logbook.exists()


def test_many_words_are_listed_with_their_meaning_alone(shell: Shell) -> None:
    """As all are where no word is named."""
    assert "stone depth: From the table to the culet.\n" in shell.runs("glossary", "stone").stdout
    assert "culet: The stone's lowest point.\n" in shell.runs("glossary").stdout


def test_a_word_that_is_nowhere_is_refused_with_near_ones(shell: Shell) -> None:
    """Exit code 1, nothing on stdout."""
    result = shell.runs("glossary", "girdel", code=1)
    expected = "No word 'girdel' in the glossary. Did you mean girdle or grade?\n"
    assert (result.stdout, result.stderr) == ("", expected)
