"""What each event does: one function an event. Those about sound, jobs and notes are with their functions.

Duty: whether what was said is meant for the session, what may have been said of what was refused, refusals in a row,
silence, trouble. It must not decide what readings mean (:mod:`voicefit.dialogue.taking`) or what is said of them
(:mod:`voicefit.dialogue.identification`).
"""

from __future__ import annotations

import math
from dataclasses import replace

from voicefit.dialogue import asking, identification, readback, refusals, taking, waiting
from voicefit.dialogue.functions.settings import go_on
from voicefit.dialogue.state import Attention, Checking, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Heard, Meaning, Reading, Reason, Rejection, Transcript, Trouble

REFUSALS_SAID = 3  # so many in a row are spoken of
NOT_SPOKEN = frozenset({Reason.SILENCE, Reason.NOISE})  # refused by a tone: an engine near by makes many
# Where coming closer to the microphone helps.
OF_SOUND = NOT_SPOKEN | {Reason.LOW_CONFIDENCE, Reason.TOO_QUIET, Reason.TOO_LOUD}
_OF_WORDS = frozenset({Reason.LOW_CONFIDENCE, Reason.OUT_OF_GRAMMAR})  # the sound was good enough
UNWRITTEN = "store"  # the trouble that means: the last turn's entries could not all be made durable
NAMED_TROUBLES = frozenset(
    {
        "microphone", "speaker", "voice", "recogniser", "disk", "store", "note", "slip", "settings", "screen", "shared",
        "store-moved", "store-branched", "sentence",
    }
)  # fmt: skip
# Groups of functions whose words may be meant to answer.
_SAID_OF_IT = frozenset({"using it", "asking", "fluids", "hoses", "safety"})
TOLD_EACH_TIME = frozenset({UNWRITTEN, "note", "slip", "settings", "store-moved", "store-branched", "sentence"})


def heard(turn: Turn, event: Heard) -> None:
    refusal = None if event.transcript is None else event.transcript.rejection
    meanings = _perhaps(turn, event.transcript, refusal) if event.transcript and refusal else event.meanings
    if not meanings:
        refused(turn, refusal or Rejection("", Reason.OUT_OF_GRAMMAR))
        return
    addressed = meanings if event.typed else _addressed(turn, meanings)
    if not addressed:
        return
    question = turn.focus.question
    turn.look(quiets=0)
    if turn.focus.attention is Attention.PAUSED:
        turn.look(attention=Attention.OPEN)
    taking.heard(turn, addressed)
    if question is not None and not (turn.alarmed or turn.ends) and (perhaps := waiting.pass_over(turn, question)):
        taking.take(turn, perhaps)
    if turn.alarmed:
        readback.new(turn)
        if not turn.answered.isdisjoint(check.id for check in turn.focus.open_checks):
            turn.look(check=None, beside=())  # it is answered, and nothing is asked now
    elif turn.report and turn.focus.question is None:
        identification.report(turn)
    elif turn.report:
        readback.new(turn)
        asking.ask_again(turn)
    elif turn.focus.question is None and not turn.ends and (turn.unanswered or turn.rejected or _says_it_again(turn)):
        identification.unanswered(turn)
        _say_what_can_be_said(turn)
    elif _is_beside_the_check(turn):
        identification.beside(turn)
    elif question is not None and turn.focus.question is not None and not (turn.asked or turn.ends or _paused(turn)):
        asking.ask_again(turn)  # something else was said in between: the question is still open
    if question is not None and turn.focus.question is None and turn.focus.check is None and not turn.ends:
        identification.ask(turn, on_request=True)  # the question is settled: on with the checks
    if turn.rejected and not turn.new_readings:
        turn.keep_reply = True  # "repeat" repeats what came before the refusal
    _count_refusals(turn)
    if not turn.said and not turn.acted:
        turn.functions["where-are-we"](turn, Command("where-are-we", turn.heard))  # no reply is ever empty


def _perhaps(turn: Turn, transcript: Transcript, refusal: Rejection) -> tuple[Meaning, ...]:
    """What may have been said of what the recogniser refused, with the doubt beside it; empty where nothing may.

    What it refused only for want of confidence is not thrown away, nor what it wrote freely where that is understood
    and the session listens and has no name spelled to it: it comes with so much doubt that a value can be asked about
    ("..., right?") but not be taken; of what it wrote freely, a question that changes nothing is answered.
    """
    policy, meanings = turn.knowledge.policy, transcript.meanings
    doubtful = refusal.reason is Reason.LOW_CONFIDENCE and meanings
    share = policy.doubted(transcript.scores.get("confidence", 1.0)) if doubtful else 0.0
    if not share and refusal.reason in _OF_WORDS and turn.now.attends and not isinstance(turn.focus.mode, Spelling):
        share, meanings = policy.engine_freely, tuple(filter(None, map(_understood, transcript.freely)))
    if not share or not meanings:
        return ()
    doubt = Meaning(transcript.text, (refusal,), math.log(1 - share))
    return (*(replace(m, log_weight=m.log_weight + math.log(share)) for m in meanings), doubt)


def _understood(meaning: Meaning) -> Meaning | None:
    """What was all understood, or the readings among words that were not; talk beside the matter is refused."""
    items = tuple(item for item in meaning.items if not isinstance(item, Rejection))
    aside = all(isinstance(item, Command) and item.name == "aside" for item in items)
    told = (items == meaning.items and not aside) or any(isinstance(item, Reading) for item in items)
    return replace(meaning, items=items) if told else None


def _is_beside_the_check(turn: Turn) -> bool:
    """Whether a function of those groups did and said something beside the check, which is open as before."""
    focus = turn.focus
    if not focus.open_checks or focus.open_checks != turn.before.focus.open_checks:
        return False
    if not isinstance(focus.mode, Checking) or focus.listing is not None:
        return False
    if turn.asks or turn.asked or turn.ends or not turn.said:
        return False
    by_id = turn.knowledge.registry.by_id
    return any(by_id[name].group in _SAID_OF_IT for name in turn.did)


def _says_it_again(turn: Turn) -> bool:
    """Whether the reply to that is what was said last: it brings nothing, however often it is said."""
    return turn.says_nothing_new and _is_beside_the_check(turn)


def _say_what_can_be_said(turn: Turn) -> None:
    """After a refusal, two things that can be said now, where no question says it."""
    if turn.rejected and turn.rejected[-1].reason in (Reason.OUT_OF_GRAMMAR, Reason.NOTHING_ASKED) and not turn.asks:
        turn.add("say-now", what=refusals.what_can_be_said(turn))


def _addressed(turn: Turn, meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """The meanings that are meant for the session: none while it sleeps or waits for the attention word."""
    focus, settings = turn.focus, turn.settings
    if focus.attention is Attention.ASLEEP:
        waking = tuple(m for m in meanings if m.items == m.items[:1] and _names(m, "wake-up"))
        if waking and waking[0] is meanings[0]:
            return waking[:1]
        turn.silent("asleep")
        return ()
    if settings.listening != "attention":
        return tuple(_without_attention(meaning) for meaning in meanings)
    if focus.attention is Attention.ATTENDING or focus.question is not None:
        _attended(turn)
        return tuple(_without_attention(meaning) for meaning in meanings)
    best = meanings[0]
    first = best.items[0] if best.items else None
    if isinstance(first, Command) and first.name == "attention" and first.heard == settings.attention_word:
        return (_without_attention(best),)
    turn.silent("not_addressed")
    return ()


def _paused(turn: Turn) -> bool:
    return turn.focus.attention is Attention.PAUSED


def _attended(turn: Turn) -> None:
    """What followed the attention word has been heard."""
    if turn.focus.attention is Attention.ATTENDING:
        turn.look(attention=Attention.OPEN)


def _without_attention(meaning: Meaning) -> Meaning:
    """A meaning without the attention word before it; the word alone stays."""
    return (
        replace(meaning, items=meaning.items[1:])
        if len(meaning.items) > 1 and _names(meaning, "attention")
        else (meaning)
    )


def _names(meaning: Meaning, function: str) -> bool:
    first = meaning.items[0] if meaning.items else None
    return isinstance(first, Command) and first.name == function


def _count_refusals(turn: Turn) -> None:
    """Refusals in a row; anything taken ends the row."""
    if not turn.rejected or turn.new_readings:
        turn.look(refusals=0)
        return
    turn.look(refusals=turn.focus.refusals + 1)
    if turn.focus.refusals == REFUSALS_SAID:
        turn.add("refused-three-words")


def refused(turn: Turn, rejection: Rejection) -> None:
    turn.rejected.append(rejection)
    if turn.focus.attention is Attention.ASLEEP:
        turn.silent("asleep")
        return
    if (
        turn.settings.listening == "attention"
        and turn.focus.attention is not Attention.ATTENDING
        and turn.focus.question is None
    ):
        turn.silent("not_addressed")
        return
    turn.tone("refused")
    turn.look(refusals=turn.focus.refusals + 1)
    _attended(turn)
    if turn.focus.refusals == REFUSALS_SAID:
        turn.say("refused-three" if rejection.reason in OF_SOUND else "refused-three-words")
    elif rejection.reason in NOT_SPOKEN:
        turn.silent(rejection.reason.value)
    else:
        refusals.say_refusal(turn, rejection)


def quiet(turn: Turn) -> None:
    """Nobody speaks: said twice, then a silence until somebody does."""
    if turn.focus.attention in (Attention.ASLEEP, Attention.PAUSED):
        turn.silent(turn.focus.attention.value)
        return
    if turn.settings.listening != "open" and turn.focus.question is None:
        _attended(turn)  # the attention word does not last
        turn.silent("not_addressed")
        return
    turn.look(quiets=turn.focus.quiets + 1)
    turn.keep_reply = True
    if turn.focus.quiets == 1:
        turn.say("quiet-first")
        go_on(turn)
    elif turn.focus.quiets == 2:
        turn.say("quiet-second")
    else:
        turn.silent("quiet")


def trouble(turn: Turn, event: Trouble) -> None:
    """Something failed or came back. Once each way; the edge says it by whatever still works."""
    known = event.what in NAMED_TROUBLES
    turn.keep_reply = True
    if event.back:
        if event.what not in turn.focus.troubles:
            turn.silent("no_trouble")
            return
        turn.look(troubles=turn.focus.troubles - {event.what})
        turn.say(f"back-{event.what}" if known else "back-other", what=event.what)
        if turn.focus.attention is not Attention.ASLEEP:
            go_on(turn)
        return
    if event.what in turn.focus.troubles and event.what not in TOLD_EACH_TIME:
        turn.silent("known_trouble")
        return
    turn.look(troubles=turn.focus.troubles | {event.what})
    turn.say(f"trouble-{event.what}" if known else "trouble-other", what=event.what)
