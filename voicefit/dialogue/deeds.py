"""The deeds a session asks of its edge: the names that :class:`voicefit.records.Do` may carry.

Duty: names and what they mean. It must not perform them.
"""

from __future__ import annotations

from enum import StrEnum


class Deed(StrEnum):
    SET = "set"  # argument "name=value": apply and keep this setting
    NEXT = "next"  # argument voice | microphone | speaker: take the next one, answer with a Chosen event
    HUSH = "hush"  # stop speaking now
    SILENT = "silent"  # say nothing; the argument names why
    RECORD = "record"  # argument note | machine: record what is said next, answer with a NoteDone event
    PLAY = "play"  # argument: the name of a note
    REMOVE = "remove"  # argument: the name of a note, or "job 2": all sound of that job
    LISTEN = "listen"  # argument asleep | awake | attending: what is acted on from now
    SLIP = "slip"  # argument: a job's number; write its order slip
