"""What was not taken, said by name: one piece a reply.

Duty: which of the refusals is said, in which words, and what can be said instead. It must not decide what is taken.
"""

from __future__ import annotations

from voicefit.dialogue import spoken, unplaced
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.state import Choosing, Confirming, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Meaning, Reason, Rejection

_LITTLE_WORDS = word_set(  # one of them alone is not worth naming: nobody could say it otherwise
    "the a an of to in on at by for with from up down out off over under across along and or but so if as than then "
    "too also just only even still very quite is are was were be been am do does did has have had can could would "
    "should will may might it its itself this that these those there here i we you they he she me my your our them no "
    "yes well instead either need"
)
NAMED_WORDS = 4  # so many words that were not understood are named
ASKED_WORDS = 9  # in so many a number may stand that it is asked of what it is


def refuse(turn: Turn, rejection: Rejection) -> None:
    """Say by name why something was not taken."""
    turn.rejected.append(rejection)
    say_refusal(turn, rejection)


def refuse_of(turn: Turn, meaning: Meaning) -> None:
    """Of what was not taken of a meaning, the longest piece is named; beside something that was, no little word alone,
    and of a number it is asked what it is of, and of what else is named, the check of that."""
    refused = [item for item in meaning.items if isinstance(item, Rejection)]
    if len(refused) < len(meaning.items):
        refused = [each for each in refused if not _is_little(each)]
    if not refused:
        return
    longest = max(refused, key=lambda each: len(each.text))
    beside, said = len(refused) < len(meaning.items), longest.text
    short = longest.reason is Reason.OUT_OF_GRAMMAR and len(said.split()) <= ASKED_WORDS
    if not short or turn.piece.kind != END or turn.focus.question is not None:
        say_refusal(turn, longest)
    elif beside and (turn.knowledge.language.number_in(said) or unplaced.check_of(turn, said) is not None):
        turn.look(unplaced=said)
    else:
        say_refusal(turn, longest)


def _is_little(rejection: Rejection) -> bool:
    return rejection.reason is Reason.OUT_OF_GRAMMAR and rejection.text.casefold().strip(" .,!?") in _LITTLE_WORDS


def say_refusal(turn: Turn, rejection: Rejection) -> None:
    """Why it was not taken, with the words that were not, and two things that can be said now."""
    of_value = rejection.reason in (Reason.OUT_OF_RANGE, Reason.UNIT_MISMATCH)
    detail = rejection.text if of_value else rejection.detail
    named = [text for text in (rejection.text, detail) if text in rejection.text and is_short(text)]
    if rejection.limits:
        least, greatest = rejection.limits
        wording = turn.knowledge.wording
        turn.say("refused-beyond", detail=detail, least=wording.value(least), greatest=wording.value(greatest))
    elif rejection.reason is Reason.OUT_OF_GRAMMAR and named:
        turn.say("refused-words", detail=named[0])
    else:
        turn.say(f"refused-{rejection.reason.value}", detail=detail or turn.knowledge.wording.plain("that"))


def is_short(text: str) -> bool:
    return 0 < len(spoken.aloud(text).split()) <= NAMED_WORDS


def what_can_be_said(turn: Turn) -> str:
    """Two things that answer what is open, in words: the question, the check, or what can be asked or begun."""
    words, check = turn.knowledge.wording.words, turn.focus.check
    match turn.focus.mode:
        case Confirming():
            return words["say.confirm"]
        case Choosing():
            return words["say.choose"]
        case Spelling():
            return words["say.spell"]
    if check is None:
        return words["say.settled" if turn.record.end_of(turn.piece) is not None else "say.start"]
    kind = "yes-no" if check.yes is not None else "hose" if turn.piece.kind == HOSE else "value"
    named = () if check.yes is not None else (check.id, check.measurand.value)
    return words[next((f"say.{name}" for name in (*named, kind) if f"say.{name}" in words), f"say.{kind}")]
