"""What is ordered, in words: each end and hose with how many of it, and what a hose still needs.

Duty: word the facts of a slip. It must not gather them (:mod:`voicefit.dialogue.slips`) and must not change anything.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from voicefit.dialogue import slips
from voicefit.dialogue.record import HOSE, Piece
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import Need, Topic
from voicefit.ordering.job_slip import EndFacts, HoseOrder, SealOrder, alike, seals_to_order
from voicefit.ordering.slip import DecidedBy
from voicefit.records import Measurand, Option

_KIND = frozenset(
    {
        Measurand.HOSE_TYPE,
        Measurand.DASH,
        Measurand.HOSE_BORE,
        Measurand.HOSE_OUTSIDE_DIAMETER,
        Measurand.REINFORCEMENT,
    }
)
BOTH = 2  # ends of a hose
_OPEN = (Topic.TEMPERATURE, Topic.APPLICATION, Topic.MATERIAL, Topic.PRESSURE, Topic.DELIVERY)


@dataclass(frozen=True, slots=True)
class SlipLine:
    """A line of the slip; ``of`` : number of each piece that it is of, and what of it. ``piece`` : the first."""

    words: str
    piece: Piece
    of: tuple[tuple[int, str | None], ...]
    count: int = 1


def lines(turn: Turn) -> tuple[SlipLine, ...]:
    """All that is ordered in the job in hand. The ends of a hose are said with it, where no number of their own was."""
    found = slips.orders(turn.knowledge, turn.record, turn.job)
    ends = [each for each in found if isinstance(each.facts, EndFacts) and not each.facts.on_hose]
    made = []
    for facts, at in alike([each.facts for each in ends if isinstance(each.facts, EndFacts)]):
        if words := end(turn, facts):
            of = tuple((ends[each].piece.number, ends[each].what) for each in at)
            made.append(SlipLine(words, ends[at[0]].piece, of, facts.count))
    for each in found:
        if isinstance(each.facts, SealOrder):
            words, count = seal(turn, each.facts), each.facts.count
        elif isinstance(each.facts, HoseOrder):
            words, count = hose(turn, each.piece, each.facts), each.facts.count
        else:
            continue
        if words:
            made.append(SlipLine(words, each.piece, ((each.piece.number, each.what),), count))
    return tuple(made)


def hoses(turn: Turn) -> tuple[tuple[Piece, HoseOrder], ...]:
    """The hoses of the job in hand that are ordered, with what is ordered of them."""
    found = slips.orders(turn.knowledge, turn.record, turn.job)
    return tuple((each.piece, each.facts) for each in found if isinstance(each.facts, HoseOrder))


def ordered(turn: Turn) -> tuple[str, ...]:
    """All that is ordered, in words, and the adapters."""
    return (*(line.words for line in lines(turn)), *adapters(turn))


def adapters(turn: Turn) -> tuple[str, ...]:
    """The adapters of the job in hand, in words: they were asked for, and stand on its slip."""
    aftercare, row_of = turn.knowledge.aftercare, turn.knowledge.row_of
    rows = [(row_of(start), row_of(goal)) for start, goal in turn.job.goals]
    chains = [aftercare.between(start, goal) for start, goal in rows if start is not None and goal is not None]
    return tuple(words for chain in chains if chain is not None for words in aftercare.chain_words(chain))


def seal(turn: Turn, order: SealOrder) -> str:
    """Seals by kind and size, and how many; empty where no size is known."""
    aftercare = turn.knowledge.aftercare
    needs = seals_to_order(aftercare.ordering, order)
    return _counted(turn, aftercare.seal(replace(needs[0], count=1)), order.count) if needs else ""


def end(turn: Turn, facts: EndFacts) -> str:
    """An end by name, how surely, and how many; empty where nothing says which it is."""
    name = _name(turn, facts)
    return _counted(turn, name, facts.count) if name else ""


def hose(turn: Turn, piece: Piece, order: HoseOrder) -> str:
    """A hose as far as it is known: its kind and size, its length, the rest that was said, and its ends."""
    knowledge, wording = turn.knowledge, turn.knowledge.wording
    options = [each.option for each in knowledge.believe(piece).taken if not each.option.negated]
    if order.hose is not None:
        kind = [knowledge.hose_words(order.hose)]
    else:
        kind = [wording.reading(each) for each in sorted(filter(_is_kind, options), key=_type_first)]
    rest = [wording.reading(each) for each in options if not _is_kind(each)]
    answers = [knowledge.answer_words(topic, text) for topic, text in piece.answers]
    named = list(dict.fromkeys([wording.plain("hose"), *kind, *rest, *answers]))
    return _counted(turn, ", ".join([*named, *_ends(turn, order)]), order.count)


_NAMES = frozenset({Measurand.SERIES, Measurand.THREAD_SYSTEM})  # what one calls an end by


def _is_kind(option: Option) -> bool:
    return option.measurand in _KIND


def _type_first(option: Option) -> bool:
    return option.measurand is not Measurand.HOSE_TYPE


def _ends(turn: Turn, order: HoseOrder) -> tuple[str, ...]:
    wording = turn.knowledge.wording
    pieces = slips.ends_of_hose(turn.knowledge, turn.record, turn.job)
    names = [_name(turn, each) or _as_said(turn, piece) for each, piece in zip(order.ends, pieces, strict=True)]
    match names:
        case []:
            return ()
        case [one]:
            return (wording.phrase("one-end", end=one),)
        case [one, two] if one == two:
            return (wording.phrase("ends-alike", end=one),)
        case _:
            return (wording.phrase("ends-differ", first=names[0], second=names[1]),)


def _as_said(turn: Turn, piece: Piece) -> str:
    """An end that is not settled: what it was said to be, and that it is open."""
    wording = turn.knowledge.wording
    options = [each.option for each in turn.knowledge.believe(piece).taken if not each.option.negated]
    said = [wording.reading(each) for each in options if each.measurand in _NAMES]
    return ", ".join(dict.fromkeys([*said, wording.plain("end-open")]))


def _name(turn: Turn, facts: EndFacts) -> str:
    knowledge = turn.knowledge
    row = knowledge.row_of(facts.end or "")
    if row is None:
        return ""
    how = "refused" if knowledge.catalogue.ends[row].trade else facts.decided_by.value
    by_form = facts.decided_by is DecidedBy.PERSON  # who may have named the form, "with the O-ring"
    end = knowledge.names.end(knowledge.catalogue.ends[row]) if by_form else knowledge.end_words(row)
    return knowledge.wording.phrase(f"slip-{how}", end=end)


def _counted(turn: Turn, words: str, count: int) -> str:
    wording = turn.knowledge.wording
    return words if count <= 1 else wording.phrase("slip-count", item=words, count=wording.count(count))


def of_piece(turn: Turn, piece: Piece) -> str:
    """One piece of the job in hand, with how many; empty where it is an end of which nothing says which it is."""
    if piece.kind == HOSE:
        return next(hose(turn, each, order) for each, order in hoses(turn) if each.number == piece.number)
    name = _name(turn, slips.end_facts(turn.knowledge, turn.record, piece))
    return _counted(turn, name, piece.count or 1) if name else ""


def needed(turn: Turn, order: HoseOrder) -> str:
    """What a hose cannot be made without and was not said, in words; empty where nothing is."""
    plain = turn.knowledge.wording.plain
    which = "sure-" if len(order.ends) == BOTH else "other-" if order.ends else ""
    words = [plain(f"need.{which if need is Need.ENDS else ''}{need.value}") for need in order.facts.needed]
    return ", ".join(words)


def not_said(turn: Turn, order: HoseOrder) -> str:
    """What was not said of a hose and may stay open, in words."""
    plain = turn.knowledge.wording.plain
    return ", ".join(plain(f"topic.{topic.value}") for topic in order.facts.missing if topic in _OPEN)
