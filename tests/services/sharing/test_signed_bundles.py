"""What a bundle says in somebody's name comes in only where that person's key signed it."""

import dataclasses
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.exchange.bundles import write_bundle
from tests.services.bench import ADA, BRAM, NOW, a_row, logged, minutes_on
from tests.services.school import School, a_school, all_share, answered, desk_of, own_file

from platebook.exchange.bundle_file import read_bundle
from platebook.logbook import setter_records
from platebook.logbook.signing.private_keys import PrivateKey
from platebook.logbook.signing.signatures import signatures_of
from platebook.practice.revision import Bundle, KeyCard, Revision
from platebook.services.answers import basis_of
from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import amend
from platebook.services.classes.inspections import inspect
from platebook.services.files import check
from platebook.services.people.keys import keys_here
from platebook.services.people.setters import erase_setter, list_setters
from platebook.services.people.teachers import begin_teaching
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.outcome_words import outcome_lines
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.single_bundle import export_bundle, import_bundle
from platebook.services.sharing.taking_in import Received
from platebook.services.sharing.unsigned import leave_left_out, left_out_here, left_out_words
from platebook.values import replace


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Ada has logged one attempt, and her teacher Corin Vale has met her key."""
    school = a_school(tmp_path)
    teaching = begin_teaching(school.tutor, name="Corin Vale")
    school = dataclasses.replace(school, tutor=teaching)
    logged(school.ada, a_row(note="as it was"))
    share(school.ada, school.folder)
    share(school.tutor, school.folder, everyone=True)
    return school


def stranger_at(tmp_path: Path, school: School) -> Session:
    """Somebody who found the folder and took everything in."""
    stranger = desk_of(tmp_path, "stranger", "Kurt Fremd")
    share(stranger, school.folder, everyone=True)
    return stranger


def as_ada(session: Session, school: School) -> Session:
    """The same session with Ada in use, as anybody can say who has her entry."""
    return session.for_setter(str(school.ada.setter_id), ADA)


def altered(file: Path, change: Callable[[Bundle], Bundle]) -> Path:
    """A bundle beside this one with something changed in it, under a sound manifest."""
    with file.open("rb") as stream:
        bundle = read_bundle(stream)
    forged = file.with_name("forged.platebook")
    forged.write_bytes(write_bundle(resummed(change(bundle))))
    return forged


def resummed(bundle: Bundle) -> Bundle:
    """The same with all checksums made anew, as a forger makes them."""
    revisions = tuple(
        replace(r, saved_checksum=None, change=replace(r.change, saved_checksum=None))
        for r in bundle.revisions
    )
    return replace(bundle, revisions=revisions)


def notes_of(session: Session, school: School) -> list[str]:
    """The notes of Ada's attempts in this logbook."""
    return [str(a.note) for a in attempts_of(as_ada(session, school))]


def imported(session: Session, file: Path) -> Received:
    """What came of taking everything in from a file."""
    return import_bundle(session, file, everyone=True)[0]


def the_attempt(school: School) -> str:
    """The id of the attempt that Ada logged."""
    return str(attempts_of(school.ada)[0].attempt_id)


def test_all_that_is_done_here_is_signed_and_met_elsewhere(school: School) -> None:
    """Ada's key is hers at her teacher's, and what she did is signed there too."""
    with opened(school.ada) as book:
        ids = [
            row[0] for row in book.ask(lambda db: db.execute("SELECT revision_id FROM revision"))
        ]
        assert set(book.ask(signatures_of, ids)) == set(ids)
    known = {(key.name, key.how, key.signs_here) for key in keys_here(school.tutor)}
    assert known == {("Corin Vale", "made here", True), (ADA, "first met", False)}
    assert (check(school.ada), check(school.tutor)) == ((), ())


def test_a_strangers_bundle_does_not_rewrite_a_result(tmp_path: Path, school: School) -> None:
    """Neither in Ada's name, nor in the stranger's own."""
    stranger = stranger_at(tmp_path, school)
    amend(as_ada(stranger, school), the_attempt(school), {"note": "rewritten"})
    file = tmp_path / "one.platebook"
    export_bundle(stranger, file)
    done = imported(school.tutor, file)
    assert [(one.name, one.refused, one.by_itself) for one in done.left_out] == [(ADA, True, True)]
    assert notes_of(school.tutor, school) == ["as it was"]
    amend(stranger, the_attempt(school), {"note": "openly"})
    export_bundle(stranger, tmp_path / "two.platebook")
    done = imported(school.tutor, tmp_path / "two.platebook")
    asked = [left_out_words(one) for one in done.left_out if not one.refused]
    assert len(asked) == 1
    assert asked[0].startswith("Kurt Fremd (key ")
    assert asked[0].endswith(f"wants to change 1 attempt of {ADA}, who did not sign it.")
    assert notes_of(school.tutor, school) == ["as it was"]


def test_what_a_teacher_changed_is_asked_about_once(school: School) -> None:
    """It comes in after the answer, and without one from then on where that was said."""
    amend(school.tutor, the_attempt(school), {"note": "corrected"})
    done = all_share(school, school.tutor, school.ada)
    assert [left_out_words(one)[:10] for one in done[1].left_out] == ["Corin Vale"]
    assert notes_of(school.ada, school) == ["as it was"]
    share(answered(school.ada, always=True), school.folder)
    assert notes_of(school.ada, school) == ["corrected"]
    amend(school.tutor, the_attempt(school), {"note": "corrected again"})
    done = all_share(school, school.tutor, school.ada)
    assert (done[1].left_out, notes_of(school.ada, school)) == ((), ["corrected again"])


def test_an_inspection_in_the_teachers_name_is_the_teachers(tmp_path: Path, school: School) -> None:
    """A student who has the teacher's entry cannot look in their name, nor say that they did."""
    share(school.ada, school.folder, everyone=True)
    bram = school.bram
    share(bram, school.folder, everyone=True)
    teacher = str(school.tutor.teacher_id)
    share(school.tutor, school.folder)
    share(bram, school.folder, everyone=True)
    inspect(bram, the_attempt(school), "good", by=teacher)
    inspect(bram.for_teacher(teacher, "Corin Vale"), the_attempt(school), "good")
    export_bundle(bram, tmp_path / "bram.platebook")
    done = imported(school.ada, tmp_path / "bram.platebook")
    looks = [one for one in done.left_out if ("inspection", 1) in one.kinds]
    assert [one.refused for one in looks] == [True, True]
    done = imported(school.tutor, tmp_path / "bram.platebook")
    for session in (school.ada, school.tutor):
        with opened(session) as book:
            assert book.ask(setter_records.inspections) == ()


def test_what_is_refused_is_told_once_at_a_share(school: School) -> None:
    """A file that changed brings it again: it is counted then, with where it can be read."""
    share(school.bram, school.folder, everyone=True)
    inspect(school.bram, the_attempt(school), "good", by=str(school.tutor.teacher_id))
    told = []
    for note in ("one", "two"):
        logged(school.bram, a_row(note=note))
        share(school.bram, school.folder)
        done = share(school.tutor, school.folder)
        lines = outcome_lines(done)
        told.append([sum(words in line for line in lines) for words in ("by Bram Osk", "said")])
        told[-1].append(sum(len(one.left_out) for one in done.received))
    assert told == [[1, 0, 1], [0, 1, 1]]
    again = outcome_lines(share(school.tutor, school.folder))
    assert "1 record stays left out, as was said before: platebook key waiting says why." in again


def test_a_cut_off_signature_is_no_signature(tmp_path: Path, school: School) -> None:
    """Refused where the person's key is known, asked about where nobody met them yet."""
    logged(school.ada, a_row(note="new"))
    share(school.ada, school.folder)
    forged = altered(own_file(school, school.ada), without_signatures)
    done = imported(school.tutor, forged)
    assert [(one.signer, one.refused) for one in done.left_out] == [("", True)]
    fresh = desk_of(tmp_path, "fresh")
    done = imported(fresh, forged)
    assert [(one.name, one.refused) for one in done.left_out] == [(ADA, False)]
    assert list_setters(fresh) == ()
    imported(answered(fresh), forged)
    assert notes_of(fresh, school) == ["as it was", "new"]
    assert left_out_here(fresh) == ()
    done = imported(fresh, own_file(school, school.ada))
    assert (done.revisions, [key.name for key in keys_here(fresh)]) == (0, [])


def without_signatures(bundle: Bundle) -> Bundle:
    """The same as a program wrote it that signed nothing."""
    return replace(
        bundle,
        revisions=tuple(replace(r, signed=None) for r in bundle.revisions),
        keys=(),
    )


def test_what_was_left_out_by_an_answer_is_not_asked_about_again(
    tmp_path: Path, school: School
) -> None:
    """It stays out whenever its bundle comes."""
    forged = altered(own_file(school, school.ada), without_signatures)
    fresh = desk_of(tmp_path, "fresh")
    (left,) = imported(fresh, forged).left_out
    leave_left_out(fresh, left)
    (again,) = imported(fresh, forged).left_out
    assert (again.answer, list_setters(fresh)) == ("leave", ())


def test_an_answer_is_about_what_was_shown(tmp_path: Path, school: School) -> None:
    """What is altered after the answer under the same id is asked about anew."""
    forged = altered(own_file(school, school.ada), without_signatures)
    fresh = desk_of(tmp_path, "fresh")
    imported(fresh, forged)
    answered(fresh)

    def renoted(bundle: Bundle) -> Bundle:
        bare = without_signatures(bundle)
        return replace(bare, revisions=tuple(map(reworded, bare.revisions)))

    imported(fresh, altered(own_file(school, school.ada), renoted))
    assert [one.answer for one in left_out_here(fresh)] == [""]
    assert notes_of(fresh, school) == []


def reworded(revision: Revision) -> Revision:
    """The same revision with another note."""
    record = revision.record.replace("as it was", "altered!!")
    return replace(revision, record=record)


def test_an_altered_revision_does_not_fit_its_signature(school: School) -> None:
    """The checksums of the file can be made anew by anybody, and the signature cannot."""
    logged(school.ada, a_row(note="as it was then"))
    share(school.ada, school.folder)
    forged = altered(
        own_file(school, school.ada),
        lambda b: replace(b, revisions=tuple(map(reworded_anew, b.revisions))),
    )
    done = imported(school.tutor, forged)
    assert [(one.signer, one.refused) for one in done.left_out] == [("", True)]
    assert notes_of(school.tutor, school) == ["as it was"]


def reworded_anew(revision: Revision) -> Revision:
    """What is new in the bundle with another note; what is known stays as it is."""
    record = revision.record.replace("as it was then", "altered")
    return replace(revision, record=record)


@pytest.mark.parametrize("under_a_new_id", [False, True])
def test_an_old_word_is_not_said_again(
    tmp_path: Path, school: School, *, under_a_new_id: bool
) -> None:
    """Neither with a higher counter where only the later one is here, nor as a new revision."""
    amend(school.ada, the_attempt(school), {"note": "later"})
    share(school.ada, school.folder)
    fresh = desk_of(tmp_path, "fresh")
    with own_file(school, school.ada).open("rb") as stream:
        whole = read_bundle(stream)
    old = next(r for r in whole.revisions if r.kind == "attempt" and not r.parents)
    rest = replace(whole, revisions=tuple(r for r in whole.revisions if r is not old))
    first = tmp_path / "rest.platebook"
    first.write_bytes(write_bundle(rest))
    imported(fresh, first)
    again = replace(old, change=replace(old.change, counter=9))
    if under_a_new_id:
        again = replace(
            again,
            revision_id=f"{old.revision_id[:-4]}abcd",
            parents=(whole.revisions[-1].revision_id,),
        )
    second = tmp_path / "again.platebook"
    second.write_bytes(write_bundle(resummed(replace(whole, revisions=(again,)))))
    if under_a_new_id:
        assert [one.refused for one in imported(fresh, second).left_out] == [True]
    else:
        with pytest.raises(Refused, match="later than what replaced it"):
            imported(fresh, second)
    assert notes_of(fresh, school) == ["later"]


def test_a_swapped_key_is_not_the_persons(school: School) -> None:
    """Who signs all anew with a key that says it is Ada's is not Ada where she was met."""
    logged(school.ada, a_row(note="new"))
    share(school.ada, school.folder)
    other = PrivateKey(str(school.ada.setter_id), b"another secret!!", NOW)

    def swapped(bundle: Bundle) -> Bundle:
        revisions = tuple(
            replace(reworded_new(r), signed=other.sign(reworded_new(r).statement))
            for r in bundle.revisions
        )
        return replace(bundle, revisions=revisions, keys=(other.card(ADA),))

    done = imported(school.tutor, altered(own_file(school, school.ada), swapped))
    assert [(one.by_itself, one.refused) for one in done.left_out] == [(True, True)]
    assert notes_of(school.tutor, school) == ["as it was"]
    imported(school.tutor, own_file(school, school.ada))
    assert notes_of(school.tutor, school) == ["as it was", "new"]


def reworded_new(revision: Revision) -> Revision:
    """The new revision with another note."""
    record = revision.record.replace('"note":"new"', '"note":"forged"')
    return replace(revision, record=record)


def test_a_card_that_its_key_did_not_sign_makes_no_meeting(tmp_path: Path, school: School) -> None:
    """Nobody is met by a card on which another name or person was written."""

    def misnamed(bundle: Bundle) -> Bundle:
        cards = tuple(replace(card, name="Frau Holm") for card in bundle.keys)
        return replace(bundle, keys=cards)

    fresh = desk_of(tmp_path, "fresh")
    imported(fresh, altered(own_file(school, school.ada), misnamed))
    assert keys_here(fresh) == ()


def test_a_hand_over_needs_a_key_of_the_persons(tmp_path: Path, school: School) -> None:
    """A card that says that it was handed over, signed by the stranger's own key, is none."""
    stranger = stranger_at(tmp_path, school)
    ada = as_ada(stranger, school)
    amend(ada, the_attempt(school), {"note": "rewritten"})
    export_bundle(stranger, tmp_path / "stranger.platebook")
    forger = PrivateKey(str(school.ada.setter_id), b"a forger's only!", NOW)

    def handed(bundle: Bundle) -> Bundle:
        def by_forger(card: KeyCard) -> KeyCard:
            signed = forger.sign(card.statement)
            return replace(card, handed_by=signed.key, hand_over=signed.signature)

        return replace(bundle, keys=tuple(map(by_forger, bundle.keys)))

    done = imported(school.tutor, altered(tmp_path / "stranger.platebook", handed))
    assert [one.refused for one in done.left_out] == [True]
    assert notes_of(school.tutor, school) == ["as it was"]


def test_a_forged_erasing_is_not_even_asked_about(tmp_path: Path, school: School) -> None:
    """One that nobody signed; one that a stranger signed is asked about as the stranger's."""
    stranger = stranger_at(tmp_path, school)
    erase_setter(stranger, ADA)
    export_bundle(stranger, tmp_path / "stranger.platebook")

    def unsigned(bundle: Bundle) -> Bundle:
        erased = tuple(replace(t, signed=None) for t in bundle.tombstones)
        return replace(bundle, tombstones=erased)

    done = imported(school.tutor, altered(tmp_path / "stranger.platebook", unsigned))
    assert (done.refused_erasings, done.asks_to_erase) == ((ADA,), ())
    done = imported(school.tutor, tmp_path / "stranger.platebook")
    assert [(one.name, one.by_themselves) for one in done.asks_to_erase] == [(ADA, False)]


def test_an_erasing_that_was_refused_is_told_once_then_counted(
    tmp_path: Path, school: School
) -> None:
    """By a share, whether the file changed since or not."""
    stranger = stranger_at(tmp_path, school)
    erase_setter(stranger, ADA)
    share(stranger, school.folder)
    file = own_file(school, stranger)

    def unsigned(bundle: Bundle) -> Bundle:
        erased = tuple(replace(t, signed=None) for t in bundle.tombstones)
        return replace(bundle, tombstones=erased)

    altered(file, unsigned).replace(file)
    shares = [share(school.tutor, school.folder) for _ in range(2)]
    file.write_bytes(file.read_bytes())
    shares.append(share(school.tutor, school.folder))
    said = ["\n".join(outcome_lines(done)) for done in shares]
    assert [f"It asks to erase {ADA}, which neither" in one for one in said] == [True, False, False]
    counted = "1 wish to erase somebody, which nobody signed, stays left out, as was said before."
    assert [counted in one for one in said] == [False, True, True]


def test_who_erases_themselves_is_known_by_their_key(tmp_path: Path, school: School) -> None:
    """It is their own wish where their key signed it, and their key goes with them."""
    erase_setter(school.ada, ADA)
    alone = replace(school.ada, setter_id=None, setter_name="")
    export_bundle(alone, tmp_path / "gone.platebook")
    done = imported(school.tutor, tmp_path / "gone.platebook")
    assert [(one.name, one.by_themselves) for one in done.asks_to_erase] == [(ADA, True)]
    keys = school.ada.path.with_name(f"{school.ada.path.name}-keys")
    assert [file.name for file in keys.iterdir() if file.stem == school.ada.setter_id] == []


def test_a_students_record_does_not_say_that_the_teacher_made_it(
    tmp_path: Path, school: School
) -> None:
    """Bram signs an attempt of his own that says it was entered by Corin Vale."""
    share(school.bram, school.folder, everyone=True)
    imported(school.tutor, own_file(school, school.bram))
    claims = replace(school.bram, author="Corin Vale")
    logged(claims, a_row(note="the teacher saw it"))
    export_bundle(claims, tmp_path / "bram.platebook")
    done = imported(school.tutor, tmp_path / "bram.platebook")
    assert [one.refused for one in done.left_out] == [True]
    assert attempts_of(school.tutor.for_setter(str(school.bram.setter_id), BRAM)) == ()


def test_receiving_a_bundle_twice_asks_nothing_again(school: School) -> None:
    """What is known is not judged again."""
    done = imported(school.tutor, own_file(school, school.ada))
    assert (done.revisions, done.left_out) == (0, ())


def test_anonymous_bundles_have_neither_keys_nor_signatures(tmp_path: Path, school: School) -> None:
    """Nothing in them tells one key's work from another's, and nothing is asked."""
    share(school.ada, school.folder, anonymous=True)
    (file,) = set(school.folder.iterdir()) - {
        own_file(school, school.ada),
        own_file(school, school.tutor),
    }
    with file.open("rb") as stream:
        bundle = read_bundle(stream)
    assert (bundle.keys, {r.signed for r in bundle.revisions}) == ((), {None})
    assert imported(desk_of(tmp_path, "fresh"), file).left_out == ()


def test_basis_is_not_moved_by_what_was_left_out(tmp_path: Path, school: School) -> None:
    """Answers rest on what came in alone."""
    before = basis_of(as_ada(school.tutor, school)).attempts
    stranger = stranger_at(tmp_path, school)
    amend(as_ada(stranger, school), the_attempt(school), {"result": "loose"})
    export_bundle(stranger, tmp_path / "one.platebook")
    imported(school.tutor, tmp_path / "one.platebook")
    assert basis_of(as_ada(school.tutor, school)).attempts == before


def test_of_whom_was_erased_no_key_and_no_name_comes_back(tmp_path: Path) -> None:
    """Their bundle is taken in again, with something new in it: nothing of theirs is remembered."""
    school = a_school(tmp_path)
    logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    erase_setter(school.tutor, ADA)
    logged(school.ada, a_row(began=minutes_on(1)))
    all_share(school, school.ada, school.tutor, school.tutor)
    assert check(school.tutor) == ()
    for file in school.tutor.path.parent.rglob("*"):
        assert not file.is_file() or ADA.encode() not in file.read_bytes(), file.name
