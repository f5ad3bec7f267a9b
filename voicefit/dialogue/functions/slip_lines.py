"""Lines of the slip by themselves: the mate and the seals of an end, what is taken off, and the form of an end."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import asking, entries, identification, slip_words, slips
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import END, HOSE, Piece
from voicefit.dialogue.state import Confirming, Deed
from voicefit.dialogue.turn import Turn
from voicefit.ordering.job_slip import EndFacts
from voicefit.records import Command, Gender, Meaning, Seal

SEALS = frozenset({"washer", "washers", "ring", "rings", "seal", "seals", "gasket", "gaskets"})
_RINGS, _WASHERS = frozenset({"ring", "rings"}), frozenset({"washer", "washers"})
_MATES = frozenset({"mate", "mates", "mating", "matching", "counterpart"})
_GOES_WITH = _MATES | {"fits", "fit", "goes", "go", "screws", "screw", "matches", "belongs", "pairs", "for"}
_GENDERS = {"male": Gender.MALE, "female": Gender.FEMALE, "stud": Gender.STUD, "port": Gender.PORT}
_SINGULAR = {f"{word}s": word for word in _GENDERS}  # "take the males off"
_NUTS = frozenset({"nut", "nuts"})
_PLACES = {"first": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4, "last": -1}
_LINE = frozenset({"line", "item", "entry", "position", "slip", "list"})
_NAMED = {  # words that name what a line is of
    "hose": frozenset({"hose", "hoses"}),
    "seal": SEALS,
    "mate": _MATES,
    "end": frozenset({"end", "ends", "fitting", "fittings", "nut", "flange", "banjo", "adapter"}),
}
_PAIR = frozenset({"couple", "pair"})
_RINGS = frozenset({"ring", "rings", "oring", "o-ring", "seal", "plain"})
_OF_FORM = re.compile(
    r"\b(?:(?:ninety|forty[ -]five|sixty|thirty|\d+)(?: degrees?)?|straight|swivel\w*|elbow\w*|bent|bend|swept|angled"
    r"|right|rotating|long|short|compact|stainless|brass|plated|zinc)\b.*?(?= instead| please| rather| then| this|$)"
)
_WITHOUT = frozenset({"without", "plain", "no"})
_JUST_ORDERED = frozenset({"order-slip", "quantity"})
_O_RINGS = frozenset({Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING, Seal.BORE_O_RING, Seal.FLANGE_O_RING})
_SINCE = {"order-mate": (slips.MATE,), "order-seal": ("o-ring", "washer", "seal")}


def words_of(command: Command) -> frozenset[str]:
    """The words that called it."""
    return frozenset(re.findall(r"\w+", command.heard.casefold()))


def number_of(command: Command) -> int:
    """How many it says: a pair is two, and one where nothing is said."""
    return int(command.argument or (2 if words_of(command) & _PAIR else 1))


# ---- the mate, and the seals --------------------------------------------------------------------------


def order_mate(turn: Turn, command: Command) -> None:
    """So many of the end that goes on the one in hand: a line of its own, and never the end itself."""
    known = _known(turn)
    if known is None:
        return
    piece, facts = known
    mate = slips.mate_of(turn.knowledge, facts.end)
    said = {gender for word, gender in _GENDERS.items() if words_of(command) & {word, f"{word}s"}}
    if mate is None:
        turn.say("mate-none", end=_name(turn, facts.end or ""))
        return
    own = turn.knowledge.catalogue.by_id[facts.end or ""].gender
    of_itself = own in said and turn.knowledge.catalogue.by_id[mate].gender not in said
    if of_itself and words_of(command).isdisjoint(_GOES_WITH):  # "order two of the male", of a male
        turn.functions["quantity"](turn, Command("quantity", "end", argument=command.argument))
        return
    if said and turn.knowledge.catalogue.by_id[mate].gender not in said:
        turn.say("mate-other", end=_name(turn, mate))
        return
    _order_beside(turn, piece, slips.MATE, number_of(command))


def order_seal(turn: Turn, command: Command) -> None:
    """So many of the seals of the end in hand, with their size; where the tables have none, that is said."""
    known, words = _known(turn), words_of(command)
    if known is None:
        return
    piece, facts = known
    what = "washer" if words & _WASHERS else "o-ring" if words & _RINGS else "seal"
    if not slip_words.seal(turn, slips.seal_order(facts, what)):
        row = turn.knowledge.row_of(facts.end or "")
        metal = row is not None and not any(need.count for need in turn.knowledge.aftercare.follow(row).seals)
        turn.say("seal-metal" if metal else "seal-unknown", seal=turn.knowledge.wording.plain(f"part.{what}"))
        return
    _order_beside(turn, piece, what, number_of(command))


def _order_beside(turn: Turn, piece: Piece, what: str, count: int) -> None:
    said = turn.knowledge.language.amount(turn.heard)
    if said is not None and said.more:
        count = dict(piece.beside).get(what, 0) + said.more * count
    if not 1 <= count <= entries.MOST_ORDERED:
        turn.say("quantity-odd", count=turn.knowledge.wording.count(count))
        return
    alone = piece.count is None and not piece.beside and _JUST_ORDERED.isdisjoint((*turn.before.last.did, *turn.did))
    if alone:
        turn.log(entries.Counted(piece=piece.number, count=0))
    turn.log(entries.Beside(piece=piece.number, what=what, count=count))
    line = next(each for each in slip_words.lines(turn) if (piece.number, what) in each.of)
    turn.do(Deed.SLIP, str(turn.job.number))
    turn.say("quantity", item=line.words)
    if alone:
        turn.say("without-itself")


def say_bolts(turn: Turn) -> None:
    """The bolts of the flange in hand: they stand with it on the slip, and are no line of their own."""
    piece = _end(turn)
    end = None if piece is None else slips.end_facts(turn.knowledge, turn.record, piece).end
    row = turn.knowledge.row_of(end or "")
    flange = None if row is None else turn.knowledge.catalogue.ends[row].flange
    if flange is None:
        turn.say("bolts-none")
        return
    turn.functions["sizes"](turn, Command("sizes", "what bolts"))
    turn.say("bolts-with-flange")


def _end(turn: Turn) -> Piece | None:
    """The end in hand; beside a hose, the latest of the job."""
    ends = [piece for piece in turn.job.pieces if piece.kind == END and not piece.is_empty]
    return turn.piece if turn.piece in ends else ends[-1] if ends else None


def _known(turn: Turn) -> tuple[Piece, EndFacts] | None:
    """The end in hand with what it is, settled or very likely; where it is neither, that is said."""
    piece = _end(turn)
    facts = None if piece is None else slips.end_facts(turn.knowledge, turn.record, piece)
    if piece is not None and facts is not None and facts.end is not None:
        return piece, facts
    turn.say("slip-nothing" if piece is None else "beside-open")
    identification.ask(turn, on_request=True)
    return None


def _name(turn: Turn, end: str) -> str:
    return turn.knowledge.names.end(turn.knowledge.catalogue.by_id[end])


# ---- off the slip -------------------------------------------------------------------------------------


def off_slip(turn: Turn, command: Command) -> None:
    """Take a line off the slip, by its number, by what it is, or the one that was just ordered; it is said back."""
    found = slip_words.lines(turn)
    if not found:
        turn.say("slip-nothing" if words_of(command) & _LINE else "aside")
        return
    meant = lines_meant(turn, command)
    if meant is None:
        turn.say("off-which")
        return
    if not meant:
        turn.say("not-on-slip")
        turn.say_list(slip_words.ordered(turn), "slip", "items", job=turn.knowledge.wording.count(turn.job.number))
        return
    for line in meant:
        _take_off(turn, line)
    turn.say("off-slip", items="; ".join(line.words for line in meant))
    _say_what_is_left(turn)


def lines_meant(turn: Turn, command: Command) -> tuple[slip_words.SlipLine, ...] | None:
    """The lines that are to go: none where what was named is not on the slip, ``None`` where it is not said which."""
    found, words = slip_words.lines(turn), frozenset(_SINGULAR.get(word, word) for word in words_of(command))
    place = next((_PLACES[w] for w in words if w in _PLACES), None)
    if command.argument and command.argument.isdecimal():  # or the name of what was measured: "scrap the seat"
        place = int(command.argument) - 1
    if place is not None:
        return found[place:][:1] if place >= 0 else found[place:]
    if words & _NUTS and any(Gender.FEMALE in line.words for line in found):
        words = words - _NUTS | {Gender.FEMALE}  # of a male and its nut
    words = words - _NAMED["end"] if words & _GENDERS.keys() else words
    named = [line for line in found if _is_named(turn, line, words)]
    if any(words & names for names in _NAMED.values()) or words & _GENDERS.keys():
        return tuple(named) if len(named) < 2 or words & _NAMED["hose"] else None
    just = [what for name in turn.before.last.did for what in _SINCE.get(name, ())]
    latest = [line for line in found if line.of[0][1] in just] or [
        line for line in found if (turn.piece.number, None) in line.of
    ]
    latest = latest or (list(found) if len(found) == 1 else [])
    return tuple(latest[-1:]) or None


def _is_named(turn: Turn, line: slip_words.SlipLine, words: frozenset[str]) -> bool:
    what = line.of[0][1]
    kind = "hose" if line.piece.kind == HOSE else "mate" if what == slips.MATE else "seal" if what else "end"
    if kind == "end" and words & _NAMED["end"]:
        return True
    if kind in ("end", "mate") and words & _GENDERS.keys():
        return bool(words & _GENDERS.keys() & set(line.words.replace(",", " ").split()))
    return kind != "end" and bool(words & _NAMED[kind])


def _take_off(turn: Turn, line: slip_words.SlipLine) -> None:
    for number, what in line.of:
        if what is None:
            turn.log(entries.Counted(piece=number, count=0))
        else:
            turn.log(entries.Beside(piece=number, what=what, count=0))


def _say_what_is_left(turn: Turn) -> None:
    turn.do(Deed.SLIP, str(turn.job.number))
    lines = slip_words.ordered(turn)
    if lines:
        turn.say_list(lines, "slip-left", "items")
    else:
        turn.say("slip-empty")


def clear_slip(turn: Turn, command: Command) -> None:
    """Take all lines off: asked about once, and undone like any turn."""
    found = slip_words.lines(turn)
    if not found:
        turn.say("slip-nothing")
        return
    if command.argument is None:
        text = turn.knowledge.wording.phrase("clear-slip", count=turn.knowledge.wording.count(len(found)))
        asking.ask_sure(turn, Confirming(Meaning(text, (replace(command, argument="sure"),))))
        return
    for line in found:
        _take_off(turn, line)
    _say_what_is_left(turn)


# ---- another form; notes ------------------------------------------------------------------------------


def other_form(turn: Turn, command: Command) -> None:
    """Order the form of the end that has the ring, or the one that has none: on the person's word. An elbow, a swivel
    or a steel changes nothing of what the end is: a note of the order, in the words that tell of it."""
    words = words_of(command)
    if words.isdisjoint(_RINGS):
        _note_form(turn, command.heard)
        return
    known = _known(turn)
    if known is None:
        return
    piece, end = known[0], known[1].end or ""
    ends, with_ring = turn.knowledge.catalogue.by_id, words.isdisjoint(_WITHOUT)
    forms = [each for each in turn.knowledge.catalogue.ends if each.part == ends[end].part]
    fits = [each for each in forms if (each.carries_seal and each.seal in _O_RINGS) == with_ring]
    if ends[end] in fits or not fits:
        turn.say("form-is-so" if ends[end] in fits else "form-unknown", end=_name(turn, end))
        return
    others = tuple(dict.fromkeys(each for each in (*piece.look_alikes, end) if each != fits[0].id))
    if piece.number != turn.piece.number:
        turn.log(entries.GoToPiece(piece=[each.number for each in turn.job.pieces].index(piece.number)))
    turn.log(entries.Decided(end=fits[0].id, look_alikes=others))
    turn.do(Deed.SLIP, str(turn.job.number))
    turn.say("quantity", item=slip_words.of_piece(turn, turn.piece))


def _note_form(turn: Turn, heard: str) -> None:
    form = _OF_FORM.search(heard.casefold())
    text = f"form: {form.group() if form else heard}"[: entries.LONGEST_NOTE]
    turn.log(entries.NoteKept(name=text, seconds=0.0))
    row = turn.knowledge.row_of(turn.record.end_of(turn.piece) or "")
    turn.say("form-noted", text=text)
    if row is not None:
        turn.say("still-identified", end=turn.knowledge.end_words(row))


def read_notes(turn: Turn) -> bool:
    """Say the notes of the job: those in words as they are, of the others how many there are. Whether there are any."""
    notes = [note for note in turn.record.notes if note.job == turn.job.number]
    written = tuple(dict.fromkeys(note.name for note in notes if not note.seconds))
    if len(written) == 1:
        turn.say("note-written", text=written[0])
    elif written:
        turn.say_list(written, "notes-written", "items")
    if spoken := sum(bool(note.seconds) for note in notes):
        wording = turn.knowledge.wording
        turn.say("kept-notes", count=f"{wording.count(spoken)} {wording.plain('note' if spoken == 1 else 'notes')}")
    return bool(notes)


TABLE: Mapping[str, Does] = {
    "order-mate": order_mate,
    "order-seal": order_seal,
    "off-slip": off_slip,
    "clear-slip": clear_slip,
    "other-form": other_form,
}
