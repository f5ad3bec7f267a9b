"""A shared store behind a local one: nobody waits for the server, and each record arrives once."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from voicefit.journal.mirror import Mirror, sync
from voicefit.journal.session_log import SessionLog
from voicefit.journal.sql import SqlStore
from voicefit.journal.store import Conflict, Store, StoreAway, open_store

from .conftest import Server
from .test_record import record
from .test_stores import begin

Open = Callable[[str], Store]


@pytest.fixture
def shop(server: Server, request: pytest.FixtureRequest) -> str:
    return server.create(request.node.name.lower()[:40])


def test_several_sessions_reach_the_shop_at_once(shop: str, tmp_path: Path, opened: Open) -> None:
    mirrors = [Mirror(open_store(tmp_path / f"{n}.sqlite"), lambda: open_store(shop)) for n in range(3)]
    logs: list[SessionLog] = []

    def speak(mirror: Mirror) -> None:
        log = begin(mirror)
        logs.append(log)
        for n in range(30):
            log.append("reading", {"n": n})

    threads = [threading.Thread(target=speak, args=(mirror,)) for mirror in mirrors]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(mirror.wait_until_sent(60) for mirror in mirrors)
    for mirror in mirrors:
        mirror.close()
    found = opened(shop).contents()
    assert found.damage == ()
    for log in logs:
        assert [r.sequence for r in found.records if r.session == log.session] == list(range(31))


def test_away_then_back_each_record_once(shop: str, server: Server, tmp_path: Path, opened: Open) -> None:
    changes: list[bool] = []
    back = threading.Event()

    def on_change(away: bool, detail: str) -> None:
        changes.append(away)
        if not away:
            back.set()

    mirror = Mirror(open_store(tmp_path / "a.sqlite"), lambda: open_store(shop), on_change, retry_s=0.2)
    log = begin(mirror)
    for n in range(10):
        log.append("reading", {"n": n})
    assert mirror.wait_until_sent(60)
    server.stop()
    try:
        for n in range(10, 20):
            log.append("reading", {"n": n})  # goes on, locally durable
        assert [r.data.get("n") for r in log.contents().records[1:]] == list(range(20))
        assert not mirror.wait_until_sent(1)
    finally:
        server.start()
    assert back.wait(60)
    assert mirror.wait_until_sent(60)
    log.append("reading", {"n": 20})
    mirror.close()
    assert [r.data.get("n") for r in opened(shop).contents().records] == [None, *range(21)]
    assert changes == [True, False]


def test_what_did_not_go_goes_with_the_next_session(shop: str, tmp_path: Path, opened: Open) -> None:
    def nobody() -> Store:
        raise StoreAway("no answer")

    away = Mirror(open_store(tmp_path / "a.sqlite"), nobody)
    first = begin(away)
    first.append("reading", {"n": 1})
    away.close()
    later = Mirror(open_store(tmp_path / "a.sqlite"), lambda: open_store(shop))
    second = begin(later)
    assert later.wait_until_sent(60)
    later.close()
    assert opened(shop).lasts() == {first.session: 1, second.session: 0}


def test_a_server_that_hangs_keeps_no_session_waiting(tmp_path: Path, opened: Open) -> None:
    answers, asked = threading.Event(), threading.Event()

    def hang() -> Store:
        asked.set()
        answers.wait(60)
        raise StoreAway("no answer")

    mirror = Mirror(open_store(tmp_path / "a.sqlite"), hang)
    assert asked.wait(10)
    log = begin(mirror)
    log.append("reading", {"n": 1})  # returns while the thread hangs
    assert opened(str(tmp_path / "a.sqlite")).lasts() == {log.session: 1}
    answers.set()
    mirror.close()
    mirror.close()


def test_sync_sends_only_what_lacks(tmp_path: Path, shop: str, opened: Open) -> None:
    local, shared = opened(str(tmp_path / "a.sqlite")), opened(shop)
    local.append([record(n) for n in range(1203)])
    shared.append([record(n) for n in range(100)])
    assert sync(local, shared) == 1103
    assert sync(local, shared) == 0
    assert shared.contents().records == local.contents().records


def test_a_conflict_is_raised_after_the_other_sessions_were_sent(tmp_path: Path, shop: str, opened: Open) -> None:
    class Behind(SqlStore):
        def lasts(self) -> dict[str, int]:
            return {}  # as it was before somebody else wrote

    local, shared = opened(str(tmp_path / "a.sqlite")), Behind(shop)
    for session in "abc":
        local.append([record(n, session=session * 32) for n in range(3)])
    shared.append([record(1, session="b" * 32, other=True)])
    with pytest.raises(Conflict, match="record 1 of session bbbbbbbb"):
        sync(local, shared)
    shared.close()
    assert opened(shop).lasts() == {"a" * 32: 2, "b" * 32: 1, "c" * 32: 2}


def test_the_commands_send_what_was_left_behind(
    shop: str, tmp_path: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    from typer.testing import CliRunner

    from voicefit.cli import build
    from voicefit.journal import store as places

    monkeypatch.setattr(places, "default_folder", lambda: tmp_path)
    outbox = open_store(places.outbox_location(shop))
    log = begin(outbox)
    outbox.close()
    ran = CliRunner().invoke(build(), ["jobs", "sync", "--store", shop, "--json"])
    assert (ran.exit_code, ran.stdout) == (0, '{\n  "sent": 1\n}\n')
    assert opened(shop).lasts() == {log.session: 0}
    assert CliRunner().invoke(build(), ["jobs", "list", "--store", shop, "--json"]).stdout == "[]\n"
    away = CliRunner().invoke(build(), ["jobs", "list", "--store", f"postgresql+psycopg://x@/y?host={tmp_path}"])
    assert away.exit_code == 2 and "cannot open" in away.stderr
