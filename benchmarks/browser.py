"""A live session with its page, and a real browser on it, for benchmarks, pictures and tests.

The session is the command ``voicefit talk`` in a process of its own. The browser is Chromium without a window; what its
microphone hears and where its sound goes is a virtual sound card (:mod:`benchmarks.virtual_sound`) or a recording.
Needs Debian's chromium and chromium-driver, and the package ``selenium``.

Duty: start both, read what they show. It must not judge it.
"""

from __future__ import annotations

import contextlib
import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any

from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

CHROMIUM, DRIVER = Path("/usr/bin/chromium"), Path("/usr/bin/chromedriver")
PATIENCE_S = 90.0  # on a busy machine


def until(what: Callable[[], Any], seconds: float = PATIENCE_S, told: Callable[[], object] = lambda: "") -> Any:
    """What it returns, once that is something."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.1)
    raise AssertionError(f"not within {seconds} s: {told()}")


class Session:
    """``voicefit talk`` with a page. ``environment`` : in the place of this process' own."""

    def __init__(self, home: Path, *options: str, environment: dict[str, str] | None = None) -> None:
        own = {"XDG_DATA_HOME": str(home / "data"), "XDG_CONFIG_HOME": str(home / "config")}
        command = [sys.executable, "-c", "from voicefit.cli import main; main()", "talk", "--port", "0"]
        self.process = subprocess.Popen(
            [*command, "--store", str(home / "journal.sqlite"), *options],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=(environment or dict(os.environ)) | own,
        )
        self.told, self.printed = [""], [""]
        for stream, kept in ((self.process.stderr, self.told), (self.process.stdout, self.printed)):
            threading.Thread(target=self._read, args=(stream, kept), daemon=True).start()

    @staticmethod
    def _read(stream: IO[str], kept: list[str]) -> None:
        with contextlib.suppress(ValueError):  # closed
            for line in stream:
                kept.append(line)

    def links(self) -> list[str]:
        return re.findall(r"https?://\S+/#\S+", "".join(self.told))

    def link(self, number: int = 0) -> str:
        """The link of the code printed as the so-many-th."""
        found: str = until(lambda: self.links()[number : number + 1], told=lambda: "".join(self.told))[0]
        return found

    @property
    def port(self) -> int:
        return int(self.link().split(":")[2].split("/")[0])

    def type(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def close(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            if stream is not None:
                stream.close()


@contextlib.contextmanager
def browsing(*switches: str, environment: dict[str, str] | None = None) -> Iterator[WebDriver]:
    """A browser that allows the page the microphone.

    ``environment`` : of a virtual sound card, to hear and sound there; else its microphone is a made-up one.
    """
    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    own = () if environment else ("--use-fake-device-for-media-stream",)
    for switch in (
        "--headless=new",
        "--no-sandbox",
        "--disable-dev-shm-usage",
        "--disable-background-timer-throttling",
        "--hide-scrollbars",
        "--use-fake-ui-for-media-stream",
        *own,
        *switches,
    ):
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    service = webdriver.ChromeService(str(DRIVER), env=environment)
    browser = webdriver.Chrome(options=options, service=service)
    try:
        yield browser
    finally:
        browser.quit()


def text(browser: WebDriver, element: str) -> str:
    found: str = browser.find_element(By.ID, element).get_property("textContent")  # type: ignore[assignment]
    return found


def items(browser: WebDriver, element: str) -> list[str]:
    script = "return Array.from(document.querySelectorAll(`#${arguments[0]} li`), (item) => item.textContent)"
    found: list[str] = browser.execute_script(script, element)
    return found


def begin(browser: WebDriver, link: str) -> None:
    """Open the page as the phone, and touch it once; it is listening when this returns."""
    browser.get(link)
    until(lambda: text(browser, "link") == "Touch to begin", told=lambda: text(browser, "link"))
    browser.find_element(By.ID, "begin").click()
    until(lambda: text(browser, "link") == "Listening", told=lambda: text(browser, "link"))
