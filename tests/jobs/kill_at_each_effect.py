"""Kills a whole session with SIGKILL between its effects, one place after the other, and looks at what is left.

    python -m tests.jobs.kill_at_each_effect STORE-NAME FOLDER

Prints how many kills were made. Each child speaks the same session: an entry goes into the real journal, what is to be
heard goes down a pipe. After the kill the record must be that of a prefix of the session and hold all that was
confirmed aloud, and the session must go on from there.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from voicefit import __version__
from voicefit.dialogue import Knowledge, Session
from voicefit.dialogue.record import OnRecord
from voicefit.driver import Conversation, Hands, grammar_digest, open_knowledge
from voicefit.journal.history import sessions_of
from voicefit.journal.session_log import SessionLog, Versions
from voicefit.journal.store import open_store
from voicefit.records import Append, Resumed

SPOKEN = (
    "outside nine sixteenths, eighteen pitch",
    "no, seventeen thirty seconds",
    "new job",
    "inside fifteen millimeters",
    "undo",
    "go back to job one",
    "finish",
)


def speak(
    knowledge: Knowledge,
    location: str,
    step: Callable[[], None],
    say: Callable[[str], None],
    answered: Callable[[int], None] = lambda count: None,
) -> list[Append]:
    """The session, with ``step()`` before each effect and at the end. Returns what was appended.

    After one effect and before the next the same is on the disk and was said, so one kill between them is enough.

    ``answered(count)`` : with the number of entries after each sentence.
    """
    versions = Versions(voicefit=__version__, catalogue=knowledge.catalogue.digest, grammar=grammar_digest())
    log = SessionLog.begin(open_store(location), versions)
    appended: list[Append] = []

    def append(effect: Append) -> None:
        step()
        log.append(effect.kind, effect.data)
        appended.append(effect)

    def aloud(text: str) -> None:
        step()
        say(text)

    conversation = Conversation(knowledge, hands=Hands(append=append, say=aloud))
    for text in SPOKEN:
        conversation.take_text(text)
        answered(len(appended))
    step()
    return appended


def killed_at(step: int, knowledge: Knowledge, location: str) -> tuple[list[str], bool]:
    """What was said before the kill, and whether the session came to its end before it."""
    ears, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        left = step

        def count() -> None:
            nonlocal left
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

        def say(text: str) -> None:
            os.write(mouth, (json.dumps(text) + "\n").encode())

        speak(knowledge, location, count, say)
        os._exit(0)
    os.close(mouth)
    with os.fdopen(ears) as heard:
        said = [json.loads(line) for line in heard]
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or status == 0, f"the child failed at step {step}"
    return said, status == 0


def prefixes(knowledge: Knowledge, appended: list[Append]) -> list[OnRecord]:
    return [Session.replay(knowledge, appended[:count]).record for count in range(len(appended) + 1)]


def check(
    knowledge: Knowledge, location: str, said: list[str], whole: list[OnRecord], confirmed: dict[str, int]
) -> None:
    """``confirmed`` : by what was said, the number of entries with those of the sentence that it answers."""
    store = open_store(location)
    contents = store.contents()
    assert contents.damage == ()
    sessions = sessions_of(contents)
    entries = sessions[0].entries if sessions else ()
    assert Session.replay(knowledge, entries).record == whole[len(entries)], "no prefix"
    assert len(entries) >= max((confirmed[text] for text in said), default=0), "what was confirmed aloud is missing"
    if sessions:
        conversation = Conversation(knowledge, entries=entries)
        conversation.take(Resumed(1))
        assert "job one" in conversation.session.snapshot().reply.lower()
    store.close()


def main(name: str, folder: str) -> int:
    knowledge = open_knowledge()
    steps = 0
    confirmed: dict[str, int] = {}
    saying: list[str] = []

    def count() -> None:
        nonlocal steps
        steps += 1

    def answered(entries: int) -> None:
        confirmed.update({text: entries for text in saying if text not in confirmed})
        saying.clear()

    whole = prefixes(knowledge, speak(knowledge, str(Path(folder) / "whole" / name), count, saying.append, answered))
    step = 0
    while True:
        step += 1
        location = Path(folder) / str(step) / name
        said, ended = killed_at(step, knowledge, str(location))
        check(knowledge, str(location), said, whole, confirmed)
        shutil.rmtree(location.parent)
        if ended:
            assert step - 1 == steps
            print(steps)
            return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
