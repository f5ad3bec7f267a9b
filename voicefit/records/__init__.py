"""The nouns of the flow, and the session's events and effects.

    audio -> Utterance -> Transcript -> Meaning (Reading | Command | Rejection) -> posterior -> Advice -> Say

Each is a frozen type that can name the earlier ones that it came from, so that a reply can be explained and a reading
taken back. They stand in one file a step: what can be said (``measurands``), what words mean (``meanings``), what was
heard (``hearing``), what to do next (``advice``), the session's events and effects (``events``).

Duty: hold values. They must not compute, format or do I/O. Posteriors hold arrays and live in
:mod:`voicefit.matching`; ends live in :mod:`voicefit.catalogue`.
"""

from voicefit.records.advice import Advice as Advice
from voicefit.records.advice import Certainty as Certainty
from voicefit.records.advice import Check as Check
from voicefit.records.events import Append as Append
from voicefit.records.events import Chosen as Chosen
from voicefit.records.events import Do as Do
from voicefit.records.events import Effect as Effect
from voicefit.records.events import Event as Event
from voicefit.records.events import Heard as Heard
from voicefit.records.events import NoteDone as NoteDone
from voicefit.records.events import Quiet as Quiet
from voicefit.records.events import Refused as Refused
from voicefit.records.events import Resumed as Resumed
from voicefit.records.events import Say as Say
from voicefit.records.events import Stop as Stop
from voicefit.records.events import Tone as Tone
from voicefit.records.events import Trouble as Trouble
from voicefit.records.hearing import SAMPLE_RATE_HZ as SAMPLE_RATE_HZ
from voicefit.records.hearing import Alternative as Alternative
from voicefit.records.hearing import Sound as Sound
from voicefit.records.hearing import Transcript as Transcript
from voicefit.records.hearing import Utterance as Utterance
from voicefit.records.meanings import Command as Command
from voicefit.records.meanings import Context as Context
from voicefit.records.meanings import Hedge as Hedge
from voicefit.records.meanings import Item as Item
from voicefit.records.meanings import KindShares as KindShares
from voicefit.records.meanings import Meaning as Meaning
from voicefit.records.meanings import Option as Option
from voicefit.records.meanings import Reading as Reading
from voicefit.records.meanings import Reason as Reason
from voicefit.records.meanings import Rejection as Rejection
from voicefit.records.meanings import item_key as item_key
from voicefit.records.meanings import option_key as option_key
from voicefit.records.measurands import ABSENT as ABSENT
from voicefit.records.measurands import O_RING as O_RING
from voicefit.records.measurands import O_RING_SEALS as O_RING_SEALS
from voicefit.records.measurands import Gender as Gender
from voicefit.records.measurands import Measurand as Measurand
from voicefit.records.measurands import Seal as Seal
from voicefit.records.measurands import SeatForm as SeatForm
