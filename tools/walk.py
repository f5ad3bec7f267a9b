"""How a sentence goes through the code: ``python -m tools.walk`` prints the walks of a typed reading and a heard one.

A trace of all calls. Whenever the next noun of the map (``DEVELOPERS.md``) is made for the first time, every function
of the package that stands on the call stack belongs to the walk. A return: from one noun to the next the stack has
shrunk, and a function which stayed on it called what makes the next one.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable
from pathlib import Path
from types import CodeType, FrameType

import numpy as np

import voicefit
from voicefit.audio.ears import HearingSettings
from voicefit.audio.files import resample
from voicefit.dialogue import Knowledge, Settings
from voicefit.driver import Conversation, open_knowledge
from voicefit.driver.edges import recording
from voicefit.driver.loop import drive
from voicefit.driver.talk import Edges, Talk
from voicefit.matching import Posterior
from voicefit.recognition import open_recogniser
from voicefit.records import SAMPLE_RATE_HZ, Advice, Heard, Meaning, Say, Transcript, Utterance
from voicefit.synthesis import VoiceSettings, open_voice

READING = "outside nineteen thirty-seconds"
TYPED: tuple[type, ...] = (Meaning, Heard, Posterior, Advice, Say)
SPOKEN: tuple[type, ...] = (Utterance, Meaning, Transcript, Heard, Posterior, Advice, Say)
_PACKAGE = Path(voicefit.__file__).parent


class Walk:
    """What stands on the call stack when each of ``nouns`` is first made while ``act`` runs."""

    def __init__(self, nouns: tuple[type, ...], act: Callable[[], object]) -> None:
        self.nouns = nouns
        self.stacks: list[list[FrameType]] = []
        self._makers: list[CodeType] = [vars(noun)["__init__"].__code__ for noun in nouns]
        sys.setprofile(self._see)
        try:
            act()
        finally:
            sys.setprofile(None)

    def _see(self, frame: FrameType, event: str, argument: object) -> None:
        made = len(self.stacks)
        if event != "call" or made == len(self.nouns) or frame.f_code is not self._makers[made]:
            return
        stack, caller = [], frame.f_back
        while caller is not None:
            code = caller.f_code
            if Path(code.co_filename).is_relative_to(_PACKAGE) and not code.co_name.startswith("<"):
                stack.append(caller)
            caller = caller.f_back
        self.stacks.append(stack[::-1])

    @property
    def functions(self) -> list[tuple[str, str]]:
        """File and name of each function, in the order in which the walk comes to them."""
        codes = dict.fromkeys(frame.f_code for stack in self.stacks for frame in stack)
        return [(str(Path(code.co_filename).relative_to(_PACKAGE)), code.co_qualname) for code in codes]

    @property
    def files(self) -> list[str]:
        return list(dict.fromkeys(file for file, _ in self.functions))

    @property
    def returns(self) -> int:
        pairs = zip(self.stacks, self.stacks[1:], strict=False)
        return sum(len(before) > len(after) or before != after[: len(before)] for before, after in pairs)

    def __str__(self) -> str:
        return f"{len(self.functions)} functions, {len(self.files)} files, {self.returns} returns"


def typed(knowledge: Knowledge) -> Walk:
    conversation = Conversation(knowledge)
    return Walk(TYPED, lambda: conversation.take_text(READING))


def heard(knowledge: Knowledge) -> Walk:
    """The same in the bundled voice, recognised when it has ended."""
    with open_voice("espeak") as voice:
        sound = voice.speak(READING, VoiceSettings(name="en-us", words_per_minute=150))
    silence = np.zeros(SAMPLE_RATE_HZ, np.float32)
    said = resample(sound.samples.astype(np.float32) / np.float32(32768), sound.rate_hz, SAMPLE_RATE_HZ)
    with contextlib.closing(recording([silence, said, silence], hearing=HearingSettings())) as edge:
        talk, recogniser = Talk(knowledge, Settings(), Edges(edge)), open_recogniser()
        return Walk(SPOKEN, lambda: drive(talk, edge, recogniser))


def main() -> None:
    for name, walked in (("typed", typed), ("heard", heard)):
        walk = walked(open_knowledge())
        print(f"{name}: {walk}")
        for noun, stack in zip(walk.nouns, walk.stacks, strict=True):
            print(f"  {noun.__name__}: {' > '.join(frame.f_code.co_qualname for frame in stack)}")


if __name__ == "__main__":
    main()
