"""What a far place may answer instead of what it was asked: each is a sentence with what to do.

Numbers of answers are those of RFC 9110 (section 15) and RFC 4918 (section 11).
"""

import contextlib
import datetime as dt
import hashlib
import http.server
import ipaddress
import socket
import ssl
import threading
import urllib.parse
from collections.abc import Callable, Iterator
from pathlib import Path
from xml.sax.saxutils import escape

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from tests.services.bench import ADA, a_row, logged
from tests.services.school import School, a_school, own_file
from tests.services.sharing.slow_place import Bytes

from platebook.services.people.setters import list_setters
from platebook.services.session import Refused
from platebook.services.sharing.places.far import FarPlace
from platebook.services.sharing.places.place import Lying, NotHad, Unreachable, far_address
from platebook.services.sharing.share_folder import share

pytest.importorskip("webdav4", reason="needs the extra webdav")

FOLDER = "/thursday"


class Dav(http.server.ThreadingHTTPServer):
    """A folder of this machine that speaks WebDAV; `says` answers kinds of requests otherwise."""

    daemon_threads = True

    def __init__(self, host: str = "127.0.0.1") -> None:
        self.address_family = socket.AF_INET6 if ":" in host else socket.AF_INET
        super().__init__((host, 0), _Answers)
        self.files: dict[str, bytes] = {}
        self.says: dict[str, int | bytes] = {}
        threading.Thread(target=self.serve_forever, daemon=True).start()

    @property
    def address(self) -> str:
        """Where it lies."""
        host, port = self.server_address[:2]
        shown = f"[{host!s}]" if ":" in str(host) else str(host)
        return f"http://{shown}:{port}{FOLDER}"

    def handle_error(self, request: object, client_address: object) -> None:
        """A line that was closed in the middle is what some tests want."""


class _Answers(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: Dav

    def log_message(self, *words: object) -> None:
        """Nothing is printed."""

    def answer(self, number: int, body: bytes = b"", **heads: str) -> None:
        self.send_response(number)
        for name, value in {"Content-Length": str(len(body)), **heads}.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def asked(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        if "chunked" in self.headers.get("Transfer-Encoding", ""):
            while size := int(self.rfile.readline(), 16):
                body += self.rfile.read(size)
                self.rfile.readline()
            self.rfile.readline()
        path = urllib.parse.unquote(urllib.parse.urlsplit(self.path).path).rstrip("/")
        said = self.server.says.get(self.command)
        if isinstance(said, bytes):
            self.wfile.write(said)
            self.close_connection = True
        elif said is not None:
            self.answer(said, b"words of the server", Location="")
        else:
            getattr(self, f"on_{self.command.lower()}")(path, body)

    do_GET = do_PUT = do_PROPFIND = do_MOVE = do_DELETE = do_MKCOL = do_OPTIONS = asked  # noqa: N815 - as the library calls them

    def on_options(self, path: str, body: bytes) -> None:
        del path, body
        self.answer(200, DAV="1")

    def on_mkcol(self, path: str, body: bytes) -> None:
        del path, body
        self.answer(405)  # it is there

    def on_get(self, path: str, body: bytes) -> None:
        del body
        found = self.server.files.get(path)
        self.answer(404 if found is None else 200, found or b"")

    def on_put(self, path: str, body: bytes) -> None:
        self.server.files[path] = body
        self.answer(201)

    def on_delete(self, path: str, body: bytes) -> None:
        del body
        self.answer(204 if self.server.files.pop(path, None) is not None else 404)

    def on_move(self, path: str, body: bytes) -> None:
        del body
        to = urllib.parse.unquote(urllib.parse.urlsplit(self.headers["Destination"]).path)
        self.server.files[to] = self.server.files.pop(path)
        self.answer(201)

    def on_propfind(self, path: str, body: bytes) -> None:
        del body
        files = self.server.files
        rows = [path] if path in files else [one for one in files if one.startswith(path)]
        listed = "" if path in files else _row(f"{path}/", None)
        listed += "".join(_row(one, files[one]) for one in rows)
        self.answer(207, f'<d:multistatus xmlns:d="DAV:">{listed}</d:multistatus>'.encode())


def _row(path: str, content: bytes | None) -> str:
    if content is None:
        about = "<d:resourcetype><d:collection/></d:resourcetype>"
    else:
        tag = hashlib.sha256(content).hexdigest()
        about = (
            f"<d:resourcetype/><d:getcontentlength>{len(content)}</d:getcontentlength>"
            f"<d:getetag>{tag}</d:getetag>"
        )
    href = escape(urllib.parse.quote(path))
    return (
        f"<d:response><d:href>{href}</d:href><d:propstat><d:prop>{about}</d:prop>"
        "<d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response>"
    )


@pytest.fixture
def dav() -> Iterator[Dav]:
    """A folder in which one file lies."""
    server = Dav()
    server.files[f"{FOLDER}/a.platebook"] = b"what stood there"
    yield server
    server.shutdown()
    server.server_close()


def listing(place: FarPlace) -> object:
    """What lies there is asked for."""
    return place.files()


def writing(place: FarPlace) -> object:
    """A file is written over what is there."""
    return place.put("a.platebook", Bytes(b"what is new"))


NOT_THERE = "is not there. Make it first, or look"
KEPT_OUT = "does not let you in. Look whether your key"
PROXY = "cannot be reached by the proxy that this machine goes through"
ON_AND_ON = "sends on and on to other addresses. Look"
SENT_ON = "sends on to an address that cannot be opened. Look"
NO_PLACE = "does not do what a place for files does (it answers 405). Look whether"
BUSY = "has too much to do just now (it answers {}). Try again in some minutes"
TROUBLE = "has trouble of its own (it answers 500). Try again later; if it stays so"
REFUSES = "refuses what is asked of it (it answers 412). Try again later"
FULL = "has no room left for your file. Take away"
HALF = b"HTTP/1.1 200 OK\r\nContent-Length: 500\r\n\r\nhalf of it"
BROKE_OFF = "broke off in the middle of an answer. Share again"
NO_DAV = "does not answer as a place for files does. Look whether"
PAGE = b"HTTP/1.1 200 OK\r\nContent-Length: 6\r\n\r\n<html>"


@pytest.mark.parametrize(
    ("kind", "said", "asks", "sentence"),
    [
        ("PROPFIND", 308, listing, ON_AND_ON),
        ("PROPFIND", 401, listing, KEPT_OUT),
        ("PROPFIND", 404, listing, NOT_THERE),
        ("PROPFIND", 405, listing, NO_PLACE),
        ("PROPFIND", 407, listing, PROXY),
        ("PROPFIND", HALF, listing, BROKE_OFF),
        ("PROPFIND", PAGE, listing, NO_DAV),
        ("PUT", 301, writing, SENT_ON),
        ("PUT", 403, writing, KEPT_OUT),
        ("PUT", 409, writing, NOT_THERE),
        ("PUT", 412, writing, REFUSES),
        ("PUT", 413, writing, FULL),
        ("PUT", 507, writing, FULL),
        ("PUT", HALF, writing, BROKE_OFF),
        ("MOVE", 412, writing, REFUSES),
        ("MOVE", 507, writing, FULL),
    ],
)
def test_an_answer_that_is_none_is_a_sentence(
    dav: Dav,
    kind: str,
    said: int | bytes,
    asks: Callable[[FarPlace], object],
    sentence: str,
) -> None:
    """That says what to do, in none of the server's words; nothing half-written stays there."""
    dav.says[kind] = said
    with contextlib.closing(FarPlace(dav.address)) as place, pytest.raises(Unreachable) as caught:
        asks(place)
    assert caught.value.sentence.startswith(f"{dav.address}: {sentence}")
    assert "words of the server" not in caught.value.sentence
    assert dav.files == {f"{FOLDER}/a.platebook": b"what stood there"}


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        (423, "is locked there by another program. Try again in some minutes"),
        (429, BUSY.format(429)),
        (500, TROUBLE),
        (503, BUSY.format(503)),
    ],
)
def test_what_is_asked_again_by_the_library_is_a_sentence_too(
    number: int, sentence: str, dav: Dav, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It asks three times, each after a longer rest; here after none."""
    monkeypatch.setattr("webdav4.retry.BACKOFF", 0)
    dav.says["PUT"] = number
    with contextlib.closing(FarPlace(dav.address)) as place, pytest.raises(Unreachable) as caught:
        place.put("a.platebook", Bytes(b"what is new"))
    assert caught.value.sentence.startswith(f"{dav.address}: {sentence}")
    assert dav.files == {f"{FOLDER}/a.platebook": b"what stood there"}


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (403, "may not be read there by you; ask whoever wrote it, or keeps the place"),
        (404, "is not there any more"),
        (423, "is locked there; share again later"),
        (500, "cannot be read there (it answers 500); share again later"),
        (HALF, "broke off while it was read; share again, and have it written anew if it stays so"),
    ],
)
def test_one_file_that_is_not_given_is_named(dav: Dav, said: int | bytes, words: str) -> None:
    """It says nothing of the place."""
    dav.says["GET"] = said
    with contextlib.closing(FarPlace(dav.address)) as place:
        (found,) = place.bundles(place.files())
    assert isinstance(found, NotHad)
    assert found.sentence == f"a.platebook: {words}. Nothing of it was taken in."


def test_a_file_that_is_gone_since_it_was_listed_stops_nobody(dav: Dav, tmp_path: Path) -> None:
    """The others' come in; one's own is never written over unread."""
    school = a_school(tmp_path)
    logged(school.ada, a_row())
    share(school.ada, dav.address)
    gone = f"{FOLDER}/{'0' * 8}-0000-7000-8000-{'0' * 12}.platebook"
    dav.files[gone] = b""
    del dav.files[f"{FOLDER}/a.platebook"]

    class Gone(_Answers):
        def on_get(self, path: str, body: bytes) -> None:
            self.server.files.pop(gone, None)
            super().on_get(path, body)

    dav.RequestHandlerClass = Gone
    done = share(school.tutor, dav.address, everyone=True)
    assert [one.sentence.partition(": ")[2] for one in done.unread] == [
        "is not there any more. Nothing of it was taken in."
    ]
    assert [person.setter.name for person in list_setters(school.tutor)] == [ADA]


def test_an_own_file_that_is_not_given_is_not_written_over(dav: Dav, tmp_path: Path) -> None:
    """Nothing is known of what it says, and it is not to be moved away either."""
    school: School = a_school(tmp_path)
    logged(school.ada, a_row())
    share(school.ada, dav.address)
    name = f"{FOLDER}/{own_file(school, school.ada).name}"
    dav.files[name] = another = dav.files[name] + b"\n"
    dav.says["GET"] = 500
    with pytest.raises(Refused) as caught:
        share(school.ada, dav.address)
    assert caught.value.sentence.endswith("so nothing was shared: share again later.")
    assert dav.files[name] == another


def test_a_store_that_took_less_than_it_says_is_told(dav: Dav) -> None:
    """As a page of a network that wants a password first answers to whatever is asked of it."""
    short = dav.files

    class Short(_Answers):
        def on_put(self, path: str, body: bytes) -> None:
            super().on_put(path, body[:3])

    dav.RequestHandlerClass = Short
    with contextlib.closing(FarPlace(dav.address)) as place, pytest.raises(Unreachable) as caught:
        place.put("a.platebook", Bytes(b"what is new"))
    assert f"{dav.address}: says that it took your file, and does" in caught.value.sentence
    assert short == {f"{FOLDER}/a.platebook": b"what stood there"}


def certificate(tmp_path: Path) -> Path:
    """A machine's own certificate for 127.0.0.1, with its key, which nobody else signed."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "127.0.0.1")])
    now = dt.datetime.now(dt.UTC)
    made = (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(hours=1))
        .not_valid_after(now + dt.timedelta(days=1))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]),
            critical=False,
        )
        .sign(key, hashes.SHA256())
    )
    file = tmp_path / "own.pem"
    file.write_bytes(
        made.public_bytes(serialization.Encoding.PEM)
        + key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return file


def test_a_certificate_that_nobody_signed_is_not_trusted(
    dav: Dav, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Unless it is named; a name that leads nowhere is said."""
    own = certificate(tmp_path)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(own)
    dav.socket = context.wrap_socket(dav.socket, server_side=True)
    safe = dav.address.replace("http:", "https:")
    monkeypatch.delenv("SSL_CERT_FILE", raising=False)
    with pytest.raises(Unreachable, match="shows a certificate that this machine does not trust"):
        FarPlace(safe).files()
    monkeypatch.setenv("SSL_CERT_FILE", str(own))
    with contextlib.closing(FarPlace(safe)) as place:
        assert [one.name for one in place.files()] == ["a.platebook"]
    monkeypatch.setenv("SSL_CERT_FILE", str(tmp_path / "nothing.pem"))
    with pytest.raises(Refused, match="SSL_CERT_FILE names a file of certificates that is not"):
        FarPlace(safe).files()


def test_a_place_that_is_not_safe_under_a_safe_address(dav: Dav) -> None:
    """It is the address that is wrong."""
    with pytest.raises(Unreachable, match="does not speak as an address with https:// does"):
        FarPlace(dav.address.replace("http:", "https:")).files()


@pytest.mark.parametrize(
    ("proxy", "said"),
    [("http://127.0.0.1:1", PROXY), ("socks5://127.0.0.1:1", "the proxy that this machine goes")],
)
def test_a_proxy_that_leads_nowhere_is_told(
    proxy: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not that the place is not there: it was not asked."""
    for name in ("HTTP_PROXY", "http_proxy"):
        monkeypatch.setenv(name, proxy)
    for name in ("NO_PROXY", "no_proxy"):
        monkeypatch.delenv(name, raising=False)
    with pytest.raises(Refused) as caught:
        FarPlace("http://cloud.invalid/thursday").files()
    assert caught.value.sentence.startswith(f"http://cloud.invalid/thursday: {said}")


@pytest.mark.skipif(not socket.has_ipv6, reason="needs IPv6")
def test_a_machine_may_be_named_by_its_long_number() -> None:
    """In brackets, as RFC 3986 (section 3.2.2) writes it."""
    try:
        server = Dav("::1")
    except OSError:
        pytest.skip("needs IPv6 on this machine")
    address = far_address(server.address)
    with contextlib.closing(FarPlace(address)) as place:
        place.put("a.platebook", Bytes(b"what is new"))
        assert [one.name for one in place.files()] == ["a.platebook"]
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("name", ["Jörg & Søn", "a b", "100%", "Класс", "a;b=c"])
def test_a_folder_may_bear_any_name(dav: Dav, name: str) -> None:
    """What is written into it is found in it, by its name and by how addresses write that."""
    folder = f"/{name}"
    dav.files = {}
    for written in (name, urllib.parse.quote(name)):
        address = far_address(dav.address.replace(FOLDER, f"/{written}"))
        with contextlib.closing(FarPlace(address)) as place:
            place.put("a.platebook", Bytes(b"what is new"))
            assert place.files() == (Lying("a.platebook", 11, place.files()[0].mark),)
    assert dav.files == {f"{folder}/a.platebook": b"what is new"}


@pytest.mark.parametrize("typed", ["https://host:99999/x", "sftp://ada@host:port/x"])
def test_an_address_whose_number_is_none(typed: str) -> None:
    """It is read before it is asked for."""
    with pytest.raises(Refused, match="is no address that can be read"):
        FarPlace(far_address(typed)).files()


def test_an_address_without_a_machine() -> None:
    """Or without a bucket."""
    for typed in ("https:///x", "s3:///x", "sftp:///x"):
        with pytest.raises(Refused, match="is no address of one place"):
            FarPlace(typed).files()
