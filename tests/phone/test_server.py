"""What a stranger in the same network can and cannot do; what a paired page may send."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
from collections.abc import Awaitable, Callable, Iterator
from typing import Any

import aiohttp
import pytest

from benchmarks.browser import until
from voicefit.errors import BadInput
from voicefit.phone import server as serving
from voicefit.phone.pairing import Pairing, Role
from voicefit.phone.server import COOKIE, Server
from voicefit.phone.sound import Phone

BLOCK = bytes(1280)


class Served:
    def __init__(self) -> None:
        self.pairing, self.phone = Pairing(), Phone()
        self.server = Server(self.pairing, self.phone, "127.0.0.1")
        self.server.start()

    def cookie(self, role: Role) -> dict[str, str]:
        cookie = self.pairing.redeem(self.pairing.offer(role))
        assert cookie is not None
        return {"Cookie": f"{COOKIE}={cookie}", "Origin": self.server.origin}

    def run(self, do: Callable[[aiohttp.ClientSession], Awaitable[Any]]) -> Any:
        async def whole() -> Any:
            jar = aiohttp.DummyCookieJar()
            async with aiohttp.ClientSession(self.server.origin, cookie_jar=jar) as session:
                return await do(session)

        return asyncio.run(whole())

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], str]:
        async def do(session: aiohttp.ClientSession) -> tuple[int, dict[str, str], str]:
            async with session.get(path, headers=headers) as answer:
                return answer.status, dict(answer.headers), await answer.text()

        return self.run(do)

    def pair(self, body: object, **headers: str) -> tuple[int, dict[str, str]]:
        async def do(session: aiohttp.ClientSession) -> tuple[int, dict[str, str]]:
            data = body if isinstance(body, bytes) else json.dumps(body)
            async with session.post("/pair", data=data, headers=headers) as answer:
                return answer.status, dict(answer.headers)

        return self.run(do)


@pytest.fixture
def served() -> Iterator[Served]:
    made = Served()
    yield made
    made.server.close()


# ---- the page ---------------------------------------------------------------------------------------------


def test_the_page_loads_nothing_from_elsewhere_and_is_not_kept(served: Served) -> None:
    for path in ("/", "/page.css", "/page.js", "/capture.js"):
        status, headers, text = served.get(path)
        assert status == 200 and text
        assert headers["Cache-Control"] == "no-store" and headers["X-Content-Type-Options"] == "nosniff"
        policy = headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self'")
        assert "unsafe" not in policy and "frame-ancestors 'none'" in policy
        outside = text.replace("http://www.w3.org/2000/svg", "")
        assert "http://" not in outside and "https://" not in outside


@pytest.mark.parametrize(
    "path", ["/../server.py", "/%2e%2e/server.py", "/page/page.js", "/..%2fserver.py", "//etc/passwd", "/favicon.ico"]
)
def test_a_path_outside_the_pages_files_is_not_there(served: Served, path: str) -> None:
    with socket.create_connection(("127.0.0.1", int(served.server.host.rsplit(":")[-1]))) as raw:
        raw.sendall(f"GET {path} HTTP/1.1\r\nHost: {served.server.host}\r\nConnection: close\r\n\r\n".encode())
        answer = b"".join(iter(lambda: raw.recv(4096), b""))
    assert answer.split()[1] == b"404" and b"class Server" not in answer


def test_a_rebound_name_is_refused(served: Served) -> None:
    for host in ("evil.example", "localhost", "127.0.0.1", f"evil.example:{served.server.host.rsplit(':')[-1]}"):
        assert served.get("/", Host=host)[0] == 421
        assert served.get("/role", Host=host)[0] == 421


# ---- pairing ----------------------------------------------------------------------------------------------


def test_the_cookie_is_for_this_page_alone(served: Served) -> None:
    status, headers = served.pair({"secret": served.pairing.offer(Role.SCREEN)}, Origin=served.server.origin)
    cookie = headers["Set-Cookie"]
    assert status == 200
    assert "HttpOnly" in cookie and "Secure" in cookie and "SameSite=Strict" in cookie
    name, _, value = cookie.partition(";")[0].partition("=")
    assert json.loads(served.get("/role", Cookie=f"{name}={value}")[2]) == {"role": "screen", "headset": False}


@pytest.mark.parametrize("origin", [None, "null", "https://evil.example", "http://127.0.0.1"])
def test_a_foreign_origin_cannot_pair(served: Served, origin: str | None) -> None:
    secret = served.pairing.offer(Role.SCREEN)
    assert served.pair({"secret": secret}, **({} if origin is None else {"Origin": origin}))[0] == 403
    assert served.pair({"secret": secret}, Origin=served.server.origin)[0] == 200, "and has used nothing up"


def test_a_wrong_and_an_old_secret_are_refused_alike(served: Served) -> None:
    secret = served.pairing.offer(Role.SCREEN)
    assert served.pair({"secret": "A" * 22}, Origin=served.server.origin)[0] == 403
    assert served.pair({"secret": secret}, Origin=served.server.origin)[0] == 200
    assert served.pair({"secret": secret}, Origin=served.server.origin)[0] == 403


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b"{}", b"\xff\xfe", b'{"secret": 5}', b"[" * 200, b"x" * 5000])
def test_a_body_that_is_none(served: Served, body: bytes) -> None:
    served.pairing.offer(Role.SCREEN)
    assert served.pair(body, Origin=served.server.origin)[0] in (400, 403, 413)


# ---- the socket -------------------------------------------------------------------------------------------


def test_without_a_cookie_or_from_elsewhere_there_is_no_socket(served: Served) -> None:
    good = served.cookie(Role.MICROPHONE)

    async def do(session: aiohttp.ClientSession) -> list[int]:
        codes = []
        for headers in (
            {"Origin": served.server.origin},
            good | {"Cookie": f"{COOKIE}=made-up"},
            good | {"Origin": "https://evil.example"},
            {"Cookie": good["Cookie"]},
            good | {"Host": "evil.example"},
        ):
            with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
                await session.ws_connect("/live", headers=headers)
            codes.append(refused.value.status)
        return codes

    assert served.run(do) == [401, 401, 403, 403, 421]
    assert not served.phone.is_here


@pytest.mark.parametrize(
    "frame",
    [
        b"",
        b"odd",
        "{",
        "[]",
        '{"type": "played"}',
        '{"type": "view"}',
        '{"type":"talk","on":1}',
        "[" * 5000,
        b"\0" * 20_000,
    ],
)
def test_garbage_ends_the_connection_and_nothing_else(served: Served, frame: str | bytes) -> None:
    headers = served.cookie(Role.MICROPHONE)

    async def do(session: aiohttp.ClientSession) -> int | None:
        page = await session.ws_connect("/live", headers=headers)
        await (page.send_str(frame) if isinstance(frame, str) else page.send_bytes(frame))
        async for _ in page:
            pass
        again = await session.ws_connect("/live", headers=headers)
        await again.send_bytes(BLOCK)
        await asyncio.sleep(0.2)
        assert not again.closed and served.phone.is_heard
        await again.close()
        return page.close_code

    assert served.run(do) in (1008, 1009)


def test_a_flood_of_frames_ends_the_connection(served: Served) -> None:
    headers = served.cookie(Role.MICROPHONE)

    async def do(session: aiohttp.ClientSession) -> int | None:
        page = await session.ws_connect("/live", headers=headers)
        with contextlib.suppress(aiohttp.ClientError):
            for _ in range(3000):  # two minutes of sound
                await page.send_bytes(BLOCK)
        async for _ in page:
            pass
        return page.close_code

    assert served.run(do) == serving.NOT_ALLOWED
    assert served.phone.blocks.qsize() <= 250, "and fills no memory"
    until(lambda: not served.phone.is_here, 5)


def test_a_flood_of_requests_is_held_off(served: Served) -> None:
    async def do(session: aiohttp.ClientSession) -> list[int]:
        codes = []
        for _ in range(200):
            async with session.get("/role") as answer:
                codes.append(answer.status)
        return codes

    codes = served.run(do)
    assert codes[:50] == [200] * 50 and 429 in codes


def test_a_screen_may_look_and_not_speak(served: Served) -> None:
    headers = served.cookie(Role.SCREEN)
    served.server.show('{"type":"view","number":1}')

    async def do(session: aiohttp.ClientSession) -> tuple[str, int | None]:
        page = await session.ws_connect("/live", headers=headers)
        first = (await page.receive()).data
        await page.send_bytes(BLOCK)
        async for _ in page:
            pass
        return first, page.close_code

    assert served.run(do) == ('{"type":"view","number":1}', 1008)
    assert not served.phone.joined.is_set()


def test_a_second_phone_does_not_take_over_silently_and_the_same_one_comes_back(served: Served) -> None:
    first = served.cookie(Role.MICROPHONE)

    async def do(session: aiohttp.ClientSession) -> int | None:
        page = await session.ws_connect("/live", headers=first)
        with pytest.raises(aiohttp.WSServerHandshakeError):  # another phone has no cookie
            await session.ws_connect("/live", headers={"Origin": served.server.origin})
        await page.send_bytes(BLOCK)
        again = await session.ws_connect("/live", headers=first)
        async for _ in page:
            pass
        assert served.phone.is_here, "it is the page that came last"
        await again.close()
        return page.close_code

    assert served.run(do) == serving.JOINED_AGAIN


def test_it_listens_on_the_one_address(served: Served) -> None:
    port = int(served.server.host.rsplit(":")[-1])
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None)} | {"127.0.0.2"}
    for address in others - {"127.0.0.1"}:
        with socket.socket(socket.AF_INET6 if ":" in str(address) else socket.AF_INET) as probe:
            assert probe.connect_ex((str(address), port)) != 0, address
    for everywhere in ("0.0.0.0", "::"):
        with pytest.raises(BadInput, match="every network"):
            Server(Pairing(), Phone(), everywhere)
    taken = Server(Pairing(), Phone(), "127.0.0.1", port)
    with pytest.raises(BadInput, match=f"port {port}"):
        taken.start()
