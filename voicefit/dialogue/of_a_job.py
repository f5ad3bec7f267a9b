"""A job that is named: "back to the west loader", "the slip of job one", said in another one.

Duty: which job words name, and whether they ask for it or for its slip. It must not turn to it
(:mod:`voicefit.dialogue.functions.jobs`), nor read a slip (:mod:`voicefit.dialogue.functions.orders`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from voicefit.dialogue.record import Job
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Meaning

_GOES = word_set("back go going take get bring switch return over continue open reopen pick up resume carry on with")
_OF_A_SLIP = word_set("slip order list")
_HOLLOW = word_set(
    "to the a my that of for on from me us let and now so okay right again please then one job called named"
)
_READS = word_set("read tell show say give whats what is what's")
_PLACES = {"first": 0, "second": 1, "third": 2, "fourth": 3, "last": -1, "previous": -1, "other": -1}


def named(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning as a call of another job, or of its slip, where it says nothing but that, and names the job."""
    words = _plain(meaning.text)
    slip = not _OF_A_SLIP.isdisjoint(words)
    if not slip and _GOES.isdisjoint(words):
        return meaning
    told = set(words) - (_OF_A_SLIP | _READS if slip else _GOES) - _HOLLOW
    jobs = [job for job in turn.record.work.jobs if told and told <= set(_plain(job.machine))]
    if not told - _PLACES.keys() and (at := _in_its_place(turn, words)):
        jobs = [at]
    if len(jobs) != 1:
        return meaning
    call = Command("order-slip" if slip else "go-to-job", meaning.text, argument=str(jobs[0].number))
    return replace(meaning, items=(call,), log_weight=0.0)


def _in_its_place(turn: Turn, words: Sequence[str]) -> Job | None:
    """The job that is named by its place among them."""
    jobs = turn.record.work.jobs
    place = next((_PLACES[one] for one, two in pairwise(words) if two == "job" and one in _PLACES), None)
    if place is not None and place < 0:
        jobs = tuple(job for job in jobs if job.number != turn.job.number)
    return jobs[place] if place is not None and place < len(jobs) and jobs else None


def _plain(text: str) -> list[str]:
    """The words in small letters, without signs."""
    return re.findall(r"[a-z0-9]+", text.casefold().replace("'", "").replace("’", "").replace(" s ", "s "))
