"""The nouns of the flow, and the session's events and effects.

    audio -> Utterance -> Transcript -> Meaning (Reading | Command | Rejection) -> posterior -> Advice -> Say

Each is a frozen type that can name the earlier ones that it came from, so that a reply can be explained and a reading
taken back. They stand in one file a step: what can be said (``measurands``), what words mean (``meanings``), what was
heard (``hearing``), what to do next (``advice``), the session's events and effects (``events``).

Duty: hold values. They must not compute, format or do I/O. Posteriors hold arrays and live in
:mod:`voicefit.matching`; ends live in :mod:`voicefit.catalogue`.
"""

from voicefit.records.advice import Advice, Certainty, Check
from voicefit.records.events import (
    Append,
    Chosen,
    Do,
    Effect,
    Event,
    Heard,
    NoteDone,
    Quiet,
    Refused,
    Resumed,
    Say,
    Stop,
    Tone,
    Trouble,
)
from voicefit.records.hearing import SAMPLE_RATE_HZ, Alternative, Sound, Transcript, Utterance
from voicefit.records.meanings import (
    Command,
    Context,
    Hedge,
    Item,
    KindShares,
    Meaning,
    Option,
    Reading,
    Reason,
    Rejection,
    item_key,
    option_key,
)
from voicefit.records.measurands import ABSENT, O_RING, O_RING_SEALS, Gender, Measurand, Seal, SeatForm

__all__ = [
    "ABSENT",
    "O_RING",
    "O_RING_SEALS",
    "SAMPLE_RATE_HZ",
    "Advice",
    "Alternative",
    "Append",
    "Certainty",
    "Check",
    "Chosen",
    "Command",
    "Context",
    "Do",
    "Effect",
    "Event",
    "Gender",
    "Heard",
    "Hedge",
    "Item",
    "KindShares",
    "Meaning",
    "Measurand",
    "NoteDone",
    "Option",
    "Quiet",
    "Reading",
    "Reason",
    "Refused",
    "Rejection",
    "Resumed",
    "Say",
    "Seal",
    "SeatForm",
    "Sound",
    "Stop",
    "Tone",
    "Transcript",
    "Trouble",
    "Utterance",
    "item_key",
    "option_key",
]
