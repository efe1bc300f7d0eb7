"""The door: who may ask, how much they may send, and what the browser may load."""

import re
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cuffwright.web.refusal import answer

HOSTS = frozenset({"127.0.0.1", "localhost", "[::1]"})
"""Host names under which this machine reaches itself."""

LARGEST_BODY = 262_144
"""Numerical choice: bytes a request may carry; a case file has a few thousand."""

LARGEST_IMAGE = 4 * 1024**3
"""Numerical choice: bytes of one file of an import, written to disk while it comes; zip files are the largest."""

STREAMED = re.compile(r"/api/cases/[^/]+/images/imports/[^/]+/files")
"""Addresses whose body is passed on while it comes instead of being held."""
LARGEST_PICTURE = 8_000_000
"""Numerical choice: bytes a photograph of a label may have; no other request may carry so many."""

PICTURE_ENDS = "/theatre/photograph"

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


class Guard:
    """Refuses foreign hosts and origins and oversized bodies, and hardens every answer.

    A page elsewhere can neither read a case nor change one: the host must be one of ``hosts``, and a request that
    names an origin must name this very page.
    """

    def __init__(self, app: ASGIApp, hosts: frozenset[str] = HOSTS) -> None:
        self.app = app
        self.hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request through the door."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def hardened(message: Message) -> None:
            if message["type"] == "http.response.start":
                _harden(MutableHeaders(scope=message), scope["path"])
            await send(message)

        headers = Headers(scope=scope)
        refusal = self._foreign(headers)
        if refusal:
            status, sentence = refusal
            await answer(status, sentence)(scope, receive, hardened)
            return
        if STREAMED.fullmatch(scope["path"]):
            await self._streamed(scope, receive, hardened, headers)
            return
        most = LARGEST_PICTURE if scope["path"].endswith(PICTURE_ENDS) else LARGEST_BODY
        body = await _body(headers, receive, most)
        if body is None:
            sentence = f"the request is larger than {most} bytes; a case file is far smaller, so choose another"
            await answer(413, sentence)(scope, receive, hardened)
        else:
            await self.app(scope, _replayed(body, receive), hardened)

    async def _streamed(self, scope: Scope, receive: Receive, send: Send, headers: Headers) -> None:
        """Pass a file on while it comes; one without a stated length, or too long a one, is refused."""
        stated = headers.get("content-length", "")
        if not stated.isdigit() or int(stated) > LARGEST_IMAGE:
            sentence = f"a file of an import may have up to {LARGEST_IMAGE // 1024**3} GB; import it in parts"
            await answer(413, sentence)(scope, receive, send)
            return
        await self.app(scope, receive, send)

    def _foreign(self, headers: Headers) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return 421, "this program answers only under 127.0.0.1 or localhost; open it under that address"
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc != host:
            return 403, "a page of another origin asked; open this program's own page and do it there"
        if headers.get("sec-fetch-site") == "cross-site" and headers.get("sec-fetch-mode") != "navigate":
            return 403, "a page of another site asked; open this program's own page and do it there"
        return None


def _name(host: str) -> str:
    name, _, port = host.rpartition(":")
    return name if name and port.isdigit() else host


def _harden(headers: MutableHeaders, path: str) -> None:
    for key, value in HEADERS.items():
        headers[key] = value
    headers["Cache-Control"] = "no-cache" if path.startswith("/static/") else "no-store"


async def _body(headers: Headers, receive: Receive, most: int) -> bytes | None:
    stated = headers.get("content-length", "0")
    if not stated.isdigit() or int(stated) > most:
        return None
    body = bytearray()
    if stated == "0" and "transfer-encoding" not in headers:
        return b""
    while True:
        message = await receive()
        body += message.get("body", b"")
        if len(body) > most:
            return None
        if message["type"] == "http.disconnect" or not message.get("more_body", False):
            return bytes(body)


def _replayed(body: bytes, receive: Receive) -> Receive:
    spent = False

    async def replay() -> Message:
        nonlocal spent
        if spent:
            return await receive()
        spent = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay
