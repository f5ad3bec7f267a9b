"""Kills a session with SIGKILL before each line of the journal's code in turn, and looks at what is left.

    python kill_at_each_step.py session|migration LOCATION-NAME FOLDER

Prints how many kills were made. Each child appends and then "says" (writes one byte to a pipe), as the app does; after
the kill, replay must equal a prefix of what was to be written and hold all that was said.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import voicefit.journal
from voicefit.journal import sql  # noqa: F401  # imported here once, so that each child need not
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import open_store

JOURNAL = str(Path(voicefit.journal.__file__).parent)
SAID = 2


def a_session(location: str, said: int) -> None:
    store = open_store(location)
    log = SessionLog.begin(
        store, {"voicefit": "0", "catalogue": "c", "grammar": "g"}, lambda: "2024-05-01T07:30:00.000Z"
    )
    os.write(said, b".")
    for n in range(SAID):
        log.append("reading", {"n": n})
        os.write(said, b".")
    store.close()


def an_opening(location: str, said: int) -> None:
    open_store(location).close()
    os.write(said, b".")


def killed_at(step: int, work: Callable[[str, int], None], location: str) -> tuple[int, bool]:
    """How much was said before the kill, and whether the work came to its end before that step."""
    ears, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        left = step

        def count(frame: FrameType, event: str, _: Any) -> Any:
            nonlocal left
            if not frame.f_code.co_filename.startswith(JOURNAL):
                return None
            if event == "line":
                left -= 1
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)
            return count

        sys.settrace(count)
        work(location, mouth)
        os._exit(0)
    os.close(mouth)
    said = b""
    while part := os.read(ears, 4096):
        said += part
    os.close(ears)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or status == 0, f"the child failed at step {step}"
    return len(said), status == 0


def check_session(location: str, said: int) -> None:
    store = open_store(location)
    found = store.contents()
    store.close()
    assert all(each.reason == "cut short" for each in found.damage), found.damage
    kinds = ["header", *("reading" for _ in range(SAID))]
    numbers = [record.sequence for record in found.records]
    assert numbers == list(range(len(numbers))), numbers
    assert [record.kind for record in found.records] == kinds[: len(numbers)]
    assert len(numbers) >= said, f"{said} were confirmed aloud, {len(numbers)} are on record"


def check_migration(location: str, before: list[str]) -> None:
    store = open_store(location)
    found = store.contents()
    store.close()
    assert found.damage == ()
    assert [record.kind for record in found.records] == before


def main(what: str, name: str, folder: str) -> int:
    step = 0
    while True:
        step += 1
        here = Path(folder) / f"{what}-{step}"
        here.mkdir()
        location = str(here / name)
        if what == "session":
            said, whole = killed_at(step, a_session, location)
            check_session(location, said)
        else:
            from tests.journal.old_store import KINDS, write_schema_1_file

            write_schema_1_file(Path(location))
            _, whole = killed_at(step, an_opening, location)
            check_migration(location, KINDS)
        shutil.rmtree(here)
        if whole:
            print(step - 1)
            return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
