"""How long the phone's page needs to join again, from the network's return to "Listening".

    python -m benchmarks rejoin [--away-s 2 20 60] [--times 2] [--json]

The real command ``voicefit talk --phone`` and a browser on this machine; between both a stretch of network that fails
as radio does, silently and with its sockets open. Needs Debian's chromium and chromium-driver.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from benchmarks.browser import Session, begin, browsing, text, until
from benchmarks.radio import Radio

PATIENCE_S = 60.0
_STEP_S = 0.02


def rejoin(session: Session, away_s: float) -> float:
    """Seconds; leaves a code for the next page.

    Each time another browser and another stretch of network: browsers remember what failed.
    """
    with Radio(session.port) as radio, browsing(radio.rule) as browser:
        session.link()
        begin(browser, session.links()[-1])
        radio.fail()
        until(lambda: "lost" in text(browser, "link"))
        time.sleep(away_s)
        radio.recover()
        back = time.monotonic()
        while text(browser, "link") != "Listening" and time.monotonic() - back < PATIENCE_S:
            time.sleep(_STEP_S)
        needed_s, known = time.monotonic() - back, len(session.links())
        session.type("phone code")
        session.link(known)
        return needed_s


def run(away_s: list[float], times: int) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder:
        session = Session(Path(folder), "--phone", "--address", "127.0.0.1")
        try:
            found = {f"{away:g} s away": [rejoin(session, away) for _ in range(times)] for away in away_s}
        finally:
            session.close()
    return {"load": round(os.getloadavg()[0], 1)} | {
        name: [round(s, 2) for s in all_s] for name, all_s in found.items()
    }


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks rejoin", description=__doc__)
    parser.add_argument("--away-s", type=float, nargs="+", default=[2.0, 20.0, 60.0])
    parser.add_argument("--times", type=int, default=2)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    result = run(options.away_s, options.times)
    if options.json:
        sys.stdout.write(json.dumps(result, indent=2) + "\n")
        return 0
    for name, value in result.items():
        sys.stdout.write(f"{name:16} {value}{'' if name == 'load' else ' s to join again'}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
