"""After the identification: what mates, what must not, what seals, how tight, what it holds, adapters."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import assemblies, entries, spoken
from voicefit.dialogue.aftercare import Aftercare
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.turn import Turn
from voicefit.ordering.adapters import Chain
from voicefit.records import Command


def identified_row(turn: Turn) -> int | None:
    """Row of the end that was said to be it; where there is none, it says so and asks on."""
    concluded = turn.concluded
    row = None if concluded is None or not turn.belief.advice.identified else turn.knowledge.row_of(concluded)
    if row is None:
        prompt = turn.prompt()
        if prompt:
            turn.look(check=turn.belief.advice.check)
            turn.say("not-identified", prompt=prompt)
        else:
            turn.say("not-identified-stuck")
    return row


def _listing(of: Callable[[Aftercare, int], tuple[str, ...]], reply: str, nothing: str) -> Does:
    """A function that says what the catalogue lists for the identified end, or that it lists nothing."""

    def does(turn: Turn, command: Command) -> None:
        row = identified_row(turn)
        if row is None:
            return
        items = of(turn.knowledge.aftercare, row)
        if items:
            turn.say_list(items, reply, "items")
        else:
            turn.say(nothing)

    return does


def what_seals_it(turn: Turn, command: Command) -> None:
    row = identified_row(turn)
    if row is None:
        return
    seals = turn.knowledge.aftercare.seals(row)
    if not seals:
        turn.say("no-seal")
        return
    turn.say_list(seals, "listed", "items")
    if any(need.count for need in turn.knowledge.aftercare.follow(row).seals):
        turn.say("compound")


def torque(turn: Turn, command: Command) -> None:
    row = identified_row(turn)
    if row is None:
        return
    figures = turn.knowledge.aftercare.tightening(row)
    if wrench := turn.knowledge.aftercare.wrench(row):
        turn.say("across-flats", size=wrench)
    if not figures:
        turn.say("no-torque" if turn.knowledge.aftercare.is_screwed(row) else "nothing-to-tighten")
        return
    turn.say_list(figures, "listed", "items")
    turn.caution("torque")


def pressure(turn: Turn, command: Command) -> None:
    if turn.piece.kind == HOSE and assemblies.say_assembly(turn):
        return
    row = identified_row(turn)
    if row is None:
        return
    figures = turn.knowledge.aftercare.pressures(row, psi=_psi(turn))
    if figures:
        turn.say_list(figures, "listed", "items")
    else:
        turn.say("no-pressure")


def adapter(turn: Turn, command: Command) -> None:
    row = identified_row(turn)
    if row is None:
        return
    name = turn.knowledge.series_words(command.argument or "")
    found = None if name is None else turn.knowledge.aftercare.chain(row, command.argument or "")
    if found is None:
        turn.say("no-adapters")
        return
    _say_chain(turn, row, *found)


def join_ends(turn: Turn, command: Command) -> None:
    """The chain from the end in hand to another of this job: the one named, or the latest that is identified."""
    row = identified_row(turn)
    if row is None:
        return
    pieces = turn.job.pieces
    number = None if command.argument is None else int(command.argument)
    if number is not None and not 1 <= number <= len(pieces):
        turn.say("no-such-piece", number=turn.knowledge.wording.count(number))
        return
    others = [piece for piece in pieces if piece is not turn.piece] if number is None else [pieces[number - 1]]
    ends = [turn.record.concluded.get(piece.number, "") for piece in others if piece.kind == END]
    goal = next((found for end in reversed(ends) if (found := turn.knowledge.row_of(end)) is not None), None)
    if goal is None:
        turn.say("no-other-end")
        return
    chain = turn.knowledge.aftercare.between(row, goal)
    if chain is None:
        turn.say("no-adapters")
        return
    _say_chain(turn, row, turn.knowledge.catalogue.ends[goal], chain)


def _say_chain(turn: Turn, row: int, end: CandidateEnd, chain: Chain) -> None:
    """The adapters with the weakest pressure of the line; they go on the slip."""
    if not chain.adapters:
        turn.say("no-adapter-needed", end=turn.knowledge.names.end(end))
        return
    turn.log(entries.Goal(start=turn.knowledge.catalogue.ends[row].id, goal=end.id))
    turn.say_list(turn.knowledge.aftercare.chain_words(chain), "listed", "items")
    weakest = turn.knowledge.aftercare.weakest(chain, psi=_psi(turn))
    if weakest:
        turn.say("weakest", pressure=weakest)
    else:
        turn.say("no-pressure")


def in_stock(turn: Turn, command: Command) -> None:
    """What the shop has of it, by bin and count."""
    row = identified_row(turn)
    if row is None:
        return
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


def _psi(turn: Turn) -> bool:
    return turn.settings.length_unit == "in"


TABLE: Mapping[str, Does] = {
    "what-fits": _listing(Aftercare.mates, "mates", "mates-none"),
    "what-does-not-fit": _listing(Aftercare.refusals, "never", "never-none"),
    "what-seals-it": what_seals_it,
    "torque": torque,
    "pressure": pressure,
    "adapter": adapter,
    "join-ends": join_ends,
    "in-stock": in_stock,
}
