"""What a page shows of an answer, in words that are ready to be read from two metres.

Duty: gather it from the session after each answer. It must not word replies, and must not send anything.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

from voicefit.dialogue import Snapshot
from voicefit.documents import AnswerDocument, CandidateDocument, answer_document
from voicefit.driver import Conversation
from voicefit.ordering.outline import outline
from voicefit.phone.drawing import to_svg
from voicefit.printed import candidate_name, reading_line
from voicefit.slips.job import slip_of_job

OTHERS, CAUTIONS = 2, 4  # shown beside the leader; kept of the session
HOW_SURE = {
    "open": "Many still fit",
    "leading": "Leads, not yet sure",
    "likely": "Likely",
    "identified": "Identified: the look-alikes are ruled out",
    "decided": "Decided by you, not by the checks",
}


class View(BaseModel):
    """``number`` : goes up with each answer. ``event`` : what the phone tells by vibration."""

    model_config = ConfigDict(frozen=True)

    type: Literal["view"] = "view"
    number: int
    event: Literal["", "heard", "refused"]
    heard: str
    reply: str
    left_out: list[str]
    how_sure: str
    leader: str
    share: str
    others: list[str]
    next_checks: list[str]
    readings: list[str]
    cautions: list[str]
    order: list[str]
    drawing: str
    place: str


class Views:
    """One view after the other; what was heard and said stays until something else is, and so do cautions."""

    def __init__(self) -> None:
        self._number = 0
        self._cautions: list[str] = []
        self._heard = self._reply = ""

    def of(self, conversation: Conversation, snapshot: Snapshot) -> View:
        """What is to be shown now."""
        self._number += 1
        answer = answer_document(conversation.knowledge.catalogue, snapshot)
        fresh = [caution for caution in answer.cautions if caution not in self._cautions]
        self._cautions = [*fresh, *self._cautions][:CAUTIONS]
        self._heard, self._reply = answer.heard or self._heard, answer.reply or self._reply
        leads = bool(answer.readings) and not answer.nothing_fits and bool(answer.candidates)
        return View(
            number=self._number,
            event="refused" if answer.rejected else "heard" if answer.heard else "",
            heard=self._heard,
            reply=self._reply,
            left_out=[rejected.text for rejected in answer.rejected if rejected.text],
            how_sure=_how_sure(answer),
            leader=_short(answer.candidates[0]) if leads else "",
            share=f"{100 * answer.candidates[0].probability:.0f}" if leads else "",
            others=[_short(each) for each in answer.candidates[1 : 1 + OTHERS]] if leads else [],
            next_checks=[check.prompt for check in answer.next_checks],
            readings=[reading_line(reading) for reading in answer.readings],
            cautions=self._cautions,
            order=_order(conversation),
            drawing=_drawing(conversation, snapshot) if leads else "",
            place=f"Job {snapshot.job}, piece {snapshot.piece}",
        )


def _short(candidate: CandidateDocument) -> str:
    """The end in print; what its name says already is not said again."""
    said = candidate.gender in candidate.name.split(", ")[-1]
    return candidate_name(candidate.model_copy(update={"gender": ""}) if said else candidate)


def _how_sure(answer: AnswerDocument) -> str:
    if not answer.readings:
        return "Nothing measured yet"
    return "Nothing listed fits: measure again" if answer.nothing_fits else HOW_SURE[answer.state]


def _order(conversation: Conversation) -> list[str]:
    """What is on the job's slip so far, by name; what is not identified is not on it yet."""
    session = conversation.session
    slip = slip_of_job(session, session.record.work.job.number, job_id="job-0")
    ends = [f"{end.count} x {end.name}" if end.count > 1 else end.name for end in slip.ends if end.id is not None]
    return [*ends, *slip.names[len(slip.ends) :]]


def _drawing(conversation: Conversation, snapshot: Snapshot) -> str:
    catalogue = conversation.knowledge.catalogue
    end = catalogue.ends[snapshot.candidates[0][0]]
    return to_svg(outline(end, catalogue.orings), end.name)
