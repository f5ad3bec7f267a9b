"""A shared store behind a local one: nobody waits for the server, and each record arrives once."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa

from voicefit.journal.mirror import Mirror, sync
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import Store, StoreAway, open_store

from .conftest import Server
from .test_record import lasts, record
from .test_stores import begin

Open = Callable[[str], Store]


@pytest.fixture
def shop(server: Server, request: pytest.FixtureRequest) -> str:
    return server.create(request.node.name.lower()[:40])


def reaches(shared: Store, log: SessionLog) -> bool:
    """Whether what a session said last gets into the shared store within a minute, be it in a branch."""
    last = log.contents().records[-1]
    for _ in range(600):
        if last.data in (each.data for each in shared.contents().records):
            return True
        time.sleep(0.1)
    return False


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
    shared = opened(shop)
    assert all(reaches(shared, log) for log in logs)
    for mirror in mirrors:
        mirror.close()
    found = shared.contents()
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
    assert reaches(opened(shop), log)
    server.stop()
    try:
        for n in range(10, 20):
            log.append("reading", {"n": n})  # goes on, locally durable
        assert [r.data.get("n") for r in log.contents().records[1:]] == list(range(20))
    finally:
        server.start()
    assert back.wait(60)
    assert reaches(opened(shop), log)
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
    shared = opened(shop)
    assert reaches(shared, second)
    later.close()
    assert lasts(shared) == {first.session: 1, second.session: 0}


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
    assert lasts(opened(str(tmp_path / "a.sqlite"))) == {log.session: 1}
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


def test_a_copy_that_went_on_is_kept_as_a_session_of_its_own(tmp_path: Path, shop: str, opened: Open) -> None:
    """A home restored from a backup: both went on with the session, and both had been sent up to its number 2."""
    first = begin(opened(str(tmp_path / "a.sqlite")))
    first.append("reading", {"n": 1})
    first.append("reading", {"n": 2})
    first.store.close()
    shutil.copy(tmp_path / "a.sqlite", tmp_path / "copy.sqlite")
    shared = opened(shop)
    branches: list[tuple[str, str]] = []
    for name, more in (("a", 5), ("copy", 3), ("copy", 0), ("a", 1)):
        local = opened(str(tmp_path / f"{name}.sqlite"))
        log = SessionLog.resume(local, first.session, {"voicefit": "0", "catalogue": "c" * 64, "grammar": "g" * 64})
        for n in range(more):
            log.append("reading", {"from": name, "n": n})
        sync(local, shared, lambda *ids: branches.append(ids))
        assert sync(local, shared) == 0
    ((of, own),) = branches  # told once
    assert of == first.session
    found = shared.contents()
    assert found.damage == ()
    for session, name, count in ((of, "a", 6), (own, "copy", 3)):
        records = [r for r in found.records if r.session == session]
        assert [r.sequence for r in records] == list(range(len(records)))
        assert [r.data["n"] for r in records if "from" not in r.data and "n" in r.data] == [1, 2], "the common past"
        assert [r.data["from"] for r in records if "from" in r.data] == [name] * count
    (header,) = [r for r in found.records if r.session == own and r.sequence == 0]
    assert (header.data["branch_of"], header.data["after"]) == (of, 2)


def test_two_copies_speak_at_once(shop: str, tmp_path: Path, opened: Open) -> None:
    first = begin(opened(str(tmp_path / "0.sqlite")))
    first.store.close()
    shutil.copy(tmp_path / "0.sqlite", tmp_path / "1.sqlite")
    told: list[str] = []
    mirrors = [
        Mirror(
            open_store(tmp_path / f"{n}.sqlite"), lambda: open_store(shop), on_branch=lambda _, own: told.append(own)
        )
        for n in range(2)
    ]
    logs = [
        SessionLog.resume(each, first.session, {"voicefit": "0", "catalogue": "c", "grammar": "g"}) for each in mirrors
    ]
    shared = opened(shop)
    for n in range(20):
        for side, log in enumerate(logs):
            log.append("reading", {"side": side, "n": n})
            assert reaches(shared, log)
    for mirror in mirrors:
        mirror.close()
    found = shared.contents()
    assert found.damage == () and len(told) == 1
    sides = {
        session: [(r.data["side"], r.data["n"]) for r in found.records if r.session == session and "side" in r.data]
        for session in (first.session, *told)
    }
    assert sorted(sides.values()) == [[(side, n) for n in range(20)] for side in range(2)]


def test_a_shared_journal_restored_from_a_backup_gets_what_it_lacks(shop: str, tmp_path: Path, opened: Open) -> None:
    mirror = Mirror(open_store(tmp_path / "a.sqlite"), lambda: open_store(shop))
    log = begin(mirror)
    for n in range(8):
        log.append("reading", {"n": n})
    shared = opened(shop)
    assert reaches(shared, log)
    engine = sa.create_engine(shop)
    with engine.begin() as connection:
        connection.execute(sa.text("DELETE FROM voicefit_record WHERE sequence > 4"))
    engine.dispose()
    log.append("reading", {"n": 8})
    assert reaches(shared, log)
    mirror.close()
    assert sorted(r.sequence for r in shared.contents().records) == list(range(10))


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
    assert lasts(opened(shop)) == {log.session: 0}
    assert CliRunner().invoke(build(), ["jobs", "list", "--store", shop, "--json"]).stdout == "[]\n"
    away = CliRunner().invoke(build(), ["jobs", "list", "--store", f"postgresql+psycopg://x@/y?host={tmp_path}"])
    assert away.exit_code == 2 and "cannot open" in away.stderr
