"""Sharing through an object store: a server of this machine that speaks S3."""

import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.services.bench import ADA, BRAM, a_row, logged
from tests.services.school import School, a_school, own_file

from platebook.services.people.setters import list_setters
from platebook.services.session import Refused
from platebook.services.sharing.share_folder import share

WHY = "needs the extra s3 and a server for tests, which the extra dev installs"
pytest.importorskip("s3fs", reason=WHY)
server = pytest.importorskip("moto.server", reason=WHY)

BUCKET = "school"
ADDRESS = f"s3://{BUCKET}/thursday"
KEYS = {
    "AWS_ACCESS_KEY_ID": "bench-key",
    "AWS_SECRET_ACCESS_KEY": "hush-hush",
    "AWS_DEFAULT_REGION": "us-east-1",
    "AWS_EC2_METADATA_DISABLED": "true",
}


@pytest.fixture(scope="module")
def endpoint() -> Iterator[str]:
    """A server of this machine, on any port that is free."""
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    running = server.ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    running.start()
    host, port = running.get_host_and_port()
    yield f"http://{host}:{port}"
    running.stop()


@pytest.fixture
def school(tmp_path: Path, endpoint: str, monkeypatch: pytest.MonkeyPatch) -> School:
    """Ada and Bram have an attempt each; key and server stand where the library looks for them."""
    for name, value in (KEYS | {"AWS_ENDPOINT_URL": endpoint}).items():
        monkeypatch.setenv(name, value)
    school = a_school(tmp_path)
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    return school


@pytest.fixture
def store(school: School) -> Any:
    """The store, as whoever keeps it looks into it."""
    del school
    import s3fs

    return s3fs.S3FileSystem(skip_instance_cache=True, use_listings_cache=False)


def test_logbooks_meet_in_a_store(school: School, store: Any) -> None:
    """The first one writes where nothing was; what did not change is not read again."""
    store.mkdir(BUCKET)
    done = [share(one, ADDRESS, everyone=one is school.tutor) for one in (school.ada, school.tutor)]
    assert [len(one.received) for one in done] == [0, 1]
    assert {name.rpartition("/")[2] for name in store.ls(f"{BUCKET}/thursday")} == {
        own_file(school, desk).name for desk in (school.ada, school.tutor)
    }
    assert [(p.setter.name, p.attempts) for p in list_setters(school.tutor)] == [(ADA, 1)]
    share(school.bram, ADDRESS)
    store.pipe_file(f"{BUCKET}/thursday/odd.platebook", b"PK\x03\x04")
    again = share(school.tutor, ADDRESS, everyone=True)
    assert {one.authors: (one.unchanged, one.revisions) for one in again.received} == {
        (ADA,): (True, 0),
        (BRAM,): (False, 2),
    }
    assert [one.file for one in again.unread] == ["odd.platebook"]
    assert all(b"hush-hush" not in desk.path.read_bytes() for desk in (school.ada, school.tutor))


def test_a_bucket_that_is_not_there(school: School) -> None:
    """Is said and not made."""
    with pytest.raises(Refused, match="s3://elsewhere/thursday: is not there"):
        share(school.ada, "s3://elsewhere/thursday")


def test_a_server_that_is_not_there(school: School, monkeypatch: pytest.MonkeyPatch) -> None:
    """One sentence, with neither key nor the library's own words in it."""
    monkeypatch.setenv("AWS_ENDPOINT_URL", "http://127.0.0.1:9")
    with pytest.raises(Refused) as caught:
        share(school.ada, ADDRESS)
    assert caught.value.sentence == (
        f"{ADDRESS}: cannot be reached from here. Look whether this machine is connected and the "
        "address is right. Nothing was shared."
    )


def test_no_key(school: School, monkeypatch: pytest.MonkeyPatch) -> None:
    """Says where to look."""
    for name in ("AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY"):
        monkeypatch.delenv(name)
    with pytest.raises(Refused, match="does not let you in"):
        share(school.ada, ADDRESS)
