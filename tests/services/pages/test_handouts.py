"""Pages to print, in the folder the program runs in: under which names, and what stands in them."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, a_row, ada_at, logged, minutes_on

from platebook.services.pages.handouts import card_here, class_page_here, report_here
from platebook.services.people.teachers import begin_teaching
from platebook.services.session import Refused, Session


@pytest.fixture
def session(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    """Ada, with two attempts, in an empty folder."""
    begun = ada_at(tmp_path)
    for n, result in enumerate(("good", "high")):
        logged(begun, a_row(result=result, began=minutes_on(n)))
    folder = tmp_path / "prints"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return begun


def test_a_teacher_gets_the_card_of_one_setter(session: Session) -> None:
    """Of the one named; without a name it says how."""
    ada = session.setter_id or ""
    tutor = begin_teaching(session, name="Isolde Crane")
    with pytest.raises(Refused, match="mark them on the Class screen"):
        card_here(tutor)
    assert "card-" in card_here(tutor, ada)


def test_each_page_says_in_its_name_what_it_is(session: Session) -> None:
    """Of whom or of what, and of which day; a second one gets a number."""
    told = report_here(session)
    for write in (report_here, class_page_here, card_here):
        write(session)
    written = sorted(file.name for file in Path.cwd().iterdir())
    name = ADA.replace(" ", "-")
    report, second, everyone = (
        f"report-{name}-2026-02-03.html",
        f"report-{name}-2026-02-03-2.html",
        "class-everyone-2026-02-03.html",
    )
    assert {report, second, everyone} < set(written)
    (card,) = set(written) - {report, second, everyone}
    assert card.startswith("card-")
    assert card.endswith("-2026-02-03.svg")
    assert told == f"Written to {Path.cwd() / report}: open it in a browser, and print it there."
    assert f"<h1>{ADA}</h1>" in Path(report).read_text("utf-8")
    assert "<svg" in Path(card).read_text("utf-8")
