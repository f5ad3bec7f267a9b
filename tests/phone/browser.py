"""A real browser with a made-up microphone, and the command that serves it the page."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from voicefit.audio.files import read_audio, write_wav
from voicefit.records import SAMPLE_RATE_HZ

PATIENCE_S = 60.0


def until(what: Callable[[], Any], seconds: float = PATIENCE_S, told: Callable[[], object] = lambda: "") -> Any:
    """What it returns, once that is something."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.1)
    raise AssertionError(f"not within {seconds} s: {told()}")


def recording(path: Path, files: list[Path], before_s: float = 3.0, pause_s: float = 9.0) -> Path:
    """One WAV with the sentences of all files, and pauses for the replies."""
    quiet = np.zeros(round(pause_s * SAMPLE_RATE_HZ), np.float32)
    parts = [np.zeros(round(before_s * SAMPLE_RATE_HZ), np.float32)]
    for file in files:
        parts += [read_audio(file), quiet]
    hiss = np.random.default_rng(5).normal(0, 0.0005, sum(map(len, parts))).astype(np.float32)
    write_wav(path, np.concatenate(parts) + hiss, SAMPLE_RATE_HZ)
    return path


class Session:
    """``voicefit talk`` with a page, in a process of its own."""

    def __init__(self, home: Path, *options: str) -> None:
        environment = os.environ | {"XDG_DATA_HOME": str(home / "data"), "XDG_CONFIG_HOME": str(home / "config")}
        self.process = subprocess.Popen(
            [sys.executable, "-c", "from voicefit.cli import main; main()", "talk", "--port", "0", *options],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=environment,
        )
        self.told, self.printed = [""], [""]
        for stream, kept in ((self.process.stderr, self.told), (self.process.stdout, self.printed)):
            threading.Thread(target=self._read, args=(stream, kept), daemon=True).start()

    @staticmethod
    def _read(stream: Any, kept: list[str]) -> None:
        for line in stream:
            kept.append(line)

    def links(self) -> list[str]:
        return re.findall(r"https?://\S+/#\S+", "".join(self.told))

    def link(self, number: int = 0) -> str:
        """The link of the code printed as the so-many-th."""
        return until(lambda: self.links()[number : number + 1], told=lambda: "".join(self.told))[0]

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


def open_browser(sound: Path | None = None, *switches: str) -> WebDriver:
    """Chromium without a window. ``sound`` : what its microphone hears, once."""
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for switch in (
        "--headless=new",
        "--no-sandbox",
        "--disable-dev-shm-usage",
        "--disable-background-timer-throttling",
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        *([f"--use-file-for-fake-audio-capture={sound}%noloop"] if sound else []),
        *switches,
    ):
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    return webdriver.Chrome(options=options, service=webdriver.ChromeService("/usr/bin/chromedriver"))


def text(browser: WebDriver, element: str) -> str:
    found: str = browser.find_element(By.ID, element).get_property("textContent")  # type: ignore[assignment]
    return found
