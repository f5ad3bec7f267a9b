"""The page in a real browser: spoken into its microphone, and what it shows and plays.

Nothing here depends on speed: each sentence is said when the page is ready for it, as a person would.
"""

from __future__ import annotations

import contextlib
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from benchmarks.browser import Session, begin, browsing, items, text, until
from benchmarks.turn import Tape, wait_for_silence
from benchmarks.virtual_sound import SPEAKER_HZ, VirtualSound
from tests.phone.overhearing import buzzes, overhear, quiet_around, troubles
from voicefit.audio.files import read_audio
from voicefit.ordering.slip import OrderSlip
from voicefit.resources import data_folder

pytestmark = pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("chromedriver") is None,
    reason="needs Debian's chromium and chromium-driver: tools/system-packages test",
)
DEMO = data_folder() / "demo" / "sentence.flac"
PHONE = ("--phone", "--headset", "--address", "127.0.0.1")


def test_the_demo_sentence_is_heard_shown_and_answered_aloud(tmp_path: Path) -> None:
    said = quiet_around(tmp_path / "said.wav", read_audio(DEMO), 5.0, 40.0)  # again from the start, where it comes late
    session = Session(tmp_path, *PHONE, "--plain")
    try:
        with browsing(f"--use-file-for-fake-audio-capture={said}") as browser:
            overhear(browser)
            begin(browser, session.link())
            the_demo_is_shown(session, browser)
    finally:
        session.close()


def the_demo_is_shown(session: Session, browser: WebDriver) -> None:
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
    assert browser.execute_script("return window.sounded")[0][0] < 11_025, "tones come too, the listening one first"
    assert sounded[0][0] / 22_050 > 0.15 * len(reply.split()), "at most 400 words a minute"
    assert buzzes(browser) == [[60]]
    session.type("marmalade")
    until(lambda: buzzes(browser)[1:], told=lambda: session.printed[-1])
    assert buzzes(browser)[1:] == [[150, 100, 150]], "refused"
    assert browser.execute_script("return window.held") == ["screen"], "it stays awake"
    assert browser.execute_script("return window.cancels") is False, "a headset is worn: it may talk over replies"
    svg = browser.find_element(By.CSS_SELECTOR, "#drawing svg")
    box = [float(part) for part in browser.execute_script("return arguments[0].getAttribute('viewBox')", svg).split()]
    assert svg.rect["width"] == pytest.approx(box[2] * 96 / 25.4, rel=0.02), "a CSS millimetre until it is set"
    browser.find_element(By.ID, "longer").click()
    assert svg.rect["width"] == pytest.approx(1.02 * box[2] * 96 / 25.4, rel=0.02)
    assert troubles(browser) == []


def test_on_a_speaker_the_phone_cancels_its_own_voice(tmp_path: Path) -> None:
    session = Session(tmp_path, "--phone", "--address", "127.0.0.1")
    try:
        with browsing() as browser:
            overhear(browser)
            begin(browser, session.link())
            assert browser.execute_script("return window.cancels") is True
    finally:
        session.close()


def test_two_screens_beside_a_microphone_show_the_same(server: VirtualSound, tmp_path: Path) -> None:
    sentence = quiet_around(tmp_path / "sentence.wav", read_audio(DEMO), 0.3, 0.3)
    session = Session(tmp_path, "--headset", "--glance", "--json", environment=server.environment)
    try:
        with browsing() as first, browsing() as second:
            overhear(first)
            first.get(session.link())
            until(lambda: text(first, "link") == "Showing")
            second.get(session.link())
            until(lambda: "was used" in text(second, "link"))
            session.type("code")  # another one for one more screen
            second.get(session.link(1))
            second.refresh()  # only what follows the # had changed, which loads nothing
            until(lambda: text(second, "link") == "Showing", told=lambda: text(second, "link"))
            for _ in range(3):  # a person says it again
                server.say(sentence)
                with contextlib.suppress(AssertionError):
                    until(lambda: "30" in text(first, "leader") and "30" in text(second, "leader"), 20)
                    break
            until(lambda: buzzes(first), told=lambda: session.printed[-1])
            assert buzzes(first)[-1] == [60], "a browser lets a page do so that was touched"
            said = [screen.find_element(By.ID, "reply") for screen in (first, second)]
            assert said[0].text == said[1].text and said[0].text.startswith("Nineteen thirty-seconds")
            assert said[0].get_attribute("aria-live") == "polite"
            assert not any(screen.find_element(By.ID, "hands").is_displayed() for screen in (first, second))
    finally:
        session.close()
    assert json.loads(session.printed[-1])["reply"]


JOB = (  # SAE J514: the female of 9/16-18 at 37 degrees is dash 6
    "female, inside point five one",
    "eighteen pitch, thirty seven degrees",
    "it goes in, metal seat",
    "order slip",
)
MOST_SENTENCES = 12


class Person:
    """Speaks when the reply is over, answers yes to what is heard rightly, and says again what was not heard."""

    def __init__(self, server: VirtualSound, session: Session, replied: Tape, folder: Path) -> None:
        self._server, self._session, self._replied, self._folder = server, session, replied, folder

    def told(self) -> str:
        return "".join(self._session.printed)

    def says(self, line: str) -> str:
        """The reply."""
        wait_for_silence(self._replied)
        before = len(self._heard())
        for _ in range(3):
            self._server.say(self._spoken(line))
            try:
                until(lambda: len(self._heard()) > before, 20, self.told)
            except AssertionError:
                continue  # a person says it again
            return until(lambda: re.findall(r"Says: (.*)", self.told()))[-1]
        raise AssertionError(f"{line}: not heard\n{self.told()}")

    def _heard(self) -> list[str]:
        return re.findall(r"Heard: (?!nothing)(.*)\n(?:.*\n)*?Says: ", self.told())

    def _spoken(self, line: str) -> Path:
        plain, path = self._folder / "plain.wav", self._folder / "said.wav"
        subprocess.run(["flite", "-voice", "rms", "-t", line, "-o", str(plain)], check=True)
        return quiet_around(path, read_audio(plain), 0.3, 0.3)


def meant(line: str, reply: str) -> str:
    """Which of two things that were understood is the one that was said."""
    shared = [sum(word in option.lower().split() for word in line.split()) for option in reply.split("? Or ")[-2:]]
    return "the first" if shared[0] >= shared[1] else "the second"


@pytest.mark.skipif(shutil.which("flite") is None, reason="needs Debian's flite: tools/system-packages test")
def test_a_whole_job_by_voice_to_its_slip(server: VirtualSound, tmp_path: Path) -> None:
    settings = tmp_path / "config" / "voicefit" / "settings.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text("[session]\nwords_per_minute = 400\n")  # the test waits for each reply
    session = Session(tmp_path, *PHONE, "--plain", environment=server.environment)
    replied = Tape(server, "vspk", SPEAKER_HZ)
    try:
        with browsing(environment=server.environment) as browser:
            begin(browser, session.link())
            person = Person(server, session, replied, tmp_path)
            lines = list(JOB)
            for _ in range(MOST_SENTENCES):
                line = lines.pop(0)
                reply = person.says(line)
                if reply.endswith("right?"):
                    lines.insert(0, "yes")
                elif "? Or " in reply:
                    lines.insert(0, meant(line, reply))
                if not lines:
                    break
            until(lambda: "Identified" in text(browser, "how-sure"), told=person.told)
            until(lambda: items(browser, "order"), told=person.told)
            assert any("37" in line for line in items(browser, "order"))
            (slip,) = until(lambda: list((tmp_path / "data" / "voicefit" / "slips").glob("*.json")), told=person.told)
            assert [end.id for end in OrderSlip.model_validate_json(slip.read_text()).ends] == ["flare37/6/female"]
    finally:
        replied.close()
        session.close()
