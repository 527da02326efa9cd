"""Erasing across logbooks: held back, asked about, answered, with what goes along."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, a_row_a_minute, logged
from tests.services.school import School, a_school, all_share, own_file

from platebook.logbook.file.copying import copy_into
from platebook.services.attempts.drafts import Drafts, Owner
from platebook.services.from_others import mark_read
from platebook.services.people.setters import erase_setter, list_setters
from platebook.services.session import Refused, opened
from platebook.services.sharing.erasings import (
    COPY_DAYS,
    answer_words,
    asked_words,
    erasings,
    forget_old_copies,
    keep_erasing,
    obey_erasing,
    own_copies,
    reach_of,
    takes_most,
)
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.single_bundle import import_bundle
from platebook.values import replace


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Ada and Bram with attempts, all of them in the tutor's logbook."""
    made = a_school(tmp_path)
    logged(made.ada, *a_row_a_minute(3))
    logged(made.bram, a_row())
    all_share(made, made.ada, made.bram, made.tutor)
    share(made.ada, made.folder, everyone=True)
    return made


def test_a_classmate_erased_in_a_students_copy_stays_with_the_tutor(school: School) -> None:
    """The tutor is asked, in whatever number of shares, and answers that he stays."""
    erase_setter(school.ada, BRAM)
    for _ in range(2):
        all_share(school, school.ada, school.tutor)
        (asked,) = erasings(school.tutor)
        assert asked_words(asked) == f"{ADA} asks to erase one setter with 1 attempt: {BRAM}."
        assert f"or ask {ADA} first" in answer_words(asked)
        assert "--obey --yes;" in answer_words(asked)
    assert {p.setter.name for p in list_setters(school.tutor)} == {ADA, BRAM}
    assert keep_erasing(school.tutor, BRAM).startswith(f"{BRAM} stays")
    done = all_share(school, school.tutor)
    assert (done[0].erasings, [one.kept for one in erasings(school.tutor)]) == ((), [True])


def test_what_is_obeyed_leaves_a_copy_for_thirty_days(school: School) -> None:
    """It is named with its day, and removed when its time is over."""
    erase_setter(school.ada, BRAM)
    all_share(school, school.ada, school.tutor)
    words = obey_erasing(school.tutor, BRAM)
    (copy,) = own_copies(school.tutor.path)
    assert words.endswith(f"A copy from before is kept for {COPY_DAYS} days: {copy.name}")
    assert [p.setter.name for p in list_setters(school.tutor)] == [ADA]
    later = replace(school.tutor, clock=lambda: NOW + timedelta(days=COPY_DAYS))
    forget_old_copies(later)
    assert own_copies(school.tutor.path) == (copy,)
    erasings(replace(school.tutor, clock=lambda: NOW + timedelta(days=COPY_DAYS + 1)))
    assert own_copies(school.tutor.path) == ()


def test_who_asks_for_themselves_leaves_no_copy(school: School) -> None:
    """It is their own logbook that says so; the tutor is asked all the same."""
    erase_setter(school.bram, BRAM)
    all_share(school, school.bram, school.tutor)
    (asked,) = erasings(school.tutor)
    assert (asked_words(asked), asked.by_themselves) == (
        f"{BRAM} asks to be erased, with 1 attempt.",
        True,
    )
    assert obey_erasing(school.tutor, BRAM).endswith("as it was their own wish.")
    assert own_copies(school.tutor.path) == ()


def test_most_of_a_logbook_is_not_taken_by_one_key_among_others(school: School) -> None:
    """Three of four attempts are most of it, one is not."""
    for name in (BRAM, ADA):
        erase_setter(school.ada, name)
    all_share(school, school.ada, school.tutor)
    by_name = {one.name: one for one in erasings(school.tutor)}
    assert {name: takes_most(school.tutor, one) for name, one in by_name.items()} == {
        ADA: True,
        BRAM: False,
    }


def test_two_lines_written_by_hand_empty_nothing(school: School) -> None:
    """A bundle that asks to erase everybody is asked about, one person at a time."""
    erase_setter(school.ada, BRAM)
    erase_setter(school.ada, ADA)
    share(school.ada, school.folder)
    received, _ = import_bundle(school.tutor, own_file(school, school.ada))
    assert len(received.asks_to_erase) == 2
    assert {p.attempts for p in list_setters(school.tutor)} == {3, 1}
    assert received.people_erased == ()
    with pytest.raises(Refused, match="expected one whom others ask to erase: Ada Quill, Bram"):
        obey_erasing(school.tutor, "Nobody")


def test_erasing_says_whom_it_reaches_and_takes_drafts_and_own_copies_along(
    school: School,
) -> None:
    """What is being typed of theirs goes, and what the program had copied by itself."""
    assert f"the logbooks of {ADA} and {BRAM} are asked to erase them too" in reach_of(school.tutor)
    assert "whoever takes it in later" in reach_of(replace(school.bram))
    path = school.tutor.path
    kept = path.with_name(f"{path.stem}.replaced-1{path.suffix}")
    with opened(school.tutor) as book:
        book.ask(copy_into, path.with_name(f"{path.stem}.before-schema-2-1{path.suffix}"))
        book.ask(copy_into, kept)
    mine, other = Drafts.beside(path), Drafts.beside(path)
    mine.save({"setter_id": school.bram.setter_id, "values": {}})
    other.save({"setter_id": school.ada.setter_id, "values": {}})
    words = erase_setter(school.tutor, BRAM).sentence
    assert "1 copy that the program had kept went too." in words
    assert words.endswith("They were taken out of 1 copy of the logbook.")
    assert BRAM.encode() not in kept.read_bytes()
    assert ADA.encode() in kept.read_bytes()
    assert own_copies(path) == ()
    left = [f for f in Drafts.beside(path).folder.iterdir() if f.suffix == ".json"]
    assert [str(school.ada.setter_id) in f.read_text(encoding="utf-8") for f in left] == [True]


def test_no_byte_of_an_erased_persons_drafts_and_reading_is_left_in_the_folder(
    school: School,
) -> None:
    """Saved, half written or torn; what somebody else is typing stays, though it says "some"."""
    path, bram_id = school.tutor.path, school.bram.setter_id or ""
    mark_read(school.tutor.for_setter(bram_id, BRAM), ["a look that he read"])
    assert b"a look that he read" in _bytes_in(path.parent)
    his = Drafts.beside(path, Owner(bram_id, BRAM))
    his.save({"values": {"note": "half typed"}})
    (own,) = his.folder.glob("*.draft.json")
    own.with_name("1.draft.part").write_bytes(own.read_bytes()[:-3])
    own.with_name("2.draft.json").write_bytes(own.read_bytes()[:-3])
    hers = Drafts.beside(path, Owner(school.ada.setter_id, ADA))
    hers.save({"values": {"note": f"{BRAM.lower()}bles of some others"}})
    erase_setter(school.tutor, BRAM)
    words = (BRAM.encode(), b"half typed", b"a look that he read", b"of some others")
    left = _bytes_in(path.parent)
    assert [word in left for word in words] == [False, False, False, True]
    assert bram_id.encode() not in _bytes_in(his.folder)


def _bytes_in(folder: Path) -> bytes:
    return b"".join(file.read_bytes() for file in folder.rglob("*") if file.is_file())
