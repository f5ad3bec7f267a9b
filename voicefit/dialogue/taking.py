"""From what may have been said to what is on record: decide, ask, take, obey.

Duty: the way of a meaning into the record; questions are worded by :mod:`voicefit.dialogue.asking`. It must not word
values (that is the wording's) and must not report on the identification: it sets ``turn.report``, and the session
reports when all items are done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.dialogue import (
    another_end,
    answering,
    as_asked,
    asking,
    choosing,
    corrections,
    entries,
    hoses,
    injury,
    introducing,
    judging,
    of_a_job,
    others,
    pieces,
    placing,
    refusals,
    said_back,
    superseding,
    unplaced,
    waiting,
)
from voicefit.dialogue.meanings import (
    Choose,
    Confirm,
    Take,
    decide,
    one_of_both,
    readings_of,
    repeats,
    weigh,
    without_the_wrong,
)
from voicefit.dialogue.one_of_two import one_of_two
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.state import Checking, Choosing, Confirming, Correcting, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.pieces import BEGINS, NEXT
from voicefit.records import Command, Meaning, Reading, Reason, Rejection

_BEGINS = frozenset({BEGINS, NEXT, "new-job"})


def heard(turn: Turn, meanings: Sequence[Meaning]) -> None:
    """Take what was said, or ask."""
    meanings = [of_a_job.named(turn, meaning) for meaning in unplaced.answered(turn, meanings)]
    things = turn.knowledge.glossary.things
    meanings = [others.as_order_of_another(turn, meaning) for meaning in meanings]
    meanings = [
        without_the_wrong(hoses.of_the_last_line(as_asked.as_question(turn, meaning)), things) for meaning in meanings
    ]
    best = max(meanings, key=lambda meaning: meaning.log_weight)
    turn.heard = best.text
    if (caution := injury.spoken_of(turn, best)) is not None:
        call(turn, Command(caution, turn.heard))
        return
    if (
        pieces.said_of_pieces(turn, meanings, heard)
        or another_end.noted_of_the_other(turn, meanings, heard)
        or _says_it_again(turn, meanings)
        or _answers_open_question(turn, meanings)
        or said_back.says_back(turn, best)
    ):
        return
    if not (meanings := choosing.as_they_may_be(turn, meanings)):
        return
    meanings = _begun(turn, meanings)
    meanings = [placing.with_its_bore(turn, corrections.as_correction(turn, meaning)) for meaning in meanings]
    meanings = [as_asked.with_its_ring(turn, meaning) for meaning in answering.placed(turn, meanings)]
    decision = decide(
        meanings,
        lambda alternatives: turn.knowledge.log_fits(superseding.to_weigh_on(turn, meanings), alternatives),
        lambda meaning, share: judging.risk(turn, meaning, share),
        turn.knowledge.policy,
    )
    if (caution := injury.meant(turn, decision)) is not None:
        call(turn, Command(caution, turn.heard))
        return
    match decision:
        case Take(meaning, share):
            turn.heard = meaning.text
            if not unplaced.hangs(turn, meaning):
                _take_all(turn, _surely_said(turn, meaning, share))
        case Choose(choices, item, _):
            turn.heard = choices[0].text
            question = Choosing(choices, item)
            if len(set(asking.offered(turn, question))) == 1:  # no ear could tell them apart: left open, and read back
                _take_all(turn, one_of_both(choices, item))
            else:
                asking.ask_which(turn, _without_what_is_clear(turn, question))
        case Confirm(meaning, _) if not readings_of(meaning) and not refusals.is_short(meaning.text):
            # a long sentence is no command to confirm
            refusals.refuse(turn, Rejection(meaning.text, Reason.OUT_OF_GRAMMAR))
        case Confirm(meaning, _):
            turn.heard = meaning.text
            asking.ask_sure(turn, Confirming(meaning))
        case _:
            refusals.refuse(turn, Rejection(turn.heard, Reason.LOW_CONFIDENCE))


def _take_all(turn: Turn, meaning: Meaning) -> None:
    """Do all that a meaning says; what a hose's number is of, or which of two is meant, is asked last."""
    either = placing.which_of_a_hose(turn, meaning) or one_of_two(turn, meaning)
    if either is None:
        obey(turn, meaning)
    else:
        asking.ask_which(turn, _without_what_is_clear(turn, either))


def _begun(turn: Turn, meanings: Sequence[Meaning]) -> Sequence[Meaning]:
    """What is said behind the naming of another piece, that piece being begun: it is of that, and is weighed there."""
    best = max(meanings, key=lambda meaning: meaning.log_weight)
    begins = next(iter(best.items), None)
    if not isinstance(begins, Command) or begins.name not in _BEGINS:
        return meanings
    if begins.name == NEXT and not another_end.is_another(turn, best):
        return meanings
    alike = [meaning for meaning in meanings if meaning.items[:1] == (begins,) and readings_of(meaning)]
    shares = weigh(meanings, lambda alternatives: [0.0] * len(alternatives))
    if not alike or sum(share for meaning, share in shares if meaning in alike) < turn.knowledge.policy.costly:
        return meanings
    call(turn, replace(begins, name=BEGINS) if begins.name == NEXT else begins)
    return [replace(meaning, items=meaning.items[1:]) for meaning in alike]


def _without_what_is_clear(turn: Turn, question: Choosing) -> Choosing:
    """The question about the one item in which two meanings differ, when all else of them is taken."""
    first, item = question.choices[0], question.item
    rest = replace(first, items=(*first.items[:item], *first.items[item + 1 :]))
    if readings_of(rest):
        obey(turn, rest)
        one, other = (replace(choice, items=(choice.items[item],)) for choice in question.choices)
        question = Choosing((one, other), 0)
    return question


def obey(turn: Turn, meaning: Meaning, replacing: tuple[int, ...] = (), *, confirmed: bool = False) -> None:
    """Do all that a meaning says, in its order; its readings are one turn. A reading that was only guessed at is asked
    about when all else is done."""
    if pieces.said_of_pieces(turn, (meaning,), heard):
        return
    readings = () if confirmed else (item for item in meaning.items if isinstance(item, Reading))
    guessed = tuple(each for each in readings if each.guessed or superseding.is_doubtful(turn, each))
    if guessed:
        meaning = replace(meaning, items=tuple(item for item in meaning.items if item not in guessed))
        guessed = tuple(reading for reading in guessed if not _is_on_record(turn, reading))
        if not guessed and not meaning.items:
            call(turn, Command("aside", turn.heard))
    if another_end.is_alike_but(meaning):
        another_end.alike_but(turn, readings_of(meaning))
        meaning = replace(meaning, items=tuple(item for item in meaning.items if isinstance(item, Reading)))
    waiting: list[Reading] = []
    answers = (_as_answer(turn, reading).asked for reading in readings_of(meaning))
    turn.answered = frozenset(answer for answer in answers if answer is not None)
    turn.among_others = len(meaning.items) > 1
    for item in meaning.items:
        if introducing.only_introduces(turn, item, meaning):
            continue
        if isinstance(item, Reading):
            waiting.append(item)
            continue
        if waiting:
            take(turn, tuple(waiting), replacing, confirmed=confirmed)
            waiting, replacing = [], ()
        if isinstance(item, Command):
            call(turn, item)
        else:
            turn.rejected.append(item)
    if waiting:
        take(turn, tuple(waiting), replacing, confirmed=confirmed)
    refusals.refuse_of(turn, meaning)
    if guessed:
        asking.ask_sure(turn, Confirming(replace(meaning, items=guessed), replacing))


def _is_on_record(turn: Turn, guessed: Reading) -> bool:
    """Whether what was guessed is known already."""
    said = {(option.measurand, option.value, option.negated) for option in guessed.options}
    return said <= {(t.option.measurand, t.option.value, t.option.negated) for t in turn.belief.taken}


def _surely_said(turn: Turn, meaning: Meaning, share: float) -> Meaning:
    """Without the readings, where it was only taken because somebody may be hurt."""
    if share >= turn.knowledge.policy.plain or not readings_of(meaning):
        return meaning
    by_id = turn.knowledge.registry.by_id
    urgent = tuple(item for item in meaning.items if isinstance(item, Command) and by_id[item.name].urgent)
    return replace(meaning, items=urgent or meaning.items)


def call(turn: Turn, command: Command) -> None:
    """Do what a command's function does."""
    function = turn.knowledge.registry.by_id[command.name]
    if isinstance(turn.focus.mode, Correcting) and not function.beside_correction:
        turn.turn_to(Checking())
    turn.did.append(command.name)
    turn.functions[command.name](turn, command)


def take(
    turn: Turn, readings: tuple[Reading, ...], replacing: tuple[int, ...] = (), *, confirmed: bool = False
) -> None:
    """Put readings on record, in place of others where numbers of those are given."""
    if turn.job.finished:
        turn.log(entries.Finished(finished=False))
        turn.say("reopened", job=turn.knowledge.wording.count(turn.job.number))
    if not replacing:
        readings = placing.kept_for_hose(turn, placing.of_the_cover(turn, readings))
    question = turn.focus.question
    if turn.piece.kind == HOSE and not (replacing or placing.speak_of_an_end(readings)):
        readings = placing.of_the_hose(turn, readings)
        if not readings:
            return
    if readings and not replacing and placing.is_of_its_hose(turn, readings):
        call(turn, Command("aside", readings[0].heard))
        return
    before = turn.piece.number
    if not replacing:
        turn.settle()
        placing.turn_to_piece_of(turn, readings)
        readings, gone = corrections.denied(turn, readings)
        replacing = (*superseding.outdated(turn, readings), *gone)
    readings = superseding.of_one_length(turn, superseding.in_its_unit(turn, readings))
    for number in replacing:
        turn.log(entries.Dropped(number=number))
    for reading in readings:
        number = turn.record.readings_made + 1
        turn.log(
            entries.ReadingKept(
                number=number, reading=replace(_as_answer(turn, reading), guessed=False), confirmed=confirmed
            )
        )
        turn.new_readings.append(number)
    if isinstance(turn.focus.begun, Spelling):
        turn.say("name-dropped")
    turn.leave()
    if turn.focus.injury is not None and not turn.alarmed:
        turn.look(injury=replace(turn.focus.injury, working=True))
    left = None if question is None or not waiting.hangs(turn, question) else waiting.without(question, readings)
    if left is not None:  # passed over: nothing of it is lost, it is asked again
        there = left.replacing if turn.piece.number == before else ()
        turn.turn_to(replace(left, beneath=Checking(), replacing=there))
    turn.report = True


def _as_answer(turn: Turn, reading: Reading) -> Reading:
    """The reading, marked as the answer to the check that was asked, if it may be one."""
    if reading.asked is not None:
        return reading
    check = next((each for each in turn.focus.open_checks if each.measurand in reading.measurands), None)
    return reading if check is None else replace(reading, asked=check.id)


# ---- answers by value to an open question -------------------------------------------------------------


def _answers_open_question(turn: Turn, meanings: Sequence[Meaning]) -> bool:
    """Take a value said in answer to "fifteen or fifty?" or "fifteen: right?"; whether it was one."""
    question = turn.focus.question
    if question is None:
        return False
    choices = waiting.choices(question)
    if said := choosing.by_its_figures(turn, question, meanings[0].text):
        turn.settle()
        obey(turn, said, question.replacing, confirmed=True)
        return True
    weighed = weigh(meanings, lambda alternatives: [0.0] * len(alternatives))
    shares = [sum(part for meaning, part in weighed if repeats(meaning, choice)) for choice in choices]
    best = max(range(len(choices)), key=lambda index: shares[index])
    if not turn.knowledge.policy.answers(shares[best], sum(shares)):
        return False
    turn.settle()
    obey(turn, choices[best], question.replacing, confirmed=True)
    return True


def _says_it_again(turn: Turn, meanings: Sequence[Meaning]) -> bool:
    """Take what was asked about where the person says nothing but the same words once more: that is a yes."""
    question = turn.focus.question
    text = question.meaning.text.casefold() if isinstance(question, Confirming) else ""
    if not isinstance(question, Confirming) or not text or {meaning.text.casefold() for meaning in meanings} != {text}:
        return False
    if any(turn.knowledge.registry.by_id[command.name].for_good for command in waiting.commands(question)):
        return False
    turn.settle()
    obey(turn, question.meaning, question.replacing, confirmed=True)
    return True
