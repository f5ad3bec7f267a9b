"""Write pictures of the page, to be looked at: a live session's screen, upright and across, light and dark.

``python -m tools.page_pictures [FOLDER]`` needs Debian's chromium and chromium-driver and the package ``selenium``. The
session is typed: one end is identified and a second one is in hand, so that all that the page may show is there.
Without ``FOLDER`` the pictures in ``docs/page`` are made anew.
"""

from __future__ import annotations

import io
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image

from benchmarks.browser import Session, browsing, items, text, until

TARGET = Path(__file__).resolve().parent.parent / "docs" / "page"
THEMES = ("light", "dark")
SIZES = ((360, 740), (740, 360), (810, 1080), (1280, 800))
LINES = (
    "female, inside point five one, eighteen pitch, thirty seven degrees, it goes in, metal seat",
    "other end",
    "outside nineteen thirty-seconds, nineteen pitch, thirty degrees",
)


def main(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home, browsing() as browser:
        session = Session(Path(home), "--typed", "--glance")
        try:
            browser.get(session.link())
            for line in LINES:
                session.type(line)
            until(lambda: items(browser, "order") and "30" in text(browser, "leader"))
            for theme in THEMES:
                features = [{"name": "prefers-color-scheme", "value": theme}]
                browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
                for wide, high in SIZES:
                    metrics = {"width": wide, "height": high, "deviceScaleFactor": 1, "mobile": False}
                    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
                    time.sleep(0.5)  # until it is drawn
                    picture = Image.open(io.BytesIO(browser.get_screenshot_as_png())).convert("L").quantize(16)
                    picture.save(folder / f"{wide}x{high}-{theme}.png", optimize=True)
        finally:
            session.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else TARGET)
