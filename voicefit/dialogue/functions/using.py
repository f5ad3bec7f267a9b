"""What follows: what mates, what must not, what seals, adapters, stock.

Each is answered for the end that was identified or decided, and for the one that leads on the condition that it is it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import entries, spoken
from voicefit.dialogue.functions import Does
from voicefit.dialogue.named import ends_named, is_named, is_sized, tells_form
from voicefit.dialogue.record import END
from voicefit.dialogue.subjects import Subject, end_of, say_lacking, subject
from voicefit.dialogue.turn import Turn
from voicefit.ordering.adapters import Chain
from voicefit.records import Command, Measurand

BOLTS = frozenset({"bolts", "bolt", "screws"})


def _listing(of: Callable[[Turn, int], tuple[str, ...]], reply: str, nothing: str) -> Does:
    """A function that says what the catalogue lists for the end that is asked about, or that it lists nothing."""

    def does(turn: Turn, command: Command) -> None:
        about = subject(turn, command)
        if about is None:
            return
        items = of(turn, about.row)
        if items:
            turn.say_list(items, reply, "items")
        else:
            turn.say(nothing)

    return does


def _mates(turn: Turn, row: int) -> tuple[str, ...]:
    return turn.knowledge.aftercare.mates(row, psi=in_psi(turn))


def _refusals(turn: Turn, row: int) -> tuple[str, ...]:
    return turn.knowledge.aftercare.refusals(row)


def what_seals_it(turn: Turn, command: Command) -> None:
    """The seal of the variant that the readings name; where they name none what all of them have, then that of each."""
    about = subject(turn, command, lambda end: end.o_ring)
    if about is None:
        return
    aftercare = turn.knowledge.aftercare
    rows = _sealed_as_said(turn, about)
    ways: dict[tuple[str, ...], int] = {}
    for row in rows:
        ways.setdefault(aftercare.seals(row, about.belief.sealed_by), row)
    variant = turn.knowledge.names.variant if len(ways) > 1 else _unnamed
    ends = turn.knowledge.catalogue.ends
    common = [seal for seal in next(iter(ways)) if all(seal in way for way in ways)]
    own = (f"{variant(ends[row])}{seal}" for way, row in ways.items() for seal in way if seal not in common)
    seals = tuple(dict.fromkeys((*common, *own)))
    if not seals:
        turn.say("no-seal")
        return
    turn.say_list(seals, "listed" if common else "seals-by-variant", "items")
    if any(need.count for row in rows for need in aftercare.follow(row).seals):
        turn.add("compound")
    if not BOLTS.isdisjoint(turn.heard.casefold().split()):  # "what o ring and bolts"
        turn.functions["sizes"](turn, command)


def _unnamed(end: CandidateEnd) -> str:
    return ""


def _sealed_as_said(turn: Turn, about: Subject) -> tuple[int, ...]:
    """Of the variants, those that seal as the person said, best and not otherwise; all, where nothing was said."""
    rows = about.rows
    options = [each.option for each in about.belief.taken if each.option.measurand is Measurand.SEAL]
    said = {option.value for option in options if not option.negated}
    needs = turn.knowledge.aftercare.follow
    kinds = {row: {need.kind.value for need in needs(row).seals} for row in rows}
    only = tuple(row for row in rows if kinds[row] <= said)
    return only or tuple(row for row in rows if kinds[row] & said) or rows


def adapter(turn: Turn, command: Command) -> None:
    """The chain from the end that is named first, or the one in hand, to what is named of the other."""
    knowledge = turn.knowledge
    if not (command.other or command.argument):
        turn.asked = True
        turn.say("adapter-to-what")
        return
    about = subject(turn, command)
    if about is None:
        return
    ends, last = knowledge.catalogue.ends, frozenset[str]()
    goals: tuple[CandidateEnd, ...]
    if is_sized(command.other) or command.argument is None:
        found = ends_named(turn, command.other, frozenset(), ends[about.row])
        if found.lacks is not None:
            say_lacking(turn, found)
            return
        goals = tuple(ends[row] for row in found.rows)
        if not is_named(command.about) and tells_form(command.other):
            last = frozenset(end.part for end in goals)  # "from this to a male": the adapter has a male
    else:
        goals = tuple(end for end in ends if end.series == command.argument)
    joined = [mate for end in goals for mate in knowledge.aftercare.follow(knowledge.names.rows[end.id]).mating.mates]
    chain = knowledge.aftercare.chain(about.row, joined, last) if last else None
    chain = chain or knowledge.aftercare.chain(about.row, goals)
    if chain is not None:
        _say_chain(turn, about.row, *chain)
    elif goals:
        turn.say("no-adapters-to", end=knowledge.names.end(goals[0], brief=True))
    else:
        turn.say("adapter-to-what")


def join_ends(turn: Turn, command: Command) -> None:
    """The chain from the end in hand to another of this job: the one named, or the latest that is identified."""
    pieces = turn.job.pieces
    number = None if command.argument is None else int(command.argument)
    if number is not None and not 1 <= number <= len(pieces):
        turn.say("no-such-piece", number=turn.knowledge.wording.count(number))
        return
    others = [piece for piece in pieces if piece is not turn.piece]
    if number is not None and pieces[number - 1] is not turn.piece:
        others = [pieces[number - 1]]
    ends = [end_of(turn, piece) for piece in others if piece.kind == END]
    goal = next((end for end in reversed(ends) if end is not None), None)
    if goal is None:
        turn.say("no-other-end")
        return
    about = subject(turn, None)
    if about is None:
        return
    chain = turn.knowledge.aftercare.between(about.row, turn.knowledge.names.rows[goal.id])
    if chain is None:
        turn.say("no-adapters-to", end=turn.knowledge.names.end(goal, brief=True))
        return
    _say_chain(turn, about.row, goal, chain)


def _say_chain(turn: Turn, row: int, end: CandidateEnd, chain: Chain) -> None:
    """The adapters with the weakest pressure of the line; they go on the slip."""
    if not chain.adapters:
        turn.say("no-adapter-needed", end=turn.knowledge.names.end(end))
        return
    if turn.job.piece.readings or turn.job.piece.decided:  # of no end in hand nothing goes on the slip
        turn.log(entries.Goal(start=turn.knowledge.catalogue.ends[row].id, goal=end.id))
    turn.say_list(turn.knowledge.aftercare.chain_words(chain), "listed", "items")
    weakest = turn.knowledge.aftercare.weakest(chain, psi=in_psi(turn))
    if weakest:
        turn.say("weakest", pressure=weakest)
    else:
        turn.say("no-pressure")


def in_stock(turn: Turn, command: Command) -> None:
    """What the shop has of it, by bin and count."""
    about = subject(turn, command)
    if about is None:
        return
    row = about.row
    items = turn.knowledge.stock(turn.knowledge.catalogue.ends[row].part)
    if not items:
        turn.say("not-in-stock")
        return
    wording = turn.knowledge.wording
    lines = []
    for item in items:
        place = wording.phrase("stock-bin", bin=spoken.aloud(item.bin)) if item.bin else wording.plain("no-bin")
        known = item.quantity is not None
        left = (
            wording.phrase("stock-left", count=wording.count(item.quantity or 0))
            if known
            else wording.plain("no-count")
        )
        lines.append(wording.phrase("stock-line", place=place, left=left))
    turn.say_list(tuple(lines), "listed", "items")


def in_psi(turn: Turn) -> bool:
    return turn.settings.length_unit == "in"


TABLE: Mapping[str, Does] = {
    "what-fits": _listing(_mates, "mates", "mates-none"),
    "what-does-not-fit": _listing(_refusals, "never", "never-none"),
    "what-seals-it": what_seals_it,
    "adapter": adapter,
    "join-ends": join_ends,
    "in-stock": in_stock,
}
