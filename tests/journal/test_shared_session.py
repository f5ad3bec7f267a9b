"""A typed session on a shop's shared journal, whose server goes away in the middle and comes back."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.talking import Child
from voicefit.journal.history import sessions_of
from voicefit.journal.store import Store, open_store, outbox_location

from .conftest import Server

PATIENCE_S = 90.0  # of the test on a busy machine


def says_until(child: Child, words: str) -> None:
    """What befalls the journal is said with the next answer; the session is asked until it is."""
    end = time.monotonic() + PATIENCE_S
    while words not in (reply := child.say("where are we")["reply"]):
        assert time.monotonic() < end, reply
        time.sleep(0.3)


def test_the_server_is_away_for_a_while_and_each_record_arrives_once(
    server: Server, opened: Callable[[str], Store], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    shop = server.create("a_shift")
    child = Child("--store", shop)
    try:
        child.say("outside nine sixteenths")
        server.stop()
        try:
            away = child.say("eighteen threads per inch")
            assert len(away["readings"]) == 2, "the session goes on"
            if "shared journal is away" not in away["reply"]:
                says_until(child, "The shared journal is away. All is kept here")
        finally:
            server.start()
        says_until(child, "Shared journal back.")
        assert len(child.say("a shoulder")["readings"]) == 3
        wanted = open_store(outbox_location(shop)).contents().records
        end = time.monotonic() + PATIENCE_S
        shared = opened(shop)
        while shared.contents().records != wanted and time.monotonic() < end:
            time.sleep(0.5)
    finally:
        child.kill()
    found = opened(shop).contents()
    assert found.damage == () and found.records == wanted
    assert [record.sequence for record in found.records] == list(range(len(wanted)))
    (job,) = [job for session in sessions_of(found) for job in session.jobs]
    assert job.pieces[0].heard == ["outside nine sixteenths", "eighteen threads per inch", "a shoulder"]
