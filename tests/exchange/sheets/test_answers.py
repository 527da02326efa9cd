"""Answers about a sheet: as a file and back, and later ones over earlier ones."""

from hypothesis import given
from hypothesis import strategies as st

from platebook.exchange.sheets.answers import Answers, answers_text, read_answers

WORDS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=12)
TABLE = st.dictionaries(WORDS, WORDS, max_size=3)


@given(
    st.builds(
        Answers,
        columns=TABLE,
        units=TABLE,
        values=st.dictionaries(WORDS, TABLE.filter(bool), max_size=2),
        dates=st.sampled_from([None, "dmy", "mdy"]),
        encoding=st.sampled_from(["", "cp1252"]),
        sheets=st.lists(WORDS, max_size=2).map(tuple),
    )
)
def test_any_answers_read_back(answers: Answers) -> None:
    """Whatever people's headings and values are."""
    assert read_answers(answers_text(answers)) == (answers, ())


def test_what_is_wrong_with_a_file_is_told() -> None:
    """Broken TOML, an unknown key, a value of another kind."""
    for text, says in (
        ("columns = [", "TOML"),
        ("column = 1", "one of: "),
        ("dates = 'ymd'", "dmy or mdy"),
        ("[columns]\na = 1", "a table of texts"),
    ):
        answers, problems = read_answers(text)
        assert answers == Answers()
        assert says in problems[0].expected


def test_a_later_answer_wins_whatever_its_spelling() -> None:
    """And where it says nothing the earlier one stands."""
    earlier = Answers(columns={"Musik": "own", "Ort": "leave out"}, dates="dmy")
    later = Answers(columns={"MUSIK": "leave out"})
    both = later.over(earlier)
    assert (both.of("columns", "musik"), both.of("columns", "Ort"), both.dates) == (
        "leave out",
        "leave out",
        "dmy",
    )
