"""What is ordered: the slip, how many of a thing, the end that is on both ends, what a hose still needs."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import asking, assemblies, entries, hoses, identification, others, placing, slip_words, slips
from voicefit.dialogue.functions import Does, holding, slip_lines
from voicefit.dialogue.record import END, HOSE, Piece
from voicefit.dialogue.state import Confirming, Deed
from voicefit.dialogue.subjects import flange_in_hand
from voicefit.dialogue.turn import Turn
from voicefit.ordering.assembly import Fault
from voicefit.records import Command, Context, Meaning, Reading

_MORE = frozenset({"more", "extra", "spare", "spares", "stock", "shelf", "van", "stores"})  # beside the job's
_HOSES = frozenset({"hose", "hoses", "lines"})
_ENDS = frozenset({"end", "ends", "fitting", "fittings", "nut", "nuts", "flange", "flanges"})
_THOSE = frozenset({"those", "them", "these"})
_BOLTS = frozenset({"bolt", "bolts", "screw", "screws"})
_WITH = "with"  # "one with bolts"
_READING = frozenset({"what", "read", "show", "tell", "print", "write", "make", "give"})


def order_slip(turn: Turn, command: Command) -> None:
    """Have the slip written, and say what is on it, how surely, what a hose needs, and what speaks against it."""
    if turn.did.count("order-slip") > 1:
        return  # "order it, write the slip" is said once
    here = turn.job.number
    if command.argument and (other := int(command.argument)) != here:
        if other not in {job.number for job in turn.record.work.jobs}:
            turn.say("no-such-job", number=turn.knowledge.wording.count(other))
            return
        turn.log(entries.GoToJob(job=other))
        order_slip(turn, replace(command, argument=None, heard=""))
        turn.log(entries.GoToJob(job=here))
        turn.say("still-in-job", job=turn.knowledge.wording.count(here))
        return
    if slip_lines.words_of(command) & others.ADAPTERS and _is_ordering(command) and turn.job.goals:
        _order_adapter(turn)
        return
    _put_back(turn, command)
    facts = slips.job_facts(turn.knowledge, turn.record, turn.job.number)
    lines = slip_words.ordered(turn)
    if not lines:
        turn.say("slip-nothing" if turn.piece.is_empty else "slip-nothing-sure")
        slip_lines.read_notes(turn)
        identification.ask(turn, on_request=True)
        return
    count = turn.knowledge.wording.count
    turn.do(Deed.SLIP, str(turn.job.number))
    turn.say_list(lines, "slip", "items", job=count(turn.job.number))
    if turn.focus.listing is not None:  # who hears one line takes the others for lost
        turn.say("slip-lines", count=count(len(lines)))
    for order in facts.hoses:
        if needed := slip_words.needed(turn, order):
            turn.say("hose-needs", needed=needed)
        assembly = assemblies.judged(turn, order)
        for fault in () if assembly is None else assembly.faults:
            if fault is not Fault.PRESSURE:  # each part that holds less is named
                turn.say("slip-fault", fault=turn.knowledge.wording.plain(f"fault.{fault.value}"))
    holding.say_too_weak(turn)
    slip_lines.read_notes(turn)
    if open_ends := sum(each.end is None and not each.on_hose for each in facts.ends):
        turn.say("slip-open", count=count(open_ends))
    turn.caution("maker")


def _order_adapter(turn: Turn) -> None:
    """The adapters that were named, and not the end that they are for, unless that was ordered too."""
    turn.do(Deed.SLIP, str(turn.job.number))
    alone = turn.piece.kind == END and turn.piece.count is None and not turn.piece.beside
    if alone:
        turn.log(entries.Counted(piece=turn.piece.number, count=0))
    turn.say_list(slip_words.adapters(turn), "quantity", "item")
    if alone:
        turn.say("without-itself")


def _note_adapter(turn: Turn, text: str) -> None:
    """What was said of an adapter, on the slip as a note: the counter reads it."""
    turn.log(entries.NoteKept(name=text, seconds=0.0))
    turn.do(Deed.SLIP, str(turn.job.number))
    turn.say("on-slip-as-note", text=text)


def quantity(turn: Turn, command: Command) -> None:
    """So many of the piece that is meant, "more" beside those that were said; on the slip where something is."""
    words = slip_lines.words_of(command)
    if words & others.ADAPTERS or (words & _THOSE and "adapter" in turn.before.last.did):
        turn.say("adapters-on-slip" if turn.job.goals else "adapter-to-what")
        return
    if words & slip_lines.SEALS and not words & _ENDS and _WITH not in words:
        slip_lines.order_seal(turn, command)
        return
    if others.OTHER in turn.before.last.did and words.isdisjoint(_ENDS | _HOSES):
        turn.say("no-line-of-it")
        return
    if not (words & _BOLTS and _WITH not in words):
        order(turn, slip_lines.number_of(command), words)
    if words & _BOLTS:
        slip_lines.say_bolts(turn)
    if words & slip_lines.SEALS and _WITH in words:
        slip_lines.order_seal(turn, command)


def order_other(turn: Turn, command: Command) -> None:
    """Of what no slip has, such as bolts and clamps, say so; what is ordered beside it is. An adapter is a note of the
    slip, in the words that tell of it."""
    if others.adapter_in(turn.knowledge.language.interpret(command.heard, Context())[0]):
        _note_adapter(turn, others.as_note(command.heard))
        return
    if (end := others.of_another_series(turn, command.heard)) is not None:
        turn.say("not-its-series", what=others.wanted(command.heard), end=end)
        return
    parts = re.split(r"\b(?:and|plus|with|on|onto|to)\b|,", re.sub(r"\b(?:on|onto|to) .*$", "", command.heard))
    taken = [part for part in parts if slip_lines.SEALS & frozenset(part.casefold().split())]
    what = others.wanted(" and ".join(part.strip() for part in parts if part not in taken))
    flange = flange_in_hand(turn) is not None
    if flange and frozenset(what.casefold().split()) & _BOLTS:
        slip_lines.say_bolts(turn)
    turn.say("not-ordered", what=what)
    for part in taken:
        said = turn.knowledge.language.interpret(f"order {part}", Context())[0].items
        for item in said:
            if isinstance(item, Command) and item.name == "order-seal":
                slip_lines.order_seal(turn, item)


def _is_ordering(command: Command) -> bool:
    """Whether it orders what is in hand, and does not only read the slip."""
    words = slip_lines.words_of(command) | ({"read"} if "order slip" in command.heard.casefold() else set())
    return bool(words & others.ORDERING) and words.isdisjoint(_READING)


def _put_back(turn: Turn, command: Command) -> None:
    """Have the end or hose that is ordered on the slip again, where it was off it; a hose is then one."""
    piece = _meant(turn, slip_lines.words_of(command)) if _is_ordering(command) else None
    if piece is None or piece.count or (piece.kind == END and piece.count is None):
        return
    needed = [each.number for each in slips.ends_of_hose(turn.knowledge, turn.record, turn.job)]
    hoses = sum(order.count for _, order in slip_words.hoses(turn))
    count = needed.count(piece.number) * hoses or (2 if piece.both else 1)
    turn.log(entries.Counted(piece=piece.number, count=min(count, entries.MOST_ORDERED)))


def order(turn: Turn, number: int, words: frozenset[str] = frozenset()) -> None:
    """Order so many of the piece that the words mean."""
    piece = _meant(turn, words)
    if piece is None:
        turn.say("no-hose-on-slip" if words & _HOSES else "slip-nothing")
        identification.ask(turn, on_request=True)
        return
    said = turn.knowledge.language.amount(turn.heard)
    again = turn.did.count("quantity") > 1 or "and" in words  # "one for stock and two for the job"
    more = said.more if said is not None else int(bool(words & _MORE) or (again and "for" in words))
    there = piece.count if piece.count is not None else int("order-slip" in turn.before.last.did)
    wanted = there + more * number if more else number
    if not 1 <= wanted <= entries.MOST_ORDERED:
        turn.say("quantity-odd", count=turn.knowledge.wording.count(max(wanted, 0)))
        return
    turn.log(entries.Counted(piece=piece.number, count=wanted))
    piece = next(each for each in turn.job.pieces if each.number == piece.number)
    what = slip_words.of_piece(turn, piece)
    if what:
        turn.do(Deed.SLIP, str(turn.job.number))
        turn.say("quantity", item=what)
    else:
        turn.say("quantity-open", count=turn.knowledge.wording.count(wanted))
    if turn.piece.kind == END and not turn.piece.is_empty and turn.record.end_of(turn.piece) is None:
        turn.report = True


def _meant(turn: Turn, words: frozenset[str]) -> Piece | None:
    """The piece of which a number is said: by its name; else the job's hose, where the one in hand belongs to it."""
    said = [piece for piece in turn.job.pieces if not piece.is_empty or piece.kind == HOSE]
    hoses, ends = ([piece for piece in said if piece.kind == kind] for kind in (HOSE, END))
    if words & _HOSES:
        return turn.piece if turn.piece.kind == HOSE else hoses[-1] if hoses else None
    if words & _ENDS:
        return turn.piece if turn.piece in ends else ends[-1] if ends else None
    of_hose = slips.ends_of_hose(turn.knowledge, turn.record, turn.job)
    if hoses and (turn.piece in of_hose or turn.piece.is_empty):
        return turn.piece if turn.piece.kind == HOSE else hoses[-1]
    return turn.piece if turn.piece in said else said[-1] if said else None


def how_many(turn: Turn, command: Command) -> None:
    """All that is ordered, with how many; of the hoses alone, where those are asked for."""
    wording = turn.knowledge.wording
    found = slip_words.lines(turn)
    hoses = tuple(line for line in found if line.piece.kind == HOSE and line.of[0][1] is None)
    if slip_lines.words_of(command) & _HOSES and not hoses and found:
        turn.say("no-hose-on-slip")
    elif slip_lines.words_of(command) & _HOSES:
        found = hoses
    lines = tuple(line.words for line in found)
    counts = [line.count for line in found]
    if not lines:
        turn.say("slip-nothing")
    elif all(count == 1 for count in counts):
        turn.say_list(lines, "how-many-one", "items")
    else:
        turn.say_list(lines, "how-many", "items", count=wording.count(sum(counts)))


def missing_of_hose(turn: Turn, command: Command) -> None:
    """What each hose of the job cannot be made without, and what may stay open; without a hose, where we are."""
    facts = slips.job_facts(turn.knowledge, turn.record, turn.job.number)
    if not facts.hoses:
        turn.functions["where-are-we"](turn, command)
        return
    turn.asked = True
    for each in facts.hoses:
        needed, open_ = slip_words.needed(turn, each), slip_words.not_said(turn, each)
        if needed:
            turn.say("hose-needs", needed=needed)
        else:
            turn.say("hose-needs-nothing")
        if open_:
            turn.say("hose-not-said", open=open_)


def same_end(turn: Turn, command: Command) -> None:
    """The other end of the hose is as the one that is known. Asked about once: it is half of the order."""
    ends = [piece for piece in turn.job.pieces if piece.kind == END and (not piece.is_empty or piece is turn.piece)]
    first = _the_same_as(turn, ends)
    if first is None:
        turn.functions["aside"](turn, command)
        return
    if first.both:
        turn.say("both-ends")
        return
    if command.argument is None and turn.record.end_of(first) is not None:
        facts = slips.end_facts(turn.knowledge, turn.record, first)
        sure = Command(command.name, command.heard, argument="yes")
        text = turn.knowledge.wording.phrase("ends-alike", end=slip_words.end(turn, facts))
        asking.ask_sure(turn, Confirming(Meaning(text, (sure,))))
        return
    if turn.piece.kind == END and turn.piece.number != first.number and not turn.piece.is_empty:
        turn.log(entries.StartOver())  # what was begun of it is as the first
    turn.log(entries.BothEnds(piece=first.number))
    turn.say("both-ends")
    hoses = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == HOSE]
    at = hoses[-1] if hoses else [piece.number for piece in turn.job.pieces].index(first.number)
    if at != turn.job.current:
        placing.go_to(turn, at)
    turn.report = True


def both_ends(turn: Turn, command: Command) -> None:
    """What is said behind it is of both ends of the hose: of the end that is open, else of one that begins with it."""
    rest = turn.heard.replace(command.heard, " ").strip(" ,.")
    items = turn.knowledge.language.interpret(rest, Context())[0].items if rest else ()
    if not any(isinstance(item, Reading) and hoses.tells_of_an_end(item) for item in items):
        if not rest:
            same_end(turn, command)
        return
    if turn.piece.kind == HOSE:
        ends = [(index, piece) for index, piece in enumerate(turn.job.pieces) if piece.kind == END]
        begun = [index for index, piece in ends if turn.record.end_of(piece) is None]
        turn.log(entries.GoToPiece(piece=begun[-1]) if begun else entries.NewPiece(piece=END))
        turn.leave(check=None, lead=None)
    turn.log(entries.BothEnds(piece=turn.piece.number))
    turn.say("both-ends")


def ends_differ(turn: Turn, command: Command) -> None:
    """The ends of the hose are two; what is said behind it of the other one is of an end of its own."""
    unlike(turn)
    turn.say("ends-unlike")
    if not slip_lines.words_of(command).isdisjoint({"far", "other", "second", "opposite"}):
        turn.functions["other-end"](turn, Command("other-end", command.heard))


def unlike(turn: Turn) -> None:
    """No end of the job is on both ends of its hose any more."""
    for piece in turn.job.pieces:
        if piece.both:
            turn.log(entries.BothEnds(piece=piece.number, both=False))


def _the_same_as(turn: Turn, ends: list[Piece]) -> Piece | None:
    """The end that the other one is like: the first that is settled, else the first that was begun."""
    settled = [piece for piece in ends if turn.record.end_of(piece) is not None]
    return next(iter([*settled, *ends]), None)


TABLE: Mapping[str, Does] = {
    "order-slip": order_slip,
    "quantity": quantity,
    "order-other": order_other,
    "how-many": how_many,
    "what-is-missing": missing_of_hose,
    "same-end": same_end,
    "both-ends": both_ends,
    "ends-differ": ends_differ,
}
