"""Readings read back: the new ones as they are taken, and older ones that are now taken otherwise.

Only what is new is said; all of it on "what do you have".

Duty: word readings, and note on record as what each was read back. It must not judge them.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from voicefit.dialogue import entries
from voicefit.dialogue.record import Kept
from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.dialogue.turn import Turn
from voicefit.dialogue.wording import BOTH_WAYS
from voicefit.records import Hedge, Measurand, Option, SeatForm

SEVERAL = 3  # systems of thread
_METRIC, _UNIFIED = "M", "UN"
_CONE = frozenset({SeatForm.CONVEX.value, SeatForm.RECESSED.value})
_EVEN, _NEARLY_EVEN = 0.1, 0.6  # nats: what is named first counts for a little more
SAID_OTHERWISE = 0.6  # a reading is said to be taken otherwise from this probability on
SURE_OF_SIDE = 0.8  # outside or inside is read back, where it was not said, from this probability on
_SIDES = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.THREAD_SIZE})


def new(turn: Turn) -> None:
    """Read back the readings taken in this turn, as they are taken now."""
    pairs = [(k, t) for k, t in _pairs(turn) if k.number in turn.new_readings]
    if pairs:
        turn.say("read-back", readings=", ".join(_words(turn, pairs)))


def of_all(turn: Turn) -> tuple[str, ...]:
    """The words of all readings of the piece, as they are taken now, and of a hose's answers; they count as read
    back."""
    answers = (turn.knowledge.answer_words(topic, text) for topic, text in turn.piece.answers)
    return (*_words(turn, _pairs(turn)), *answers)


def changed(turn: Turn) -> None:
    """Say which older readings are now taken otherwise than they were read back."""
    final = turn.belief.advice.identified
    for kept, taken in _pairs(turn):
        side = other_side(turn, taken) if final and turn.concluded is None else ""
        if side:
            turn.say("other-side", value=turn.knowledge.wording.value(taken.option), side=side)
        if kept.number in turn.new_readings or _is_of_several(kept) or _group(turn, kept):
            continue  # it was left open, and contradicts none of them
        sure_enough = final or taken.probability >= SAID_OTHERWISE
        option = turn.record.read_back.get(kept.number)
        if not sure_enough or option is None:
            continue
        before = kept.reading.options[option]
        if _differ(before, taken.option):
            reading = turn.knowledge.wording.reading(taken.option, careful=True)
            if {before.measurand, taken.option.measurand} <= _SIDES and before.value == taken.option.value:
                turn.say("taken-so", reading=reading)  # of a side that may not have been said
            else:
                turn.say("taken-otherwise", heard=turn.knowledge.wording.reading(before), reading=reading)
        _mark(turn, kept, taken)


def other_side(turn: Turn, taken: ReadingTaken) -> str:
    """ "inside" for a diameter said as outside where the leader has its thread inside, and the reverse; else empty."""
    leader = turn.belief.leader
    external = None if leader is None else turn.knowledge.catalogue.ends[leader.row].external
    said = {Measurand.OUTSIDE_DIAMETER: True, Measurand.INSIDE_DIAMETER: False}.get(taken.option.measurand)
    if said is None or external is None or said == external:
        return ""
    return turn.knowledge.wording.plain("outside" if external else "inside")


def _words(turn: Turn, pairs: list[tuple[Kept, ReadingTaken]]) -> list[str]:
    """The words of readings, those of one designation together, each once; each is marked as read back."""
    words: list[str] = []
    for _, group in groupby(pairs, key=lambda pair: pair[1].option.measurand in BOTH_WAYS or pair[0].reading.heard):
        together = list(group)
        options, wording = [taken.option for _, taken in together], turn.knowledge.wording
        careful = not all(kept.confirmed for kept, _ in together)
        several = next(filter(None, (_group(turn, kept) for kept, _ in together)), "")
        designation = wording.designation(options, several) or wording.bolts(options, careful=careful)
        if designation:
            words.append(designation)
        else:
            words += [_said(turn, kept, taken) for kept, taken in together]
    for kept, taken in pairs:
        _mark(turn, kept, taken)
    return list(dict.fromkeys(words))


def _said(turn: Turn, kept: Kept, taken: ReadingTaken) -> str:
    """The words of a reading; one that leaves open which of several it is, by the word for all of them, or by each."""
    option, wording = taken.option, turn.knowledge.wording
    if _leaves_side_open(kept, taken):
        text = wording.amount(option, careful=not kept.confirmed)
        return wording.readings["negated"].format(reading=text, value=text) if option.negated else text
    group = _group(turn, kept) if option.measurand is Measurand.THREAD_SYSTEM else ""
    if not group and not _is_of_several(kept):
        return wording.reading(option, careful=not kept.confirmed)
    options = _of_the_first(kept)
    values = {str(each.value) for each in options}
    if group:
        text = wording.readings[option.measurand].format(value=group)
    elif option.measurand is Measurand.THREAD_SYSTEM and len(options) >= SEVERAL:
        metric = [wording.reading(replace(each, hedge=None)) for each in options if each.value == _METRIC]
        text = wording.plain("either").join(
            [*metric, wording.plain("inch-thread" if _UNIFIED in values else "pipe-thread")]
        )
    else:
        cone = _CONE if values >= _CONE else frozenset[str]()
        words = [wording.reading(replace(each, hedge=None)) for each in options if each.value not in cone]
        words = list(dict.fromkeys(words))  # two standards' hoses of one name
        text = wording.plain("either").join([wording.plain("cone")] * bool(cone) + words)
    return wording.words["hedge.perhaps"].format(value=text) if option.hedge is Hedge.PERHAPS else text


def _group(turn: Turn, kept: Kept) -> str:
    """The name of the group of thread systems that was said, "British pipe" for parallel or taper; else empty."""
    systems = [each for each in kept.reading.options if each.measurand is Measurand.THREAD_SYSTEM]
    even = len({(each.log_prior, each.negated) for each in systems}) == 1 and not systems[0].negated
    name = "-or-".join(sorted(str(each.value) for each in systems))
    return turn.knowledge.wording.words.get(f"systems.{name}", "") if even else ""


def _leaves_side_open(kept: Kept, taken: ReadingTaken) -> bool:
    """Whether nobody said on which side of the thread it was measured, and the other readings do not tell."""
    sides = {each.measurand for each in kept.reading.options} & _SIDES
    return taken.option.measurand in sides and len(sides) > 1 and taken.probability < SURE_OF_SIDE


def _is_of_several(kept: Kept) -> bool:
    """Whether the words name several values of one thing, none before the others."""
    options, either = _of_the_first(kept), _is_either(kept)
    return len(options) > 1 and all(
        each.measurand is options[0].measurand
        and (isinstance(each.value, str) or either)
        and not each.negated
        and options[0].log_prior - each.log_prior < (_NEARLY_EVEN if either else _EVEN)
        for each in options
    )


def _is_either(kept: Kept) -> bool:
    """Whether the words name one of several: "thirty or forty-five"; else a number has two units."""
    return " or " in kept.reading.heard.casefold()


def _of_the_first(kept: Kept) -> tuple[Option, ...]:
    """The options, of one of several numbers those of what is named first: each may be of an elbow as well."""
    options = kept.reading.options
    of_it = tuple(each for each in options if each.measurand is options[0].measurand)
    return of_it if _is_either(kept) and len(of_it) > 1 else options


def _pairs(turn: Turn) -> list[tuple[Kept, ReadingTaken]]:
    return list(zip(turn.piece.readings, turn.belief.taken, strict=True))


def _mark(turn: Turn, kept: Kept, taken: ReadingTaken) -> None:
    option = kept.reading.options.index(taken.option)
    if turn.record.read_back.get(kept.number) != option:
        turn.log(entries.ReadBack(number=kept.number, option=option))


def _differ(first: Option, second: Option) -> bool:
    return (first.measurand, first.value, first.negated) != (second.measurand, second.value, second.negated)
