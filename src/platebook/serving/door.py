"""Who may come in to the app in a browser: with the key once, with a cookie afterwards.

A page of another site that is open in the same browser can send requests here too, and so can any
program on this machine. A page says where it comes from (`Origin`, RFC 6454), and a name that
someone pointed at this machine stands in `Host` (RFC 9110, section 7.2): both have to be this
server's own. Whoever comes in brings the key that stood in the terminal. It works once; what
lets the browser in from then on is a cookie that scripts cannot read (`HttpOnly`) and that other
sites' requests do not carry (`SameSite`, RFC 6265bis, section 5.2).
"""

import hmac
import ipaddress
import logging
import secrets
from collections.abc import Callable
from http import HTTPStatus
from urllib.parse import urlsplit

from aiohttp import web
from aiohttp.http_exceptions import HttpProcessingError
from aiohttp.typedefs import Handler

HERE = ("127.0.0.1", "localhost")

STRANGER = "This page answers only to the browser of the machine it runs on.\n"
KEYLESS = (
    "This needs the key. Open the whole address that platebook serve says in its terminal; "
    "each works once, for one browser.\n"
)
ALLOWED = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:;"
    " font-src 'self' data:; connect-src 'self' ws://{host}; base-uri 'none'; form-action 'none';"
    " frame-ancestors 'none'"
)
"""What the page may load (Content Security Policy, level 3); nobody may put it in a frame."""


def own_name(host: str, port: int, *, network: bool = False) -> bool:
    """Whether `host`, as a browser sends it, is this machine at this port.

    On the room's network any plain address at this port passes, because the machine may have
    several. A name does not: whoever owns a name can point it here.
    """
    if host in {f"{name}:{port}" for name in HERE}:
        return True
    name, _, number = host.rpartition(":")
    return network and number == str(port) and _is_address(name)


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return True


def own_origin(origin: str, port: int, *, network: bool = False) -> bool:
    """Whether the page that asks was given out by this server."""
    try:
        parts = urlsplit(origin)
    except ValueError:
        return False
    return parts.scheme == "http" and own_name(parts.netloc, port, network=network)


class Door:
    """What every request passes; `tell` hears the address with the key, and each one after it."""

    def __init__(self, port: int, tell: Callable[[str], None], *, network: bool = False) -> None:
        self._port = port
        self._network = network
        self._tell = tell
        self._key = secrets.token_urlsafe(18)
        self._known: set[str] = set()
        self.cookie = f"platebook-{port}"

    def address(self, host: str) -> str:
        """The address that lets one browser in, seen from where `host` is this machine."""
        return f"http://{host}:{self._port}/?key={self._key}"

    @web.middleware
    async def watch(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """403 for one that comes from elsewhere, or without key and cookie."""
        origin = request.headers.get("Origin")
        if not own_name(request.host, self._port, network=self._network) or not (
            origin is None or own_origin(origin, self._port, network=self._network)
        ):
            return web.Response(status=HTTPStatus.FORBIDDEN, text=STRANGER)
        offered = request.query.get("key")
        if offered is not None and request.path == "/":
            return self._let_in(request, offered)
        if not self._is_known(request):
            return web.Response(status=HTTPStatus.FORBIDDEN, text=KEYLESS)
        return await handler(request)

    def _is_known(self, request: web.Request) -> bool:
        brought = request.cookies.get(self.cookie, "")
        return any(
            hmac.compare_digest(brought.encode("utf-8", "replace"), known.encode())
            for known in self._known
        )

    def _let_in(self, request: web.Request, offered: str) -> web.Response:
        """Away from the address with the key in it, with a cookie where the key was right."""
        answer = web.Response(status=HTTPStatus.SEE_OTHER, headers={"Location": "/"})
        if self._is_known(request):
            return answer
        if not hmac.compare_digest(offered.encode("utf-8", "replace"), self._key.encode()):
            return web.Response(status=HTTPStatus.FORBIDDEN, text=KEYLESS)
        self._key = secrets.token_urlsafe(18)
        known = secrets.token_urlsafe(32)
        self._known.add(known)
        answer.set_cookie(self.cookie, known, httponly=True, samesite="Lax", path="/")
        self._tell(request.host.rpartition(":")[0])
        return answer


def say_nothing_of_bad_requests() -> None:
    """Keep requests that are no HTTP out of the server's terminal: 400 is all the answer."""
    logging.getLogger("aiohttp.server").addFilter(_is_our_fault)


def _is_our_fault(record: logging.LogRecord) -> bool:
    return not (record.exc_info and isinstance(record.exc_info[1], HttpProcessingError))


async def say_what_is_allowed(request: web.Request, response: web.StreamResponse) -> None:
    """The headers of every answer: in no frame, from nowhere else, kept by nobody on the way."""
    response.headers.update(
        {
            "Content-Security-Policy": ALLOWED.format(host=request.host),
            "X-Frame-Options": "DENY",
            "X-Content-Type-Options": "nosniff",
            "Referrer-Policy": "no-referrer",
            "Cross-Origin-Opener-Policy": "same-origin",
            "Cross-Origin-Resource-Policy": "same-origin",
            "Cache-Control": "no-store",
        }
    )
