"""Who may come in: pages of this machine, asked for by the name that they were opened under.

A page of another site that is open in the same browser can send requests here too. It says where it
comes from (`Origin`, RFC 6454), and a name that someone pointed at this machine stands in `Host`
(RFC 9110, section 7.2): both have to be this server's own.
"""

from http import HTTPStatus
from urllib.parse import urlsplit

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware

HERE = ("127.0.0.1", "localhost")

STRANGER = "This page answers only to the browser of the machine it runs on.\n"


def own_name(host: str, port: int) -> bool:
    """Whether `host`, as a browser sends it, is this machine at this port."""
    return host in {f"{name}:{port}" for name in HERE}


def own_origin(origin: str, port: int) -> bool:
    """Whether the page that asks was given out by this server."""
    parts = urlsplit(origin)
    return parts.scheme == "http" and own_name(parts.netloc, port)


def door(port: int) -> Middleware:
    """What every request passes: 403 for one that comes from elsewhere."""

    @web.middleware
    async def watch(request: web.Request, handler: Handler) -> web.StreamResponse:
        origin = request.headers.get("Origin")
        known = own_name(request.host, port) and (origin is None or own_origin(origin, port))
        if not known:
            return web.Response(status=HTTPStatus.FORBIDDEN, text=STRANGER)
        return await handler(request)

    return watch
