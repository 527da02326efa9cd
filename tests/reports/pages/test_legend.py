"""The legend of a page: the defects that stand on it, drawn, the commonest first."""

from tests.builders import an_attempt

from platebook.reports.pages.legend import MOST, defects_drawn


def test_the_defects_that_occurred_are_drawn_with_what_they_show() -> None:
    """The commonest first, each once; good and what has no drawing are left out."""
    looks = (("high",), ("good",), ("tilted", "high"), ("missed",), None)
    rows = defects_drawn(an_attempt(result=result) for result in looks)
    assert [row.word for row in rows] == ["high", "tilted"]
    assert rows[0].shows == "table 0.17 mm above; drawn ×2"
    assert 'aria-label="high: table 0.17 mm above; drawn ×2"' in rows[0].picture


def test_what_is_drawn_lies_in_its_picture_and_names_nothing() -> None:
    """The parts of the scene, with no id that another drawing of the page could have too."""
    (row,) = defects_drawn([an_attempt(result=("gap",))])
    assert row.picture.count("<polygon") > 2
    assert 'id="' not in row.picture
    assert "url(" not in row.picture


def test_no_more_are_drawn_than_fit_a_row() -> None:
    """And an empty log has none."""
    every = ("loose", "high", "low", "tilted", "chipped", "marred", "scratched", "gap")
    assert len(defects_drawn([an_attempt(result=every)])) == MOST
    assert defects_drawn([]) == []
