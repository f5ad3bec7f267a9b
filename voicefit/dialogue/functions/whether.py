"""Why not, and whether it is, what somebody names: "why not metric", "could it be forty-five instead".

Whatever is named stays a question: it is never put on record. It is answered from what is believed: whether that leads,
is not ruled out yet and by which check it would be, or what speaks against it, and what such an end would have.

Duty: this answer. It must not judge what is likely (the matcher does).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from voicefit.dialogue import identification, standing
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.asking import DANGER
from voicefit.dialogue.functions.fitting import say_goes_on, series_named, series_put_on
from voicefit.dialogue.functions.reasons import ALIVE, LEAST_BIT, speaks_against
from voicefit.dialogue.functions.using import subject
from voicefit.dialogue.turn import Turn
from voicefit.matching import explain as explanations
from voicefit.matching.aspect import Bools
from voicefit.quantities import Quantity, exact
from voicefit.records import Command, Measurand, Option, Reading

_WOULD_HAVE = (
    Measurand.PITCH,
    Measurand.FLANK_ANGLE,
    Measurand.TUBE_OUTSIDE_DIAMETER,
    Measurand.FLANGE_HEAD_THICKNESS,
    Measurand.SEAT_FORM,
    Measurand.SEAL,
    Measurand.TAPER,
)
_WHY = frozenset({"how", "why", "what"})  # not asked whether, but what speaks for or against it
_MAY = frozenset({"can", "could", "may", "should", "shall"})
_USES = frozenset(
    {"put", "use", "fit", "screw", "connect", "join", "mate", "run", "couple", "hook", "bolt", "clamp", "swap"}
)
_MOST_DIFFERENCES = 2
_MOST_REASONS = 2


def why_not(turn: Turn, command: Command) -> None:
    identification.report_now(turn)
    series = command.argument or ""
    if not series:
        _whether(turn, command)
        return
    name = turn.knowledge.series_words(series)
    if name is None:
        turn.say("why-not-unknown")
        return
    if not turn.piece.readings:
        turn.say("why-nothing")
        return
    leader = turn.belief.leader
    if leader is not None and turn.knowledge.catalogue.ends[leader.row].series == series:
        turn.say("why-not-leads", end=turn.knowledge.end_words(leader.row))
        return
    reasons = _against(turn, series)
    if reasons:
        turn.say_list(reasons, "why-not", "reasons", series=name)
    else:
        turn.say("why-not-open", series=name)


def _whether(turn: Turn, command: Command) -> None:
    """Yes, it leads; not ruled out, and what would tell; or no, and why."""
    if not turn.piece.readings:
        turn.say("nothing-yet")
        return
    words = command.heard.casefold().split()
    if words[0] in _MAY and not _USES.isdisjoint(words) and _goes_on(turn, command):
        return
    named = _rows(turn, command)
    leader = _leading_row(turn)
    if leader is None or not named.any():
        turn.functions["where-are-we"](turn, command)
        return
    posterior, knowledge = turn.belief.posterior, turn.knowledge
    settled = turn.record.end_of(turn.piece) is not None
    if named[leader]:
        turn.say("whether-so" if settled else "whether-leads", end=knowledge.end_words(leader, brief=True))
        return
    ends = knowledge.catalogue.ends
    alike = named & np.array([end.gender is ends[leader].gender for end in ends])
    named = alike if alike.any() else named
    flange = ends[leader].flange is not None  # its sizes are called alike in each code
    alike = named & np.array([flange and end.nominal == ends[leader].nominal for end in ends])
    rows = np.flatnonzero(alike if alike.any() else named)
    row = int(rows[np.argmax(posterior.log_p[rows])])
    share = float(posterior.p[rows].sum())
    end = knowledge.end_words(row, brief=True)
    if not settled and share >= ALIVE:
        turn.say("whether-open", end=end)
        check = knowledge.separating(turn.piece, leader, row)
        if check is not None:
            turn.look(check=check, beside=())
            turn.ask("what-else-check", prompt=knowledge.prompt(check))
            return
    elif reasons := _against(turn, ends[row].id):
        why = words[0] in _WHY or not DANGER.isdisjoint(words)  # a "no" would say that it is not dangerous
        turn.say("why" if why else "whether-not", reasons="; ".join(reasons[:_MOST_REASONS]))
        return
    else:
        turn.say("whether-other", end=knowledge.end_words(leader, brief=True))
    if differences := _differences(turn, row, leader):
        turn.say("whether-would-have", end=end, items=", ".join(differences))


def _goes_on(turn: Turn, command: Command) -> bool:
    """Whether what somebody means to put on goes on: of all that can be put on at all, what is as is named. Nothing is
    said, and it is false, where nothing named is of that."""
    about = subject(turn)
    if about is None:
        return True
    mating = turn.knowledge.aftercare.follow(about.row).mating
    near = {end.id for end in mating.mates} | {each.end.id for each in mating.conditional}
    near |= {each.end.id for each in mating.refusals}
    ends, series = turn.knowledge.catalogue.ends, series_put_on(turn, command)
    meant = np.array([end.id in near and (not series or end.series in series) for end in ends])
    told = bool(series)
    for reading in command.about:
        both = meant & _has(turn, reading)
        if len(reading.measurands) == 1 and both.any():  # of a bare number nobody knows what it is of
            meant, told = both, True
    if told:
        say_goes_on(turn, about.row, lambda end: bool(meant[turn.knowledge.names.rows[end.id]]))
    return told


def _against(turn: Turn, name: str) -> tuple[str, ...]:
    """What the readings say against a series or an end, by id, in words, with its own numbers."""
    belief = turn.knowledge.believe(turn.piece)
    found = explanations.why_not(turn.knowledge.matcher, belief.posterior, name)
    telling = () if found is None else (each for each in found.reasons if each.weight_bit >= LEAST_BIT)
    return tuple(speaks_against(turn, each, belief.taken[each.reading].option) for each in telling)


def _leading_row(turn: Turn) -> int | None:
    end = turn.record.end_of(turn.piece)
    row = None if end is None else turn.knowledge.row_of(end)
    if row is not None:
        return row
    return None if turn.belief.leader is None else standing.the_end(turn.knowledge, turn.belief)


def _rows(turn: Turn, command: Command) -> Bools:
    """The ends that are as is named: of the series that a word of it names, and as each reading says.

    What no end of the others has is passed over: of "M eighteen, a cone" the cone alone may be no end's.
    """
    ends = turn.knowledge.catalogue.ends
    series = series_named(turn, command)
    told = bool(series)
    named = np.array([not told or end.series in series for end in ends])
    for reading in command.about:
        both = named & _has(turn, reading)
        if both.any():
            named, told = both, True
    return named if told else np.zeros(len(ends), dtype=bool)


def _has(turn: Turn, reading: Reading) -> Bools:
    """The ends that have what the reading says, of several things the likeliest.

    A number without its measure is the angle of a seat where some seat has it ("could it be forty-five"), or else a
    size that an end is called by.
    """
    matcher, log_p = turn.knowledge.matcher, turn.belief.posterior.log_p
    ends = turn.knowledge.catalogue.ends
    options: Sequence[Option] = reading.options
    found = []
    if len(reading.measurands) > 1 and isinstance(size := options[0].value, Quantity):
        angles = [each for each in options if each.measurand is Measurand.SEAT_ANGLE]
        options = angles if any(_has_it(turn, each).any() for each in angles) else options
        if not angles or options is not angles:
            found.append(np.array([_is_called(end.nominal, size) for end in ends]))
    found += [_has_it(turn, option) for option in options if matcher.tells(option.measurand)]
    found = [each for each in found if each.any()]
    if not found:
        return np.zeros(len(ends), dtype=bool)
    return max(found, key=lambda rows: float(log_p[:-1][rows].max()))


def _has_it(turn: Turn, option: Option) -> Bools:
    """The ends that have a value of this kind, and to which it fits at its word."""
    ends, aspect = turn.knowledge.catalogue.ends, turn.knowledge.matcher.aspect(option.measurand)
    has = np.array([explanations.nominal(end, option.measurand) is not None for end in ends])
    return has & np.asarray(aspect.fits(option))[aspect.class_of][: len(ends)]


def _is_called(nominal: str, size: Quantity) -> bool:
    try:
        return exact(nominal) == size.value
    except ValueError:
        return False


def _differences(turn: Turn, row: int, leader: int) -> Sequence[str]:
    """What an end has and the leader has otherwise, in words."""
    ends, wording = turn.knowledge.catalogue.ends, turn.knowledge.wording
    found = []
    for measurand in _WOULD_HAVE:
        own, other = (explanations.nominal(ends[each], measurand) for each in (row, leader))
        if own is not None and own != other:
            words = wording.reading(Option(measurand, own))
            recalled = explanations.recalled(ends[row], measurand)
            found.append(wording.phrase("from-memory-within", value=words) if recalled else words)
    return found[:_MOST_DIFFERENCES]


TABLE: Mapping[str, Does] = {"why-not": why_not}
