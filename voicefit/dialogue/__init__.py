"""The session as a state machine without I/O, and the wording of its replies.

    session = Session(Knowledge.build(data_texts, grammar_texts), Settings())
    for effect in session.handle(Heard(meanings)): ...

How it works. The state is one frozen value (``state``): what is on record, the mode, the settings. An event begins a
:class:`~voicefit.dialogue.turn.Turn`, the only hand that changes it. What was heard is weighed by how well it fits the
readings so far (``meanings``), and the confirmation policy takes it, asks about it or refuses it (``confirmation``,
``taking``, ``asking``). Readings are appended as entries (``entries``), and the record is what its entries make of it
(``record``), so that replay brings it back exactly; beliefs follow from the readings and are never kept
(``knowledge``). A command calls its function by its id (``registry``, ``functions``). Last the reply is put together:
read back, where it stands, what comes next (``identification``). The modes and their transitions are one table, at the
head of ``state``.

Duty: events in, effects out. It must not read files, know the time, or touch a device.
"""

from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.session import Session
from voicefit.dialogue.settings import Settings
from voicefit.dialogue.snapshot import ReadingTaken, Snapshot
from voicefit.dialogue.state import Deed

__all__ = ["Deed", "Knowledge", "ReadingTaken", "Session", "Settings", "Snapshot"]
