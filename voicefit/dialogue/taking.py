"""From what may have been said to what is on record: decide, ask, take, obey.

Duty: the way of a meaning into the record; questions are worded by :mod:`voicefit.dialogue.asking`. It must not word
values (that is the wording's) and must not report on the identification: it sets ``turn.report``, and the session
reports when all items are done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.dialogue import asking, hoses, risk, spoken
from voicefit.dialogue.belief import Belief
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.state import Sure, Which
from voicefit.dialogue.turn import Turn
from voicefit.dialogue.understanding import (
    Choose,
    Confirm,
    Take,
    decide,
    one_of_both,
    readings_of,
    weigh,
)
from voicefit.records import Command, Item, Meaning, Option, Reading, Reason, Rejection

NAMED_WORDS = 4  # so many words that were not understood are named
# What may be said between "correction" and the value, and the value still replaces the last one.
BESIDE = frozenset(
    {
        "repeat",
        "help",
        "what-do-you-have",
        "quieter",
        "louder",
        "slower",
        "faster",
        "pause",
        "resume",
        "cancel",
        "yes",
        "no",
        "first-one",
        "second-one",
    }
)
SAME_ANSWER = 0.9  # share from which an answer is taken to be one of the two that were offered


def heard(turn: Turn, meanings: Sequence[Meaning]) -> None:
    """Take what was said, or ask."""
    turn.heard = max(meanings, key=lambda meaning: meaning.log_weight).text
    if _answers_open_question(turn, meanings):
        return
    meanings = [_as_correction(turn, meaning) for meaning in meanings]
    decision = decide(
        meanings,
        lambda alternatives: turn.knowledge.log_fits(turn.piece, alternatives),
        lambda meaning, share: _clear(turn, meaning, share),
    )
    match decision:
        case Take(meaning, _):
            turn.heard = meaning.text
            obey(turn, meaning)
        case Choose(choices, item, _):
            turn.heard = choices[0].text
            question = Which(choices, item)
            if len(set(asking.offered(turn, question))) == 1:  # no ear could tell them apart: left open, and read back
                obey(turn, one_of_both(choices, item))
            else:
                asking.ask_which(turn, question)
        case Confirm(meaning, _):
            turn.heard = meaning.text
            asking.ask_sure(turn, Sure(meaning))
        case _:
            refuse(turn, Rejection(turn.heard, Reason.LOW_CONFIDENCE))


def _as_correction(turn: Turn, meaning: Meaning) -> Meaning:
    """After "correction" by itself, readings replace what they correct."""
    readings = tuple(item for item in meaning.items if isinstance(item, Reading))
    if not turn.focus.correcting or len(readings) < len(meaning.items):
        return meaning
    return replace(meaning, items=(Command("correct", meaning.text, readings),))


def obey(turn: Turn, meaning: Meaning, replacing: tuple[int, ...] = (), *, confirmed: bool = False) -> None:
    """Do all that a meaning says, in its order; its readings are one turn."""
    waiting: list[Reading] = []
    for item in meaning.items:
        if _is_said_by_value(turn, item, meaning):
            continue
        if isinstance(item, Reading):
            waiting.append(item)
            continue
        if waiting:
            take(turn, tuple(waiting), replacing, confirmed=confirmed)
            waiting, replacing = [], ()
        if isinstance(item, Command):
            if item.name not in BESIDE:
                turn.look(correcting=False)
            turn.functions[item.name](turn, item)
        else:
            refuse(turn, item)
    if waiting:
        take(turn, tuple(waiting), replacing, confirmed=confirmed)


def _is_said_by_value(turn: Turn, item: Item, meaning: Meaning) -> bool:
    """Whether a yes or no only introduces the value that answers: "yes, it is recessed", "no, it stands out"."""
    if not isinstance(item, Command) or item.name not in ("yes", "no") or turn.focus.question is not None:
        return False
    check, readings = turn.focus.check, readings_of(meaning)
    if not readings:
        return False
    return check is None or check.yes is None or any(check.measurand in r.measurands for r in readings)


def take(
    turn: Turn, readings: tuple[Reading, ...], replacing: tuple[int, ...] = (), *, confirmed: bool = False
) -> None:
    """Put readings on record, in place of others where numbers of those are given."""
    if turn.job.finished:
        turn.log("finished", finished=False)
        turn.say("reopened", job=turn.knowledge.wording.count(turn.job.number))
    if turn.piece.kind == HOSE and not replacing:
        readings = _of_the_hose(turn, readings)
        if not readings:
            return
    if not replacing:
        _turn_to_piece_of(turn, readings)
        replacing = _outdated(turn, readings)
    for number in replacing:
        turn.log("dropped", number=number)
    for reading in readings:
        number = turn.record.readings_made + 1
        extra = {"confirmed": True} if confirmed else {}
        turn.log("reading", number=number, reading=turn.knowledge.plain(_as_answer(turn, reading)), **extra)
        turn.new_readings.append(number)
    if turn.focus.spelling is not None:
        turn.say("name-dropped")
    question = turn.focus.question
    turn.leave()
    if question is not None and not _is_about(question, readings):
        turn.look(question=question)  # it was passed over: nothing of it is lost, it is asked again
    turn.report = True


def _is_about(question: Sure | Which, readings: tuple[Reading, ...]) -> bool:
    """Whether readings take the place of what is being asked about."""
    choices = question.choices if isinstance(question, Which) else (question.meaning,)
    asked = frozenset(m for choice in choices for reading in readings_of(choice) for m in reading.measurands)
    return any(asked & reading.measurands for reading in readings)


def _of_the_hose(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """What they say of a hose, where they may be of an end as well. Left out are numbers of which it was not said what
    they measure, and which no hose has: they are asked for."""
    kept = []
    for reading in readings:
        if len(reading.measurands) > 1 and hoses.tells_of_an_end(reading):
            turn.rejected.append(Rejection(reading.heard, Reason.INCOMPLETE, reading.heard))
            turn.say("of-what", number=reading.heard)
        else:
            of_a_hose = tuple(option for option in reading.options if option.measurand in hoses.SAID_OF_A_HOSE)
            kept.append(replace(reading, options=of_a_hose or reading.options))
    return tuple(kept)


def _outdated(turn: Turn, readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """Readings of a hose in whose place others come: it has one length, and temperatures from and to. It is said."""
    if turn.piece.kind != HOSE:
        return ()
    new = {reading.measurands: reading for reading in readings if reading.measurands <= hoses.ONE_VALUE}
    taken = dict(zip((kept.number for kept in turn.piece.readings), turn.belief.taken, strict=True))
    old = [kept for kept in turn.piece.readings if kept.reading.measurands in new]
    wording = turn.knowledge.wording
    words = [
        wording.reading(taken[kept.number].option)
        for kept in old
        if kept.reading.options[0].value != new[kept.reading.measurands].options[0].value
    ]
    if words and not turn.settings.short:
        turn.say("instead-of", old=", ".join(words))
    return tuple(kept.number for kept in old)


def _turn_to_piece_of(turn: Turn, readings: tuple[Reading, ...]) -> None:
    """Readings that cannot be about the piece in hand begin another: a layline begins a hose, a thread an end.

    A job with one hose already goes on with that one; a second is begun by name.
    """
    of_a_hose, of_an_end = (any(map(tells, readings)) for tells in (hoses.tells_of_a_hose, hoses.tells_of_an_end))
    if turn.piece.kind == END and of_a_hose and not of_an_end:
        there = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == HOSE]
        if len(there) == 1:
            turn.log("go_to_piece", piece=there[0])
            turn.leave(check=None, lead=None, contradiction=())
            turn.say("back-to-hose", piece=turn.knowledge.wording.count(there[0] + 1))
        else:
            begin_piece(turn, HOSE)
    elif turn.piece.kind == HOSE and of_an_end and not of_a_hose:
        begin_piece(turn, END)


def begin_piece(turn: Turn, kind: str) -> None:
    """Another piece of the job; a piece of which nothing was said yet becomes it."""
    place = {"job": turn.knowledge.wording.count(turn.job.number)}
    if turn.piece.readings or turn.piece.answers:
        turn.log("new_piece", piece=kind)
        turn.say(f"new-{kind}", piece=turn.knowledge.wording.count(turn.job.current + 1), **place)
    elif turn.piece.kind != kind:
        turn.log("becomes", piece=kind)
        turn.say(f"is-{kind}")
    turn.leave(check=None, lead=None, contradiction=())


def refuse(turn: Turn, rejection: Rejection) -> None:
    """Say by name why something was not taken."""
    turn.rejected.append(rejection)
    say_refusal(turn, rejection)


def say_refusal(turn: Turn, rejection: Rejection) -> None:
    """The short reply of a reason: with the words that were said where the value is what is wrong."""
    of_value = rejection.reason in (Reason.OUT_OF_RANGE, Reason.UNIT_MISMATCH)
    detail = rejection.text if of_value else rejection.detail
    if rejection.reason is Reason.OUT_OF_GRAMMAR:
        named = [text for text in (rejection.text, detail) if text in rejection.text and _is_short(text)]
        if named:
            turn.say("refused-words", detail=named[0])
            return
    turn.say(f"refused-{rejection.reason.value}", detail=detail or turn.knowledge.wording.plain("that"))


def _is_short(text: str) -> bool:
    return 0 < len(spoken.aloud(text).split()) <= NAMED_WORDS


# ---- judging ------------------------------------------------------------------------------------------


def _clear(turn: Turn, meaning: Meaning, share: float) -> float:
    """The share from which a meaning is taken without asking, by what hangs on it."""
    if share >= risk.CLEAR_DECIDING:
        return risk.CLEAR_DECIDING
    if any(isinstance(item, Command) and item.name in risk.COSTLY for item in meaning.items):
        return risk.CLEAR_COMMAND
    readings = readings_of(meaning)
    if readings and _decides(turn.belief, asking.preview(turn, readings)):
        return risk.CLEAR_DECIDING
    return risk.CLEAR


def _decides(before: Belief, after: Belief) -> bool:
    """Whether the readings conclude the identification or overturn a settled leader."""
    if after.advice.identified:
        return True
    leader = before.leader
    settled = leader is not None and leader.probability >= risk.SETTLED
    return settled and (after.leader is None or leader is None or after.leader.part != leader.part)


def _as_answer(turn: Turn, reading: Reading) -> Reading:
    """The reading, marked as the answer to the check that was prompted, if it may be one."""
    check = turn.focus.check
    if check is None or reading.asked is not None or check.measurand not in reading.measurands:
        return reading
    return replace(reading, asked=check.id)


# ---- answers by value to an open question -------------------------------------------------------------


def _answers_open_question(turn: Turn, meanings: Sequence[Meaning]) -> bool:
    """Take a value said in answer to "fifteen or fifty?" or "fifteen: right?"; whether it was one."""
    question = turn.focus.question
    if question is None:
        return False
    choices = question.choices if isinstance(question, Which) else (question.meaning,)
    weighed = weigh(meanings, lambda alternatives: [0.0] * len(alternatives))
    shares = [sum(part for meaning, part in weighed if _repeats(meaning, choice)) for choice in choices]
    best = max(range(len(choices)), key=lambda index: shares[index])
    if shares[best] < SAME_ANSWER * sum(shares) or shares[best] < 0.5:
        return False
    turn.look(question=None)
    obey(turn, choices[best], question.replacing, confirmed=True)
    return True


def _repeats(answer: Meaning, choice: Meaning) -> bool:
    """Whether each reading of the answer has a value of one of the choice's readings."""
    answered, offered = readings_of(answer), readings_of(choice)
    if not answered or not offered or any(isinstance(item, Rejection) for item in answer.items):
        return False
    return all(any(_values(one) & _values(other) for other in offered) for one in answered)


def _values(reading: Reading) -> set[object]:
    return {_number(option) for option in reading.options}


def _number(option: Option) -> object:
    return getattr(option.value, "value", option.value)
