"""Answers are kept as long as what they rest on stands, and no longer."""

from pathlib import Path

import pytest
from tests.builders import some_course

from platebook.logbook.file.place import answers_folder
from platebook.services.cache import Cache, KeptDecisions, forget, recall
from platebook.trade.records import Hand, HandForShape

CUT_WIDE = Hand(shapes=(HandForShape(shape="hart", overcut_mm=0.07, spread_mm=0.03),))


class Asked:
    """Counts how often the answer had to be worked out."""

    def __init__(self, logbook: Path) -> None:
        self.logbook = logbook
        self.times = 0

    def __call__(self) -> Hand:
        """Work it out."""
        self.times += 1
        return CUT_WIDE

    def hand(self, digest: str, *, setter_id: str = "a", version: int = 1) -> Hand:
        """Ask for the hand with this digest of the setter and this course."""
        course = some_course().model_copy(update={"version": version})
        return recall(
            Hand, self, cache=Cache(self.logbook), setter_id=setter_id, digest=digest, course=course
        )


def test_the_same_answer_is_worked_out_once(tmp_path: Path) -> None:
    """A second look gives the same value without the work."""
    asked = Asked(tmp_path / "logbook.sqlite")
    assert [asked.hand("x"), asked.hand("x")] == [CUT_WIDE, CUT_WIDE]
    assert asked.times == 1


def test_a_change_of_the_log_or_the_course_is_worked_out_anew(tmp_path: Path) -> None:
    """A new digest or another course version is never answered from the old one."""
    asked = Asked(tmp_path / "logbook.sqlite")
    asked.hand("x")
    asked.hand("y")
    asked.hand("y", version=2)
    assert asked.times == 3


def test_one_answer_a_setter_is_kept(tmp_path: Path) -> None:
    """Old answers do not pile up, and other setters' stay."""
    asked = Asked(tmp_path / "logbook.sqlite")
    for digest in ("x", "y", "z"):
        asked.hand(digest)
    asked.hand("x", setter_id="b")
    assert len(list(answers_folder(asked.logbook).iterdir())) == 2


@pytest.mark.parametrize("text", ['{"shapes": [', '{"shapes": [], "more": ' + "[" * 200_000])
def test_a_damaged_answer_is_worked_out_anew(tmp_path: Path, text: str) -> None:
    """Half a file is no answer, nor one that no end is seen of."""
    asked = Asked(tmp_path / "logbook.sqlite")
    asked.hand("x")
    (file,) = answers_folder(asked.logbook).iterdir()
    file.write_text(text, encoding="utf-8")
    assert asked.hand("x") == CUT_WIDE
    assert asked.times == 2


def test_where_nothing_can_be_kept_the_answer_still_comes(tmp_path: Path) -> None:
    """A file in the folder's place stops the keeping, not the answering."""
    asked = Asked(tmp_path / "logbook.sqlite")
    answers_folder(asked.logbook).write_text("in the way", encoding="utf-8")
    assert asked.hand("x") == CUT_WIDE


def test_forgetting_takes_one_setters_answers(tmp_path: Path) -> None:
    """After erasing a person nothing that was worked out about them stays."""
    asked = Asked(tmp_path / "logbook.sqlite")
    asked.hand("x", setter_id="a")
    asked.hand("x", setter_id="b")
    forget(asked.logbook, "a")
    names = [file.name[0] for file in answers_folder(asked.logbook).iterdir()]
    assert names == ["b"]


def test_decisions_of_checkpoints_outlive_the_answer_they_were_made_for(tmp_path: Path) -> None:
    """A new window finds what was decided; the latest 48 are kept, and none of an unknown."""
    logbook = tmp_path / "logbook.sqlite"
    first = KeptDecisions(logbook, "a")
    for number in range(50):
        first.keep(f"mark {number}", ("width of the seat",) if number % 2 else ())
    again = KeptDecisions(logbook, "a")
    assert again.find("mark 49") == ("width of the seat",)
    assert again.find("mark 48") == ()
    assert [again.find("mark 1"), again.find("mark 2")] == [None, ()]
    assert KeptDecisions(logbook, "b").find("mark 49") is None
    forget(logbook, "a")
    assert KeptDecisions(logbook, "a").find("mark 49") is None
