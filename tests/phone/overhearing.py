"""What a page does that one cannot see: what it plays, beeps, how it shakes the phone; and what is said into it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from selenium.webdriver.remote.webdriver import WebDriver

from voicefit.audio.files import write_wav
from voicefit.records import SAMPLE_RATE_HZ

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
window.beeped = [];
const Oscillator = window.OscillatorNode;
window.OscillatorNode = class extends Oscillator {
  start(at) { window.beeped.push(this.frequency.value); super.start(at); }
};
window.held = [];
const held = (what) => { window.held.push(what); return Promise.resolve({ released: false }); };
Object.defineProperty(navigator, "wakeLock", { value: { request: held } });
const asked = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
navigator.mediaDevices.getUserMedia = (what) => { window.cancels = what.audio.echoCancellation; return asked(what); };
"""


def overhear(browser: WebDriver) -> None:
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": HEAR_WHAT_SOUNDS})


def buzzes(browser: WebDriver) -> list[list[int]]:
    """The patterns of vibration so far, in milliseconds on and off."""
    found: list[list[int]] = browser.execute_script("return window.buzzed")
    return found


def troubles(browser: WebDriver) -> list[Any]:
    """What the browser complained of, but for the icon that every browser asks for."""
    return [entry for entry in browser.get_log("browser") if "favicon" not in entry["message"]]


def quiet_around(path: Path, samples: np.ndarray, before_s: float, after_s: float) -> Path:
    parts = [np.zeros(round(before_s * SAMPLE_RATE_HZ)), samples, np.zeros(round(after_s * SAMPLE_RATE_HZ))]
    whole = np.concatenate(parts) + np.random.default_rng(5).normal(0, 0.0005, sum(map(len, parts)))
    write_wav(path, whole.astype(np.float32), SAMPLE_RATE_HZ)
    return path
