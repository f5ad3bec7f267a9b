"""When the radio fails: told by sound, vibration and text; joined again by itself, however long it was away."""

from __future__ import annotations

import contextlib
import shutil
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from benchmarks.browser import Session, begin, browsing, items, text, until
from benchmarks.radio import Radio
from benchmarks.virtual_sound import VirtualSound
from tests.phone.overhearing import buzzes, overhear, quiet_around
from voicefit.audio.files import read_audio
from voicefit.journal.history import sessions_of
from voicefit.journal.store import open_store
from voicefit.resources import data_folder

pytestmark = pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("chromedriver") is None,
    reason="needs Debian's chromium and chromium-driver: tools/system-packages test",
)
DEMO = data_folder() / "demo" / "sentence.flac"
PHONE = ("--phone", "--headset", "--address", "127.0.0.1")


def test_when_the_radio_fails_the_page_says_so_and_joins_again_with_nothing_lost(
    server: VirtualSound, tmp_path: Path
) -> None:
    sentence = quiet_around(tmp_path / "sentence.wav", read_audio(DEMO), 0.3, 0.3)
    session = Session(tmp_path, *PHONE, "--json", environment=server.environment)
    try:
        with Radio(session.port) as radio, browsing(radio.rule, environment=server.environment) as browser:
            overhear(browser)
            begin(browser, session.link())
            for _ in range(3):  # a person says it again
                server.say(sentence)
                with contextlib.suppress(AssertionError):
                    until(lambda: len(items(browser, "readings")) == 3, 20)
                    break
            before = items(browser, "readings")
            assert len(before) == 3, session.printed[-1]
            again = threading.Thread(target=server.say, args=(sentence,))
            again.start()
            time.sleep(1.5)  # into the middle of the sentence
            radio.fail()
            until(lambda: "Connection lost" in text(browser, "link"))
            until(lambda: [300, 100, 300, 100, 300] in buzzes(browser))
            assert browser.execute_script("return window.beeped") == [880, 440]
            session.type("a metal seat")  # the session on the bench goes on meanwhile
            until(lambda: '"metal"' in "".join(session.printed), told=lambda: session.printed[-1])
            again.join()
            radio.recover()
            until(lambda: text(browser, "link") == "Listening", told=lambda: text(browser, "link"))
            until(lambda: any("metal" in line for line in items(browser, "readings")), told=lambda: session.printed[-1])
            assert len(items(browser, "readings")) >= len(before)
    finally:
        session.close()
    (job,) = (job for kept in sessions_of(open_store(tmp_path / "journal.sqlite").contents()) for job in kept.jobs)
    assert len(job.pieces[0].heard) >= 2, "all is on record"


WATCH_THE_WAITS = """
window.waits = []; window.opened = 0; window.asked = 0; window.hurry = 1;
const later = window.setTimeout.bind(window), limit = AbortSignal.timeout.bind(AbortSignal);
window.setTimeout = (what, ms) => { window.waits.push(ms); return later(what, ms / window.hurry); };
AbortSignal.timeout = (ms) => { window.waits.push(ms); return limit(ms / window.hurry); };
const ask = window.fetch.bind(window);
window.fetch = (...what) => { window.asked += 1; return ask(...what); };
window.WebSocket = class extends WebSocket { constructor(where) { super(where); window.opened += 1; } };
"""
MANY = 40  # times that it asked in vain: browsers hold a new socket back for seconds after sixteen that failed
JOINS_WITHIN_MS = 3000


def test_however_long_the_radio_was_away_it_waits_less_than_three_seconds(tmp_path: Path) -> None:
    """Without a clock: what the page waits for between two tries, and that it then needs one socket."""
    session = Session(tmp_path, "--phone", "--address", "127.0.0.1")
    try:
        with Radio(session.port) as radio, browsing(radio.rule) as browser:

            def of_page(name: str) -> Any:
                return browser.execute_script(f"return window.{name}")

            browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": WATCH_THE_WAITS})
            begin(browser, session.link())
            assert of_page("opened") == 1
            radio.fail()
            until(lambda: "Connection lost" in text(browser, "link"))
            browser.execute_script("window.waits = []; window.asked = 0; window.hurry = 20")
            until(lambda: of_page("asked") > MANY)
            assert of_page("opened") == 1, "no socket while nobody answers"
            browser.execute_script("window.hurry = 1")
            radio.recover()
            until(lambda: text(browser, "link") == "Listening", told=lambda: text(browser, "link"))
            assert of_page("opened") == 2
            assert sum(set(of_page("waits"))) < JOINS_WITHIN_MS, "one try and the pause after it, the last as the first"
    finally:
        session.close()
