"""The session as a state machine without I/O, and the wording of its replies.

    session = Session(Knowledge.build(data_texts, grammar_texts), Settings())
    for effect in session.handle(Heard(meanings)): ...

Duty: events in, effects out. It must not read files, know the time, or touch a device.
"""

from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.session import Session
from voicefit.dialogue.settings import Settings
from voicefit.dialogue.snapshot import ReadingTaken, Snapshot
from voicefit.dialogue.state import Deed

__all__ = ["Deed", "Knowledge", "ReadingTaken", "Session", "Settings", "Snapshot"]
