"""Write pictures of the page, to be looked at: a live session's screen, upright and across, light and dark.

``python -m tools.page_pictures [FOLDER]`` needs Debian's chromium and chromium-driver and the package ``selenium``. The
session is typed: one end is identified and a second one is in hand, so that all that the page may show is there.
Without ``FOLDER`` the pictures in ``docs/page`` are made anew.
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image
from selenium import webdriver

TARGET = Path(__file__).resolve().parent.parent / "docs" / "page"
SIZES = ((360, 740), (740, 360), (810, 1080), (1280, 800))
LINES = (
    "female, inside point five one, eighteen pitch, thirty seven degrees, it goes in, metal seat",
    "other end",
    "outside nineteen thirty-seconds, nineteen pitch, thirty degrees",
)


def session(folder: Path) -> tuple[subprocess.Popen[str], str]:
    """A typed session and the link of its screen."""
    command = [sys.executable, "-c", "from voicefit.cli import main; main()", "talk", "--typed", "--glance"]
    command += ["--port", "0", "--store", str(folder / "journal.sqlite")]
    child = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
    )
    assert child.stdin is not None and child.stderr is not None
    link = next(line for line in child.stderr if "/#" in line).split()[-1]
    child.stdin.writelines(f"{line}\n" for line in LINES)
    child.stdin.flush()
    return child, link


def browser(theme: str) -> webdriver.Chrome:
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for switch in ("--headless=new", "--no-sandbox", "--hide-scrollbars"):
        options.add_argument(switch)
    made = webdriver.Chrome(options=options, service=webdriver.ChromeService("/usr/bin/chromedriver"))
    features = [{"name": "prefers-color-scheme", "value": theme}]
    made.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    return made


def main(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for theme in ("light", "dark"):
        with tempfile.TemporaryDirectory() as store:
            child, link = session(Path(store))
            shown = browser(theme)
            try:
                shown.get(link)
                time.sleep(4.0)
                for wide, high in SIZES:
                    metrics = {"width": wide, "height": high, "deviceScaleFactor": 1, "mobile": False}
                    shown.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
                    time.sleep(0.5)
                    picture = Image.open(io.BytesIO(shown.get_screenshot_as_png())).convert("L").quantize(16)
                    picture.save(folder / f"{wide}x{high}-{theme}.png", optimize=True)
            finally:
                shown.quit()
                child.terminate()
                child.wait()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else TARGET)
