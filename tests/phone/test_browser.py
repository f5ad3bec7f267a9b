"""The page in a real browser: spoken into its microphone, and what it shows and plays."""

from __future__ import annotations

import json
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from tests.phone.browser import Session, open_browser, recording, text, until
from tests.phone.radio import Radio
from voicefit.journal.jobs import sessions_of
from voicefit.journal.store import open_store
from voicefit.ordering.slip import OrderSlip
from voicefit.resources import data_folder

pytestmark = pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("chromedriver") is None,
    reason="needs Debian's chromium and chromium-driver: tools/system-packages test",
)
DEMO = data_folder() / "demo" / "sentence.flac"
HEAR_WHAT_SOUNDS = """
window.sounded = [];
document.addEventListener("sounding", (event) => {
  const samples = event.detail;
  let loudest = 0;
  for (const sample of samples) loudest = Math.max(loudest, Math.abs(sample));
  window.sounded.push([samples.length, loudest]);
});
window.buzzed = [];
Object.defineProperty(navigator, "vibrate", { value: (pattern) => window.buzzed.push(pattern) });
"""


def begin(browser: WebDriver, link: str) -> None:
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": HEAR_WHAT_SOUNDS})
    browser.get(link)
    until(lambda: text(browser, "link") == "Touch to begin")
    browser.find_element(By.ID, "begin").click()


def items(browser: WebDriver, element: str) -> list[str]:
    script = "return Array.from(document.querySelectorAll(`#${arguments[0]} li`), (item) => item.textContent)"
    found: list[str] = browser.execute_script(script, element)
    return found


def troubles(browser: WebDriver) -> list[Any]:
    """What the browser complained of, but for the icon that every browser asks for."""
    return [entry for entry in browser.get_log("browser") if "favicon" not in entry["message"]]


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[tuple[Session, WebDriver]]:
    """A session and a browser into whose microphone the demo's sentence is spoken."""
    options = ("--phone", "--headset", "--address", "127.0.0.1", "--plain")
    session = Session(tmp_path, *options, "--store", str(tmp_path / "journal.sqlite"))
    try:
        browser = open_browser(recording(tmp_path / "said.wav", [DEMO], before_s=8.0))
        try:
            begin(browser, session.link())
            yield session, browser
        finally:
            browser.quit()
    finally:
        session.close()


def test_the_demo_sentence_is_heard_shown_and_answered_aloud(phone: tuple[Session, WebDriver]) -> None:
    session, browser = phone
    assert "#" not in browser.current_url, "the secret is gone from the address"
    until(lambda: "30" in text(browser, "leader"), told=lambda: (text(browser, "reply"), "".join(session.printed)))
    assert [line.split(" (")[0] for line in items(browser, "readings")] == [
        "outside diameter 19/32 in",
        "pitch 19 tpi",
        "seat angle 30°",
    ]
    assert "dash 6" in text(browser, "leader") and text(browser, "how-sure") == "Leads, not yet sure"
    assert len(items(browser, "next")) == 1
    assert any("ressure" in line for line in items(browser, "cautions"))
    reply = text(browser, "reply")
    sounded = until(lambda: [one for one in browser.execute_script("return window.sounded") if one[0] > 22_050])
    assert sounded[0][1] > 0.1, "not silent"
    assert sounded[0][0] / 22_050 > 0.15 * len(reply.split()), "at most 400 words a minute"
    assert [60] in browser.execute_script("return window.buzzed")
    svg = browser.find_element(By.CSS_SELECTOR, "#drawing svg")
    box = [float(part) for part in browser.execute_script("return arguments[0].getAttribute('viewBox')", svg).split()]
    assert svg.rect["width"] == pytest.approx(box[2] * 96 / 25.4, rel=0.02), "a CSS millimetre until it is set"
    browser.find_element(By.ID, "longer").click()
    assert svg.rect["width"] == pytest.approx(1.02 * box[2] * 96 / 25.4, rel=0.02)
    assert troubles(browser) == []


def test_when_the_radio_fails_the_page_says_so_and_joins_again_with_nothing_lost(tmp_path: Path) -> None:
    store = tmp_path / "journal.sqlite"
    session = Session(tmp_path, "--phone", "--headset", "--address", "127.0.0.1", "--json", "--store", str(store))
    radio = browser = None
    try:
        link = session.link()
        port = int(link.split(":")[2].split("/")[0])
        radio = Radio(port)
        rule = f"--host-resolver-rules=MAP 127.0.0.1:{port} 127.0.0.1:{radio.port}"
        browser = open_browser(recording(tmp_path / "said.wav", [DEMO, DEMO], before_s=8.0, pause_s=14.0), rule)
        begin(browser, link)
        until(lambda: len(items(browser, "readings")) == 3)
        time.sleep(9)  # into the pause; the second sentence is then in the middle
        radio.fail()
        began = time.monotonic()
        until(lambda: "Connection lost" in text(browser, "link"), 5)
        assert time.monotonic() - began < 2.5
        assert [300, 100, 300, 100, 300] in browser.execute_script("return window.buzzed")
        session.type("a metal seat")  # the session on the bench goes on meanwhile
        until(lambda: '"metal"' in "".join(session.printed), 20, told=lambda: session.printed[-1])
        radio.recover()
        began = time.monotonic()
        until(lambda: text(browser, "link") == "Listening", 5)
        assert time.monotonic() - began < 3.0
        until(lambda: len(items(browser, "readings")) == 4, 5, told=lambda: items(browser, "readings"))
    finally:
        if browser is not None:
            browser.quit()
        if radio is not None:
            radio.close()
        session.close()
    (job,) = (job for kept in sessions_of(open_store(str(store)).contents()) for job in kept.jobs)
    assert job.pieces, "all is on record"


@pytest.fixture(scope="module")
def glance(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A typed session with a screen."""
    home = tmp_path_factory.mktemp("glance")
    session = Session(home, "--typed", "--glance", "--json", "--store", str(home / "journal.sqlite"))
    session.link()
    yield session
    session.close()


def test_two_screens_show_the_same_and_speak_of_no_microphone(glance: Session) -> None:
    first, second = open_browser(), open_browser()
    try:
        first.get(glance.link())
        until(lambda: text(first, "link") == "Showing")
        second.get(glance.link())
        until(lambda: "was used" in text(second, "link"))
        glance.type("outside nineteen thirty-seconds, nineteen pitch, thirty degrees")
        until(lambda: "30" in text(first, "leader"))
        assert not first.find_element(By.ID, "hands").is_displayed()
        said = first.find_element(By.ID, "reply")
        assert said.get_attribute("aria-live") == "polite" and said.text.startswith("Nineteen thirty-seconds")
    finally:
        first.quit()
        second.quit()
    assert json.loads(glance.printed[-1])["reply"]


JOB = (  # SAE J514: the female of 9/16-18 at 37 degrees is dash 6
    "female, inside point five one",
    "eighteen pitch, thirty seven degrees",
    "it goes in, metal seat",
    "order slip",
)


@pytest.mark.skipif(shutil.which("flite") is None, reason="needs Debian's flite: tools/system-packages test")
def test_a_whole_job_by_voice_to_its_slip(tmp_path: Path) -> None:
    files = []
    for number, line in enumerate(JOB):
        files.append(tmp_path / f"{number}.wav")
        subprocess.run(["flite", "-voice", "rms", "-t", line, "-o", str(files[-1])], check=True)
    options = ("--phone", "--headset", "--address", "127.0.0.1", "--plain", "--store", str(tmp_path / "journal.sqlite"))
    session = Session(tmp_path, *options)
    try:
        browser = open_browser(recording(tmp_path / "said.wav", files, before_s=12.0, pause_s=7.0))
        try:
            begin(browser, session.link())

            def told() -> str:
                return "".join(session.printed)

            until(lambda: "Identified" in text(browser, "how-sure"), 120, told)
            until(lambda: items(browser, "order"), 30, told)
            assert any("37" in line for line in items(browser, "order"))
            (slip,) = until(lambda: list((tmp_path / "data" / "voicefit" / "slips").glob("*.json")), 60, told)
            assert [end.id for end in OrderSlip.model_validate_json(slip.read_text()).ends] == ["flare37/6/female"]
        finally:
            browser.quit()
    finally:
        session.close()
