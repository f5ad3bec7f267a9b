"""The web server: the page's own files, the pairing, and one WebSocket for each page.

It listens on the one address it is given. Every request must name that address as its Host; what changes anything or
carries sound must come from the page itself (Origin); only a paired cookie opens a WebSocket. Frames are limited in
size and rate, requests in rate. Nothing may be cached, nothing else loaded, no other page may frame it.

Duty: let in who is paired, carry messages both ways. It must not look into sound, and must not keep any.
"""

from __future__ import annotations

import asyncio
import contextlib
import ipaddress
import json
import ssl
import threading
import time
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Final

from aiohttp import WSMsgType, web

from voicefit.errors import BadInput
from voicefit.phone.certificate import Certificate
from voicefit.phone.pairing import Pairing, Role
from voicefit.phone.sound import Message, Phone

PAGE = Path(__file__).with_name("page")
FILES: Final = {"/": "page.html", "/page.css": "page.css", "/page.js": "page.js", "/capture.js": "capture.js"}
TYPES: Final = {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}
COOKIE = "voicefit-page"
LARGEST_FRAME, LARGEST_BODY = 8_192, 256  # bytes
FRAMES_A_S, BYTES_A_S, BURST_S = 60.0, 96_000.0, 6.0  # sound is 25 frames and 32,000 bytes a second
REQUESTS_A_S, REQUESTS_AT_ONCE = 10.0, 60.0
PAGES_AT_MOST = 12
BEAT_S = 0.5  # pages that hear nothing for three beats know that the connection is gone
JOINED_AGAIN, NOT_ALLOWED = 4001, 1008


class Bucket:
    """So much a second, and so much at once."""

    def __init__(self, a_second: float, at_once: float) -> None:
        self._a_second, self._at_once = a_second, at_once
        self._left, self._at = at_once, time.monotonic()

    def take(self, amount: float = 1.0) -> bool:
        now = time.monotonic()
        self._left = min(self._at_once, self._left + (now - self._at) * self._a_second) - amount
        self._at = now
        return self._left >= 0


class Server:
    """Serves from ``start`` to ``close``, on a thread of its own.

    ``address`` : an IP address of this machine; a loopback address is served without TLS, any other needs
    ``certificate``. ``port`` : 0 for a free one. ``headset`` : worn at the phone, which then cancels no echo. Raises
    ``BadInput`` for an address that cannot be listened on.
    """

    def __init__(
        self,
        pairing: Pairing,
        phone: Phone,
        address: str,
        port: int = 0,
        certificate: Certificate | None = None,
        *,
        headset: bool = False,
    ) -> None:
        if ipaddress.ip_address(address).is_unspecified:
            raise BadInput(f"{address} is every network of this machine: name one of its addresses")
        self._pairing, self._phone = pairing, phone
        self._address, self._port, self._certificate = address, port, certificate
        self._headset = headset
        self._files = {path: (PAGE / name).read_bytes() for path, name in FILES.items()}
        self._pages: dict[web.WebSocketResponse, Role] = {}
        self._requests: dict[str, Bucket] = {}
        self._view = ""
        self._loop = asyncio.new_event_loop()
        self._ready: threading.Event = threading.Event()
        self._error: OSError | None = None
        self._thread = threading.Thread(target=self._run, name="phone page", daemon=True)

    def start(self) -> None:
        self._thread.start()
        self._ready.wait()
        if self._error is not None:
            reason = self._error.strerror or str(self._error)
            raise BadInput(f"{self._address}, port {self._port}: cannot be listened on ({reason})")

    @property
    def host(self) -> str:
        address = f"[{self._address}]" if ":" in self._address else self._address
        return f"{address}:{self._port}"

    @property
    def origin(self) -> str:
        return f"{'http' if self._certificate is None else 'https'}://{self.host}"

    def link(self, secret: str) -> str:
        """What the code holds. What follows the # is never sent with a request, nor written in a log."""
        return f"{self.origin}/#{secret}"

    def show(self, view: str) -> None:
        """Send a view to every page; from any thread. Pages that come later get it when they come."""
        with contextlib.suppress(RuntimeError):  # closed
            self._loop.call_soon_threadsafe(self._show, view)

    def close(self) -> None:
        with contextlib.suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(timeout=5.0)

    # ---- the thread ---------------------------------------------------------------------------------------

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        try:
            runner = self._loop.run_until_complete(self._listen())
        except OSError as error:
            self._error = error
            self._ready.set()
            self._loop.close()
            return
        beat = self._loop.create_task(self._beat())
        self._ready.set()
        self._loop.run_forever()
        beat.cancel()
        for page in list(self._pages):
            self._loop.run_until_complete(page.close(code=1001, message=b"the session has ended"))
        self._loop.run_until_complete(runner.cleanup())
        self._loop.close()

    async def _listen(self) -> web.AppRunner:
        app = web.Application(middlewares=[self._guard], client_max_size=LARGEST_BODY)
        for path in FILES:
            app.router.add_get(path, self._file)
        app.router.add_post("/pair", self._pair)
        app.router.add_get("/role", self._role)
        app.router.add_get("/live", self._live)
        app.on_response_prepare.append(self._headers)
        runner = web.AppRunner(app, access_log=None, shutdown_timeout=1.0)
        await runner.setup()
        context = None
        if self._certificate is not None:
            context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
            context.load_cert_chain(self._certificate.certificate_file, self._certificate.key_file)
        site = web.TCPSite(runner, self._address, self._port, ssl_context=context)
        await site.start()
        self._port = runner.addresses[0][1]
        return runner

    async def _beat(self) -> None:
        """A page cannot see that its radio is gone; it sees that nothing comes."""
        while True:
            await asyncio.sleep(BEAT_S)
            for page in list(self._pages):
                await _send(page, '{"type":"beat"}')

    def _show(self, view: str) -> None:
        self._view = view
        for page in list(self._pages):
            self._loop.create_task(_send(page, view))

    # ---- requests -----------------------------------------------------------------------------------------

    @web.middleware
    async def _guard(
        self, request: web.Request, handler: Callable[[web.Request], Awaitable[web.StreamResponse]]
    ) -> web.StreamResponse:
        remote = request.remote or ""
        if len(self._requests) > 1000:
            self._requests.clear()
        if not self._requests.setdefault(remote, Bucket(REQUESTS_A_S, REQUESTS_AT_ONCE)).take():
            raise web.HTTPTooManyRequests
        if request.headers.get("Host", "") != self.host:
            raise web.HTTPMisdirectedRequest  # a name that somebody made to mean this machine
        if request.path in ("/pair", "/live") and request.headers.get("Origin") != self.origin:
            raise web.HTTPForbidden
        return await handler(request)

    async def _headers(self, request: web.Request, response: web.StreamResponse) -> None:
        socket = self.origin.replace("http", "ws", 1)
        response.headers.update(
            {
                "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
                f"connect-src 'self' {socket}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
                "Cache-Control": "no-store",
                "X-Content-Type-Options": "nosniff",
                "Referrer-Policy": "no-referrer",
                "Permissions-Policy": "microphone=(self), screen-wake-lock=(self), camera=(), geolocation=()",
                "Cross-Origin-Opener-Policy": "same-origin",
                "Cross-Origin-Resource-Policy": "same-origin",
                "Server": "voicefit",
            }
        )

    async def _file(self, request: web.Request) -> web.Response:
        kind = TYPES[Path(FILES[request.path]).suffix]
        return web.Response(body=self._files[request.path], content_type=kind, charset="utf-8")

    async def _pair(self, request: web.Request) -> web.Response:
        try:
            secret = json.loads(await request.text())["secret"]
        except (ValueError, KeyError, TypeError):
            raise web.HTTPBadRequest from None
        cookie = self._pairing.redeem(secret) if isinstance(secret, str) else None
        if cookie is None:
            raise web.HTTPForbidden
        response = web.json_response({"role": self._pairing.role_of(cookie)})
        response.set_cookie(COOKIE, cookie, httponly=True, secure=True, samesite="Strict", path="/")
        return response

    async def _role(self, request: web.Request) -> web.Response:
        return web.json_response({"role": self._role_of(request), "headset": self._headset})

    def _role_of(self, request: web.Request) -> Role | None:
        return self._pairing.role_of(request.cookies.get(COOKIE, ""))

    # ---- the socket ---------------------------------------------------------------------------------------

    async def _live(self, request: web.Request) -> web.StreamResponse:
        role = self._role_of(request)
        if role is None:
            raise web.HTTPUnauthorized
        if len(self._pages) >= PAGES_AT_MOST:
            raise web.HTTPServiceUnavailable
        page = web.WebSocketResponse(max_msg_size=LARGEST_FRAME, heartbeat=2.0, compress=False)
        await page.prepare(request)
        if role is Role.MICROPHONE:
            for other in [other for other, its in self._pages.items() if its is Role.MICROPHONE]:
                self._pages.pop(other, None)
                self._loop.create_task(other.close(code=JOINED_AGAIN, message=b"joined again"))
            self._phone.join(lambda message: self._to_phone(page, message))
        self._pages[page] = role
        if self._view:
            await _send(page, self._view)
        try:
            await self._hear(page, role)
        finally:
            if self._pages.pop(page, None) is Role.MICROPHONE:
                self._phone.leave()
        return page

    async def _hear(self, page: web.WebSocketResponse, role: Role) -> None:
        """Take frames until the page goes, or sends what it must not."""
        frames, amount = Bucket(FRAMES_A_S, FRAMES_A_S * BURST_S), Bucket(BYTES_A_S, BYTES_A_S * BURST_S)
        async for message in page:
            size = len(message.data) if message.type in (WSMsgType.BINARY, WSMsgType.TEXT) else 0
            allowed = frames.take() and amount.take(size) and page in self._pages and role is Role.MICROPHONE
            if not allowed or not self._takes(message.type, message.data):
                await page.close(code=NOT_ALLOWED, message=b"not allowed")
                return

    def _takes(self, kind: WSMsgType, data: object) -> bool:
        """Whether it was a frame as the page sends them."""
        if isinstance(data, bytes) and kind is WSMsgType.BINARY:
            if not data or len(data) % 2:
                return False
            self._phone.receive(data)
            return True
        try:
            match json.loads(data) if isinstance(data, str) else None:
                case {"type": "played", "number": int(number)}:
                    self._phone.played(number)
                case {"type": "talk", "on": bool(on)}:
                    self._phone.pressed(on)
                case _:
                    return False
        except (ValueError, RecursionError):
            return False
        return True

    def _to_phone(self, page: web.WebSocketResponse, message: Message) -> None:
        """From the mouth's thread; the loop keeps the order."""
        with contextlib.suppress(RuntimeError):
            asyncio.run_coroutine_threadsafe(_send(page, message), self._loop)


async def _send(page: web.WebSocketResponse, message: Message) -> None:
    with contextlib.suppress(ConnectionError, RuntimeError):
        if isinstance(message, bytes):
            await page.send_bytes(message)
        else:
            await page.send_str(message)
