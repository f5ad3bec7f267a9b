"""What follows: what mates, what must not, what seals, how tight, what it holds, adapters, stock.

Each is answered for the end that was identified or decided, and for the one that leads on the condition that it is it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import common, entries, identification, spoken, standing
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import END, Piece
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.turn import Turn
from voicefit.ordering.adapters import Chain
from voicefit.records import Certainty, Command, Measurand

BOLTS = frozenset({"bolts", "bolt", "screws"})
_TURNS = frozenset({"flats", "flat", "turns", "turn"})
_POUNDS = frozenset({"pounds", "pound", "lbs", "lb", "ft-lb", "ft-lbs", "ftlb", "ftlbs"})


@dataclass(frozen=True, slots=True)
class Subject:
    """The end that is asked about. ``rows`` : its variants that the readings do not tell apart, its own row first;
    ``belief`` : what is believed of it."""

    row: int
    rows: tuple[int, ...]
    belief: Belief


def subject(turn: Turn) -> Subject | None:
    """The end that is asked about: the one decided or identified, or, said to be on that condition, the one that leads.

    Where it is not settled, what would settle it is asked last. ``None`` where nothing leads, and for an end of another
    trade; that is said.
    """
    about = _asked_about(turn)
    trade = None if about is None else turn.knowledge.catalogue.ends[about.row].trade
    if trade is None:
        return about
    standing.refuse_trade(turn, trade)
    return None


def _asked_about(turn: Turn) -> Subject | None:
    identification.report_now(turn)
    piece = _end_meant(turn)
    end = turn.record.end_of(piece)
    row = None if end is None else turn.knowledge.row_of(end)
    belief = turn.belief if piece is turn.piece else turn.knowledge.believe(piece, turn.record.without)
    if row is not None and piece is not turn.piece:
        turn.say("of-the-end", end=turn.knowledge.end_words(row, brief=True))
    if row is not None and piece.decided is not None:
        return Subject(row, (row,), belief)
    if row is not None:
        return Subject(row, belief.advice.variants or (row,), belief)
    if piece is turn.piece:
        _ask_on(turn)
    leader = belief.leader
    if not standing.leads(belief) and leader is not None:
        leader = common.series_and_size(turn.knowledge.catalogue.ends, belief)
    if leader is None:
        if piece.readings and piece is turn.piece:
            standing.say_common(turn)
        turn.say("nothing-leads" if piece.readings else "nothing-yet")
        return None
    likely = belief.advice.certainty is Certainty.LIKELY
    row = standing.the_end(turn.knowledge, belief) if leader is belief.leader else leader.row
    end = turn.knowledge.end_words(row, brief=True)
    if likely and turn.has_said("likely", end=end):
        turn.say("if-so")
    else:
        turn.say("if-likely" if likely else "if-leading", end=end)
    if piece is turn.piece:
        turn.look(lead=standing.said_as(turn, belief))
    return Subject(row, belief.advice.variants or (row,), belief)


def _end_meant(turn: Turn) -> Piece:
    """The piece in hand; beside a hose, the latest end of the job that is settled, else the latest."""
    ends = [piece for piece in turn.job.pieces if piece.kind == END and not piece.is_empty]
    if turn.piece.kind == END or not ends:
        return turn.piece
    settled = [piece for piece in ends if turn.record.end_of(piece) is not None]
    return (settled or ends)[-1]


def _ask_on(turn: Turn) -> None:
    """What would settle it, said last."""
    open_checks = turn.focus.open_checks
    checks = open_checks or turn.belief.advice.checks
    if checks:
        turn.look(check=checks[0], beside=checks[1:])
        turn.ask("prompt", prompt=turn.knowledge.prompts(checks, brief=checks if open_checks else ()))


def _listing(of: Callable[[Turn, int], tuple[str, ...]], reply: str, nothing: str) -> Does:
    """A function that says what the catalogue lists for the end that is asked about, or that it lists nothing."""

    def does(turn: Turn, command: Command) -> None:
        about = subject(turn)
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
    """The seal of the variant that the readings name; of each variant, where they name none."""
    about = subject(turn)
    if about is None:
        return
    aftercare = turn.knowledge.aftercare
    rows = _sealed_as_said(turn, about)
    ways = tuple(dict.fromkeys(aftercare.seals(row, about.belief.sealed_by) for row in rows))
    seals = tuple(dict.fromkeys(seal for way in ways for seal in way))
    if not seals:
        turn.say("no-seal")
        return
    turn.say_list(seals, "listed" if len(ways) == 1 else "seals-by-variant", "items")
    if any(need.count for row in rows for need in aftercare.follow(row).seals):
        turn.add("compound")
    if not BOLTS.isdisjoint(turn.heard.casefold().split()):  # "what o ring and bolts"
        turn.functions["sizes"](turn, command)


def _sealed_as_said(turn: Turn, about: Subject) -> tuple[int, ...]:
    """Of the variants, those that seal as the person said, best and not otherwise; all, where nothing was said."""
    rows = about.rows
    options = [each.option for each in about.belief.taken if each.option.measurand is Measurand.SEAL]
    said = {option.value for option in options if not option.negated}
    needs = turn.knowledge.aftercare.follow
    kinds = {row: {need.kind.value for need in needs(row).seals} for row in rows}
    only = tuple(row for row in rows if kinds[row] <= said)
    return only or tuple(row for row in rows if kinds[row] & said) or rows


def torque(turn: Turn, command: Command) -> None:
    about = subject(turn)
    if about is None:
        return
    words = turn.heard.casefold().split()
    pounds = turn.settings.length_unit == "in" or not _POUNDS.isdisjoint(words)
    by_turns = not _TURNS.isdisjoint(words)
    figures = turn.knowledge.aftercare.tightening(
        about.row, about.belief.sealed_by, foot_pounds=pounds, turns_first=by_turns
    )
    if by_turns:
        if not turn.knowledge.aftercare.follow(about.row, about.belief.sealed_by).turns:
            turn.say("no-turns")
    elif wrench := turn.knowledge.aftercare.wrench(about.row):
        turn.add("across-flats", size=wrench)
    if not figures:
        turn.say("no-torque" if turn.knowledge.aftercare.is_screwed(about.row) else "nothing-to-tighten")
        return
    turn.say_list(figures, "listed", "items")
    turn.caution("torque")


def adapter(turn: Turn, command: Command) -> None:
    about = subject(turn)
    if about is None:
        return
    row = about.row
    name = turn.knowledge.series_words(command.argument or "")
    found = None if name is None else turn.knowledge.aftercare.chain(row, command.argument or "")
    if found is None:
        turn.say("no-adapters")
        return
    _say_chain(turn, row, *found)


def join_ends(turn: Turn, command: Command) -> None:
    """The chain from the end in hand to another of this job: the one named, or the latest that is identified."""
    about = subject(turn)
    if about is None:
        return
    row = about.row
    pieces = turn.job.pieces
    number = None if command.argument is None else int(command.argument)
    if number is not None and not 1 <= number <= len(pieces):
        turn.say("no-such-piece", number=turn.knowledge.wording.count(number))
        return
    others = [piece for piece in pieces if piece is not turn.piece] if number is None else [pieces[number - 1]]
    ends = [turn.record.end_of(piece) or "" for piece in others if piece.kind == END]
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
    weakest = turn.knowledge.aftercare.weakest(chain, psi=in_psi(turn))
    if weakest:
        turn.say("weakest", pressure=weakest)
    else:
        turn.say("no-pressure")


def in_stock(turn: Turn, command: Command) -> None:
    """What the shop has of it, by bin and count."""
    about = subject(turn)
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
    "torque": torque,
    "adapter": adapter,
    "join-ends": join_ends,
    "in-stock": in_stock,
}
