"""What is said of the identification after readings, corrections and answers.

In this order: the readings taken are read back, with unit and side; readings that are now taken otherwise; where the
identification stands; cautions that are due; the next check. "Identified" is said only when the advice says so, and
only after every reading was read back as it is taken.

Duty: choose the replies. It must not match, and must not take readings.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from voicefit.dialogue import assemblies, entries
from voicefit.dialogue.hoses import question_name
from voicefit.dialogue.record import Kept
from voicefit.dialogue.state import MOST_ITEMS
from voicefit.quantities import Quantity
from voicefit.records import Measurand, Option

if TYPE_CHECKING:
    from voicefit.dialogue.hoses import Standing
    from voicefit.dialogue.snapshot import Belief, ReadingTaken
    from voicefit.dialogue.turn import Turn
    from voicefit.records import Check

LEADS = 0.4  # a part with this probability is said to lead
LEADS_BY = 1.25  # if it is so many times as likely as the next
BETWEEN = 0.6  # two parts are named when together they have this
SAID_OTHERWISE = 0.6  # a reading is said to be taken otherwise from this probability on


def report(turn: Turn) -> None:
    """Say all of it."""
    read_back_new(turn)
    standing = turn.belief.hose
    if standing is not None:
        assemblies.say_convention(turn)
        _say_hose(turn, standing)
        assemblies.say_bend(turn)
        ask(turn)
        return
    _read_back_changed(turn)
    _standing(turn)
    ask(turn)


def _say_hose(turn: Turn, standing: Standing) -> None:
    """How many hoses fit, or which, and whether anything is still to be asked."""
    names = tuple(dict.fromkeys(turn.knowledge.hose_words(hose) for hose in standing.hoses))
    known = "; ".join(names[: MOST_ITEMS + 1])
    if not turn.piece.readings or turn.focus.lead == known:
        pass
    elif not names:
        turn.say("hose-none-fits")
    elif len(names) <= MOST_ITEMS:
        turn.say("hose-fits", hoses=", or ".join(names))
    else:
        turn.say("hose-many-fit")
    turn.look(lead=known)
    if standing.advice.check is None:
        assemblies.say_assembly(turn)
        ends = sum(piece.number in turn.record.concluded for piece in turn.job.pieces)
        turn.say("hose-complete" if ends >= 2 else "hose-end-open", count=turn.knowledge.wording.count(ends))


def ask(turn: Turn) -> None:
    """Say the next check, if there is one, after the caution that comes before a first measurement."""
    belief = turn.belief
    check = belief.advice.check
    turn.look(check=check, beside=belief.advice.checks[1:])
    if check is None:
        return
    if turn.job.mounted:
        turn.caution("pressure")
    if is_answered(belief, check):
        turn.say("once-more-disagree" if belief.advice.contradiction else "once-more")
    turn.ask("prompt", prompt=turn.knowledge.prompt(check))


def is_answered(belief: Belief, check: Check) -> bool:
    """Whether a reading on record answers the check already: it is asked again, and that is said."""
    if question_name(check) is not None:
        return False  # the interview about a hose asks nothing twice
    gauge = check.yes.value if check.yes is not None and isinstance(check.yes.value, Quantity) else None
    same = [taken.option for taken in belief.taken if taken.option.measurand is check.measurand]
    if gauge is not None:  # each leaf, each seat gauge is a check of its own
        return any(option.value == gauge for option in same)
    return any(not option.negated for option in same)


def read_back_new(turn: Turn) -> None:
    """Read back the readings taken in this turn, as they are taken now."""
    pairs = [(k, t) for k, t in _pairs(turn) if k.number in turn.new_readings]
    if not pairs:
        return
    turn.say("read-back", readings=", ".join(_read_back(turn, pairs)))


def read_back_all(turn: Turn) -> tuple[str, ...]:
    """The words of all readings of the piece, as they are taken now, and of a hose's answers; they count as read
    back."""
    answers = (turn.knowledge.answer_words(topic, text) for topic, text in turn.piece.answers)
    return (*_read_back(turn, _pairs(turn)), *answers)


def _read_back(turn: Turn, pairs: list[tuple[Kept, ReadingTaken]]) -> list[str]:
    """The words of readings, those of one designation together; each is marked as read back."""
    words: list[str] = []
    for _, group in groupby(pairs, key=lambda pair: pair[0].reading.heard):
        together = list(group)
        designation = turn.knowledge.wording.designation([taken.option for _, taken in together])
        if designation:
            words.append(designation)
        else:
            words += [turn.knowledge.wording.reading(t.option, careful=not k.confirmed) for k, t in together]
    for kept, taken in pairs:
        _mark(turn, kept, taken)
    return words


def _pairs(turn: Turn) -> list[tuple[Kept, ReadingTaken]]:
    return list(zip(turn.piece.readings, turn.belief.taken, strict=True))


def _mark(turn: Turn, kept: Kept, taken: ReadingTaken) -> None:
    option = kept.reading.options.index(taken.option)
    if turn.record.read_back.get(kept.number) != option:
        turn.log(entries.ReadBack(number=kept.number, option=option))


def _read_back_changed(turn: Turn) -> None:
    """Say which older readings are now taken otherwise than they were read back."""
    final = turn.belief.advice.identified
    for kept, taken in _pairs(turn):
        side = _other_side(turn, taken) if final and turn.concluded is None else ""
        if side:
            turn.say("other-side", value=turn.knowledge.wording.value(taken.option), side=side)
        if kept.number in turn.new_readings:
            continue
        sure_enough = final or taken.probability >= SAID_OTHERWISE
        option = turn.record.read_back.get(kept.number)
        if not sure_enough or option is None:
            continue
        before = kept.reading.options[option]
        if _differ(before, taken.option):
            turn.say(
                "taken-otherwise",
                heard=turn.knowledge.wording.reading(before),
                reading=turn.knowledge.wording.reading(taken.option, careful=True),
            )
        _mark(turn, kept, taken)


def _other_side(turn: Turn, taken: ReadingTaken) -> str:
    """ "inside" for a diameter said as outside where the leader has its thread inside, and the reverse; else empty."""
    leader = turn.belief.leader
    external = None if leader is None else turn.knowledge.catalogue.ends[leader.row].external
    said = {Measurand.OUTSIDE_DIAMETER: True, Measurand.INSIDE_DIAMETER: False}.get(taken.option.measurand)
    if said is None or external is None or said == external:
        return ""
    return turn.knowledge.wording.plain("outside" if external else "inside")


def _differ(first: Option, second: Option) -> bool:
    return (first.measurand, first.value, first.negated) != (second.measurand, second.value, second.negated)


def _standing(turn: Turn) -> None:
    belief = turn.belief
    advice = belief.advice
    if advice.identified:
        _contradiction(turn, belief)
        _conclude(turn, belief)
        return
    if turn.concluded is not None:
        turn.log(entries.Concluded(piece=turn.piece.number, end=None))
        turn.say("no-longer-identified")
    _contradiction(turn, belief)
    if advice.nothing_fits:
        turn.say("nothing-fits")
        turn.look(lead=None)
    elif advice.standoff is not None:
        first, second = (turn.knowledge.end_words(row) for row in advice.standoff)
        turn.say("standoff", first=first, second=second)
    elif advice.check is None and turn.piece.readings:
        _stuck(turn, belief)
    else:
        _leading(turn, belief)


def _contradiction(turn: Turn, belief: Belief) -> None:
    """Readings that do not fit together at their word: said when it arises, with the way in which they would fit."""
    readings = tuple(turn.piece.readings[index].number for index in belief.advice.contradiction)
    if readings and readings != turn.focus.contradiction:
        taken = [belief.taken[index] for index in belief.advice.contradiction]
        words = _joined([turn.knowledge.wording.reading(each.option) for each in taken])
        misnamed = [(each, side) for each in taken if (side := _other_side(turn, each))]
        if len(taken) == 1 and not misnamed:
            turn.say("contradiction-of-one", reading=words)
        elif not leads(belief):
            turn.say("contradiction", readings=words)
        elif misnamed:
            each, side = misnamed[0]
            turn.say("contradiction-of-side", value=turn.knowledge.wording.value(each.option), side=side)
        else:
            turn.say("contradiction-with-leader", readings=words)
    turn.look(contradiction=readings)


def leads(belief: Belief) -> bool:
    """Whether one part may be said to lead."""
    parts = belief.parts
    if not parts or parts[0].probability < LEADS:
        return False
    return len(parts) == 1 or parts[0].probability >= LEADS_BY * parts[1].probability


def _conclude(turn: Turn, belief: Belief) -> None:
    leader = belief.leader
    assert leader is not None
    end = turn.knowledge.catalogue.ends[leader.row]
    if turn.concluded == end.id:
        turn.say("still-identified", end=turn.knowledge.end_words(leader.row))
        return
    turn.log(entries.Concluded(piece=turn.piece.number, end=end.id))
    thread = turn.knowledge.thread_words(leader.row)
    reply = "identified" if thread else "identified-without-thread"
    slots = {"end": turn.knowledge.end_words(leader.row)} | ({"thread": thread} if thread else {})
    turn.say(reply, **slots)
    turn.look(lead=leader.part)
    turn.caution("maker")
    if not turn.settings.short and (turn.job.number, "after") not in turn.record.told:
        turn.log(entries.Told(caution="after"))
        turn.say("after-identified")


def _leading(turn: Turn, belief: Belief) -> None:
    parts = belief.parts
    if not turn.piece.readings or not parts:
        return
    first = parts[0]
    if leads(belief):
        if turn.focus.lead == first.part:
            if turn.new_readings:
                turn.say("still-leading")
        else:
            turn.say("leading", end=turn.knowledge.end_words(first.row))
        turn.look(lead=first.part)
        return
    turn.look(lead=None)
    if len(parts) > 1 and first.probability + parts[1].probability >= BETWEEN:
        turn.say("between", first=turn.knowledge.end_words(first.row), second=turn.knowledge.end_words(parts[1].row))
    else:
        turn.say("open")


def _stuck(turn: Turn, belief: Belief) -> None:
    """No check is left and it is not identified: say what remains, and who can tell."""
    parts = belief.parts
    if len(parts) > 1 and parts[0].probability + parts[1].probability >= BETWEEN:
        turn.say(
            "no-check-left",
            first=turn.knowledge.end_words(parts[0].row),
            second=turn.knowledge.end_words(parts[1].row),
        )
    else:
        turn.say("no-check-left-open")


def _joined(words: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``, with a capital."""
    text = words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
    return text[:1].upper() + text[1:]
