"""What people said who had never seen the grammar, after what was said before it.

The sentences were written, and labelled with what must and what must not be recorded, by people who knew the trade and
not the program; here are such of which, said to the program, what they wanted came. So they hold what is understood
beyond the grammar's own words. A row that fails is to be judged by what its sentence says, not by what stood there.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from tests.strangers.outcome import outcome
from voicefit.dialogue.state import State

SAID = Path(__file__).parent / "said.txt"
UNTIL, MOST_ASKED = "until ", 10


def rows() -> Iterator[tuple[str, str, str]]:
    """What is said before, a sentence, and what comes of it."""
    before = ""
    for line in SAID.read_text(encoding="utf-8").splitlines():
        if line.startswith("== "):
            before = line.removeprefix("== ")
        elif " => " in line:
            said, _, comes = line.rpartition(" => ")
            yield before, said, comes


@lru_cache
def after(before: str) -> State:
    """The state of a session after some lines; ``until seal`` : can't tell, until that is asked."""
    talk = Talk(knowledge_of_the_project())
    for line in filter(None, before.removeprefix("at first").split(" | ")):
        if not line.startswith(UNTIL):
            talk.say(line)
            continue
        for _ in range(MOST_ASKED):
            if talk.check == line.removeprefix(UNTIL):
                break
            talk.say("can't tell")
        assert talk.check == line.removeprefix(UNTIL)
    return talk.session.state


@pytest.mark.parametrize("row", list(rows()), ids=lambda row: row[1])
def test_what_comes_of_it(row: tuple[str, str, str]) -> None:
    before, said, comes = row
    talk = Talk(knowledge_of_the_project())
    talk.session.state = after(before)
    taken = talk.snapshot.readings
    talk.say(said)
    assert outcome(talk, taken) == comes
