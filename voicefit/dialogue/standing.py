"""Where the identification of an end stands, in words: open, leading, likely, identified, or decided by the person.

Each is said once, when it comes about: the reply to a reading that changes nothing is the read-back and the next check.
What leads is an aside that a long reply leaves out, and what is likely is one beside the first caution; both are said
with the next reply then. What is identified or does not fit is always said.

Duty: choose the replies. It must not match, and must not take readings.
"""

from __future__ import annotations

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Trade
from voicefit.dialogue import common, entries, readback
from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.names import beside, either, thread_in_common
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.turn import LONGEST_WITH_NAME, Turn
from voicefit.matching import known, of_another_line
from voicefit.records import Certainty, Check, Measurand

LOOKS_ALIKE = 0.005  # an end of another trade with so much is named beside what is taken for hydraulic
BETWEEN = 0.6  # two parts are named when together they have this


def say(turn: Turn) -> None:
    """Say what has changed."""
    belief = turn.belief
    advice = belief.advice
    if turn.piece.decided is not None:
        _decision_stands(turn, belief)
        return
    if not advice.identified and turn.concluded is not None:
        turn.log(entries.Concluded(piece=turn.piece.number, end=None))
        turn.say("no-longer-identified")
    side = _contradiction(turn, belief)
    if advice.again:
        return  # nothing beside the question which of them holds
    if advice.identified:
        _conclude(turn, belief)
    elif advice.nothing_fits:
        turn.say("nothing-fits")
        turn.look(lead=None)
    elif not turn.piece.readings:
        return
    elif advice.check is None:
        _stuck(turn, belief)
    else:
        _leading(turn, belief, side)


def leads(belief: Belief) -> bool:
    """Whether one part may be said to lead."""
    return belief.advice.certainty is not Certainty.OPEN and bool(belief.parts)


def said_as(turn: Turn, belief: Belief) -> str:
    """What is remembered of what was said to lead: its name, and how surely."""
    return f"{_leader(turn, belief)} {belief.advice.certainty.value}"


def _leading(turn: Turn, belief: Belief, side: str) -> None:
    parts = belief.parts
    if not leads(belief):
        known = turn.focus.lead
        turn.look(lead=None)
        if not say_common(turn, known) and len(parts) > 1 and parts[0].probability + parts[1].probability >= BETWEEN:
            turn.add("between", both=either(_brief(turn, parts[0].row), _brief(turn, parts[1].row)))
        return
    if turn.focus.lead == said_as(turn, belief):
        if belief.advice.certainty is Certainty.LIKELY:
            _misfit(turn, belief, alone=True)
        return
    turn.look(lead=said_as(turn, belief))
    if side:
        turn.say("leading-if", side=side, end=_leader(turn, belief))
    elif belief.advice.certainty is Certainty.LIKELY:
        if turn.has_told("pressure"):
            turn.say("likely", end=_leader(turn, belief))
        else:
            turn.name("likely", LONGEST_WITH_NAME, end=_leader(turn, belief))
        _misfit(turn, belief)
    else:
        turn.name("leading", end=_leader(turn, belief))


def say_common(turn: Turn, known: str | None = None) -> bool:
    """Say what all that is still possible has in common, unless that is ``known``: said before. Whether there is it."""
    ends, belief = turn.knowledge.catalogue.ends, turn.belief
    if (part := common.series_and_size(ends, belief)) is not None:
        reply, slot, words = "leading", "end", turn.knowledge.names.any_of(ends[part.row])
    elif (thread := common.thread(ends, belief)) is not None:
        reply, slot, words = "its-thread", "thread", thread_in_common(thread)
    else:
        return False
    if words != known:
        turn.add(reply, **{slot: words})
    turn.look(lead=words)
    return True


def _conclude(turn: Turn, belief: Belief) -> None:
    leader = belief.leader
    assert leader is not None
    end = turn.knowledge.catalogue.ends[the_end(turn.knowledge, belief)]
    if end.trade is not None:
        _refuse(turn, belief, end)
        return
    if turn.concluded == end.id:
        if turn.new_readings or turn.focus.lead is None:
            turn.say("still-identified", end=_leader(turn, belief))
            _misfit(turn, belief)
            turn.look(lead=said_as(turn, belief))
        return
    before = turn.knowledge.row_of(turn.concluded or "")
    same = before is not None and turn.knowledge.catalogue.ends[before].part == end.part
    turn.log(entries.Concluded(piece=turn.piece.number, end=end.id))
    turn.look(lead=said_as(turn, belief))
    if same:  # only now it is known which variant it is
        assert before is not None
        if _brief(turn, before) != _leader(turn, belief):
            turn.say("now-identified", end=_leader(turn, belief))
        return
    thread = turn.knowledge.thread_words(leader.row)
    turn.say("identified", end=turn.knowledge.end_words(the_end(turn.knowledge, belief)))
    if thread:
        turn.add("its-thread", thread=thread)
    _condition(turn, belief)
    _misfit(turn, belief)
    after(turn)


def _condition(turn: Turn, belief: Belief) -> None:
    """What another trade has the same end for, where nobody could tell what the line carries."""
    if any(Measurand.LINE in kept.reading.measurands for kept in turn.piece.readings):
        return
    ends = turn.knowledge.catalogue.ends
    trades = [ends[part.row].trade for part in belief.parts if part.probability >= LOOKS_ALIKE]
    if trade := next((each for each in trades if each is not None), None):
        turn.say("if-hydraulic", trade=turn.knowledge.wording.plain(f"trade.{trade.name.lower()}"))


def _refuse(turn: Turn, belief: Belief, end: CandidateEnd) -> None:
    """An end of another trade: what it looks like, and that it is not done here."""
    assert end.trade is not None
    if turn.concluded != end.id:
        turn.log(entries.Concluded(piece=turn.piece.number, end=end.id))
    refuse_trade(turn, end.trade)
    turn.look(lead=said_as(turn, belief))


def refuse_trade(turn: Turn, trade: Trade) -> None:
    """What it looks like, and that it is not done here."""
    turn.say("refused-trade", trade=turn.knowledge.wording.plain(f"trade.{trade.name.lower()}"))


def the_end(knowledge: Knowledge, belief: Belief) -> int:
    """Row of the end: of the variant that the readings name, where they name one that seals otherwise than the end
    whose name the part has."""
    leader = belief.leader
    assert leader is not None
    variants, seals = belief.advice.variants, knowledge.aftercare.seals
    return variants[0] if len(variants) == 1 and seals(variants[0]) != seals(leader.row) else leader.row


def after(turn: Turn) -> None:
    """What is said once an end is known: the maker's data decide; once a job, what can be asked now."""
    turn.caution("maker")
    if not turn.settings.short and not turn.has_told("after"):
        turn.log(entries.Told(caution="after"))
        turn.add("after-identified")


def _decision_stands(turn: Turn, belief: Belief) -> None:
    """Readings after the person's decision change nothing in it; where they speak for another end, that is said."""
    row = turn.knowledge.row_of(turn.piece.decided or "")
    leader = belief.leader
    if row is None or leader is None or belief.advice.certainty in (Certainty.OPEN, Certainty.LEADING):
        return
    if leader.part != turn.knowledge.catalogue.ends[row].part and turn.focus.lead != said_as(turn, belief):
        turn.say("decided-otherwise", end=_brief(turn, row), other=_brief(turn, leader.row))
        turn.look(lead=said_as(turn, belief))


def _contradiction(turn: Turn, belief: Belief) -> str:
    """The one or two readings that spoil it, said when it arises; or the
    other side, on which they would fit. Of what is likely, what does not fit it comes after it (:func:`_misfit`)."""
    advice = belief.advice
    readings = tuple(turn.piece.readings[index].number for index in advice.contradiction)
    new = bool(readings) and readings != turn.focus.contradiction
    likely = advice.certainty in (Certainty.LIKELY, Certainty.IDENTIFIED)
    if not (advice.again or (new and not likely)):
        if not readings:
            turn.look(contradiction=())
        return ""
    if readings and not new:
        return ""  # why was said
    turn.look(contradiction=readings)
    taken = [belief.taken[index] for index in advice.contradiction]
    misnamed = [side for each in taken if (side := readback.other_side(turn, each))]
    if misnamed and leads(belief) and not advice.again:
        turn.look(lead=None)
        return misnamed[0]
    words = _joined([turn.knowledge.wording.reading(each.option) for each in taken])
    if len(taken) == 1:
        by_itself = known(turn.knowledge.matcher, belief.posterior.readings[advice.contradiction[0]])
        if readings[0] in turn.new_readings and len(turn.new_readings) == 1:  # it was read back in the same breath
            turn.say("contradiction-just-said" if by_itself else "contradiction-just-said-of-one")
        else:
            turn.say("contradiction-with-rest" if by_itself else "contradiction-of-one", reading=words)
    elif taken and set(readings) == set(turn.new_readings):  # both were read back in the same breath
        turn.say("contradiction-just-said-of-both")
    elif taken:
        line = any(of_another_line(each.option) for each in taken)
        turn.say("contradiction-of-line" if line else "contradiction", readings=words)
    return ""


def _misfit(turn: Turn, belief: Belief, *, alone: bool = False) -> None:
    """What does not fit the end that is likely all the same, said once; ``alone`` : not behind that end's name."""
    advice = belief.advice
    readings = tuple(turn.piece.readings[index].number for index in advice.contradiction)
    if readings and readings != turn.focus.contradiction:
        turn.look(contradiction=readings)
        index = turn.knowledge.most_doubtful(belief)
        if readback.other_side(turn, belief.taken[index]):
            return
        if alone and turn.new_readings == [turn.piece.readings[index].number]:  # it was read back in the same breath
            turn.say("contradiction-just-said")
        else:
            turn.say("misfit", reading=turn.knowledge.wording.reading(belief.taken[index].option))


def _stuck(turn: Turn, belief: Belief) -> None:
    """No check is left and it is not identified: what remains, what differs, and who can tell. Said once."""
    standoff = _two_left(belief)
    if leads(belief):
        if turn.focus.lead == said_as(turn, belief) and not turn.new_readings and turn.before.focus.check is None:
            return
        turn.look(lead=said_as(turn, belief))
    if standoff is None:
        turn.say("no-check-left-open")
        return
    first, second = standoff
    likely = belief.advice.certainty is Certainty.LIKELY
    names = _brief(turn, first), _brief(turn, second)
    slots = {"first": names[0], "second": beside(*names)} if likely else {"both": either(*names)}
    if would_tell(turn) is not None:
        turn.say("standoff-likely-left-out" if likely else "standoff-left-out", **slots)
    else:
        differs = difference(turn, first, second)
        turn.say("standoff-likely" if likely else "standoff", differs=differs, **slots)


def _two_left(belief: Belief) -> tuple[int, int] | None:
    """The two that remain where no check is left, by row."""
    parts = belief.parts
    if belief.advice.standoff is None and len(parts) > 1 and parts[0].probability + parts[1].probability >= BETWEEN:
        return parts[0].row, parts[1].row
    return belief.advice.standoff


def would_tell(turn: Turn) -> Check | None:
    """Where no check is left, the one that the person could not make and that would tell the two that remain apart:
    asked once more, one of them."""
    belief, advice, two = turn.belief, turn.belief.advice, _two_left(turn.belief)
    settled = advice.identified or advice.nothing_fits or advice.check is not None or belief.hose is not None
    enough = turn.focus.asked_enough(turn.piece.number)
    if settled or two is None or not turn.piece.impossible or enough & turn.piece.impossible:
        return None  # the last: it was asked once more, and is no easier now; nor is another
    return turn.knowledge.separating(turn.piece, *two, enough | turn.knowledge.needing(turn.record.without))


def difference(turn: Turn, first: int, second: int) -> str:
    """In what two ends differ that nobody can measure: what seals them, or what they hold. Never a trial fit: parts
    whose threads engage hold at idle and let go."""
    wording, aftercare = turn.knowledge.wording, turn.knowledge.aftercare
    if aftercare.seals(first) != aftercare.seals(second):
        return wording.plain("differs.seal")
    psi = turn.settings.length_unit == "in"
    if aftercare.pressures(first, psi=psi) != aftercare.pressures(second, psi=psi):
        return wording.plain("differs.pressure")
    ends = turn.knowledge.catalogue.ends
    return wording.plain("differs.size" if ends[first].series == ends[second].series else "differs.series")


def _leader(turn: Turn, belief: Belief) -> str:
    """What leads, by the variant that was said."""
    return _brief(turn, the_end(turn.knowledge, belief))


def _brief(turn: Turn, row: int) -> str:
    return turn.knowledge.end_words(row, brief=True)


def _joined(words: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``, with a capital."""
    text = words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
    return text[:1].upper() + text[1:]
