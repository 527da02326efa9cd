"""Which course a setter follows: a shipped one, or one of their own that the logbook keeps."""

from pathlib import Path

import pytest
from tests.services.bench import COURSE, a_row, ada_at, logged

from platebook.logbook import defaults, open_logbook, records
from platebook.practice.course_file import load_course, shipped_course
from platebook.practice.records import Setter
from platebook.services.answers import next_with_sizes, progress
from platebook.services.attempts.log import attempts_of
from platebook.services.files import write_new_course
from platebook.services.session import Refused, course_of, shipped
from platebook.services.setters import follow_course, list_setters

OWN = (
    shipped_course(COURSE)
    .replace(f'id = "{COURSE}"', 'id = "tarnwick"')
    .replace('title = "Small to large"', 'title = "Tarnwick evenings"')
)


def test_a_course_of_ones_own_is_kept_and_followed(tmp_path: Path) -> None:
    """The logbook has its text, so it is followed after the file is gone."""
    session = ada_at(tmp_path)
    follow_course(session, "tarnwick", OWN)
    assert [x.setter.course for x in list_setters(session)] == ["tarnwick"]
    with open_logbook(session.path) as book:
        assert [kept.text for kept in book.ask(defaults.course_texts, "tarnwick")] == [OWN]
    assert progress(session).course == "tarnwick"
    assert next_with_sizes(session)[0].course == "tarnwick"
    logged(session, a_row())
    assert [a.course for a in attempts_of(session)] == ["tarnwick"]


def test_the_newest_version_kept_is_the_one_followed(tmp_path: Path) -> None:
    """Older texts stay for the attempts that were made with them."""
    session = ada_at(tmp_path)
    follow_course(session, "tarnwick", OWN)
    follow_course(session, "tarnwick", OWN.replace("\nversion = 1\n", "\nversion = 2\n"))
    assert progress(session).course_version == 2
    with open_logbook(session.path) as book:
        assert [kept.version for kept in book.ask(defaults.course_texts, "tarnwick")] == [1, 2]


def test_another_course_leaves_the_old_ones_track_behind(tmp_path: Path) -> None:
    """The track belonged to the course before; name and group stay."""
    session = ada_at(tmp_path)
    before = list_setters(session)[0].setter
    with open_logbook(session.path) as book:
        on_track = before.model_copy(update={"track": "sterling", "group": "Tuesdays"})
        book.tell(
            records.amend,
            "setter",
            session.setter_id or "",
            on_track,
            book.stamp("Ada Quill", session.clock(), "amend"),
        )
    follow_course(session, "large-to-small")
    assert list_setters(session)[0].setter == on_track.model_copy(
        update={"course": "large-to-small", "track": None}
    )


def test_an_unknown_course_is_refused_with_those_there_are(tmp_path: Path) -> None:
    """And the setter follows what they followed."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match="course: read 'backwards', expected one of: small-to-large"):
        follow_course(session, "backwards")
    assert [x.setter.course for x in list_setters(session)] == [COURSE]


def test_nobody_or_a_lost_course_gets_the_one_offered_first(tmp_path: Path) -> None:
    """Work goes on."""
    session = ada_at(tmp_path)
    with open_logbook(session.path) as book:
        assert course_of(book, None).id == COURSE
        assert course_of(book, Setter(name="Bram Osk", course="lost")).id == COURSE
        assert course_of(book, Setter(name="Bram Osk", course="large-to-small")).id == (
            "large-to-small"
        )


def test_a_new_course_file_is_a_shipped_one_to_change(tmp_path: Path) -> None:
    """It reads as the same course; nothing is overwritten and no other course is guessed."""
    file = tmp_path / "mine.toml"
    write_new_course(file, COURSE)
    assert load_course(file.read_text(encoding="utf-8")) == shipped()[0]
    with pytest.raises(Refused, match="is there already; name another file"):
        write_new_course(file, "large-to-small")
    assert load_course(file.read_text(encoding="utf-8")) == shipped()[0]
    with pytest.raises(Refused, match=r"--like: read 'backwards', expected one of: small-to"):
        write_new_course(tmp_path / "other.toml", "backwards")
    with pytest.raises(Refused, match="No such file"):
        write_new_course(tmp_path / "no folder" / "other.toml", COURSE)
    assert [f.name for f in tmp_path.iterdir()] == ["mine.toml"]
