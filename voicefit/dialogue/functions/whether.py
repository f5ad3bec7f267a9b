"""Why not, and whether it is, what somebody names: "why not metric", "could it be forty-five instead".

Whatever is named stays a question: it is never put on record. It is answered from what is believed: whether that leads,
is not ruled out yet and by which check it would be, or what speaks against it, and what such an end would have.

Duty: this answer. It must not judge what is likely (the matcher does).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from voicefit.dialogue import identification, near, which_of_two
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.asking import DANGER
from voicefit.dialogue.functions.fitting import is_put_on
from voicefit.dialogue.functions.reasons import ALIVE, LEAST_BIT, speaks_against
from voicefit.dialogue.named import as_called, has, it_is, series_named, series_put_on
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.interpretation.wanted import SIZES
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
    Measurand.SEAT_ANGLE,
    Measurand.SEAL,
    Measurand.TAPER,
)
_WHY = frozenset({"how", "why", "what"})  # not asked whether, but what speaks for or against it
_WRONG = word_set("wrong mistaken lying off out rubbish nonsense")  # a yes would say that he is
_MATE_SAYS = re.compile(  # and no counterpart
    r"\bmy mate\b|\b(the|our|his|a|your|another) mate(?= (\w+ )?(says?|said|reckons?|thinks?|swears?|told|claims?)\b)"
)
_HOW_SO = ("how", "do")  # "how do I know"
_USES = word_set(
    "put use fit fits screw screws go goes connect join joined mate mates run couple hook bolt clamp swap hose"
)
_NAME_IT = SIZES | {Measurand.SERIES, Measurand.COUNTRY}
_MOST_DIFFERENCES = 2
_DIFFERS = word_set("difference differences differ differs different tell thick thicker")
_THICK = word_set("thick thicker thin thinner normal standard extra")
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
    if which_of_two.says(turn, command):
        return
    words = _MATE_SAYS.sub("he", command.heard.casefold()).split()
    if words[0] not in _WHY and not _USES.isdisjoint(words) and is_put_on(turn, command, command.about):
        return
    if any(Measurand.TEMPERATURE in reading.measurands for reading in command.about):
        turn.say("temperature-of-end")
        return
    leader = which_of_two.leading_row(turn)
    codes = _codes(turn, command, leader)
    named = np.array([end.series in codes for end in turn.knowledge.catalogue.ends]) if codes else _rows(turn, command)
    if (
        leader is not None
        and not _DIFFERS.isdisjoint(turn.heard.casefold().split())
        and _compares(turn, command, named, leader)
    ):
        return
    if leader is not None and words[0] in _WHY and near.is_its_name(turn, command, leader):
        near.say_name(turn, leader)
        return
    if leader is not None and not named[leader] and near.says_near(turn, command, leader):
        return
    if leader is not None and not named.any() and any(each.measurands & _NAME_IT for each in command.about):
        turn.say("whether-none")
    if leader is None or not named.any():
        turn.functions["where-are-we"](turn, command)
        return
    posterior, knowledge = turn.belief.posterior, turn.knowledge
    settled, ends = turn.record.end_of(turn.piece) is not None, knowledge.catalogue.ends
    if named[leader] and tuple(words[:2]) == _HOW_SO:
        turn.functions["why"](turn, command)  # it was not asked whether
        return
    if named[leader]:
        yes, which = ("whether-so", "still-identified") if settled else ("whether-leads", "leading")
        turn.say(yes if _WRONG.union(("or",)).isdisjoint(words) else which, end=knowledge.end_words(leader, brief=True))
        named = named & np.array([end.series in codes - {knowledge.catalogue.ends[leader].series} for end in ends])
        if named.any():  # "sixty-one, not sixty-two?"
            rows = _like(turn, named, leader)
            _say_differences(turn, int(rows[np.argmax(posterior.log_p[rows])]), leader)
        return
    rows = _like(turn, named, leader)
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
        # A "no" would say that it is not dangerous, or that he is not wrong.
        why = words[0] in _WHY or not (DANGER | _WRONG).isdisjoint(words)
        turn.say("why" if why else "whether-not", reasons="; ".join(reasons[:_MOST_REASONS]))
        return
    else:
        turn.say("whether-other", so=it_is(turn, leader))
    _say_differences(turn, row, leader)


def _compares(turn: Turn, command: Command, named: Bools, leader: int) -> bool:
    """Say in what the end that leads and another that is named differ, and the check that tells; of a flange, one of
    its size with a head of another thickness. Whether there is such a one."""
    knowledge, ends = turn.knowledge, turn.knowledge.catalogue.ends
    own = ends[leader]
    if not _THICK.isdisjoint(turn.heard.casefold().split()) and own.flange is not None:
        thick = [explanations.nominal(end, Measurand.FLANGE_HEAD_THICKNESS) for end in ends]
        alike = [(end.series, end.nominal, end.gender) == (own.series, own.nominal, own.gender) for end in ends]
        named = np.array([so and each not in (None, thick[leader]) for so, each in zip(alike, thick, strict=True)])
    else:
        each = [_threads(turn, reading) for reading in command.about] or [named]
        each = [rows & np.array([end.series != own.series for end in ends]) for rows in each]
        named = next((rows for rows in each if rows.any()), named & False)
    if not named.any():
        return False
    rows = _like(turn, named, leader)
    row = int(rows[np.argmax(turn.belief.posterior.log_p[rows])])
    for one, other in ((leader, row), (row, leader)):
        _say_differences(turn, one, other)
    if (check := knowledge.separating(turn.piece, leader, row)) is not None:
        turn.look(check=check, beside=())
        turn.ask("what-else-check", prompt=knowledge.prompt(check))
    return True


def _threads(turn: Turn, reading: Reading) -> Bools:
    """The ends that a reading names by their series or by their thread's size; else those that have what it says."""
    ends, named = turn.knowledge.catalogue.ends, [o for o in reading.options if o.measurand is Measurand.SERIES]
    sizes = [o.value for o in reading.options if o.measurand is Measurand.THREAD_SIZE and isinstance(o.value, Quantity)]
    angle = Measurand.SEAT_ANGLE in reading.measurands  # "to the forty-five"
    written = set() if angle else {(size.value, size.unit.value) for size in sizes}
    series = {option.value for option in named}
    threads = [end.thread for end in ends]
    by_size = [each is not None and (exact(each.size), each.size_unit) in written for each in threads]
    by_name = [end.series in series or so for end, so in zip(ends, by_size, strict=True)]
    return np.array(by_name) if any(by_name) else has(turn, reading)


def _say_differences(turn: Turn, row: int, leader: int) -> None:
    if differences := _differences(turn, row, leader):
        end = turn.knowledge.end_words(row, brief=True)
        turn.say("whether-would-have", end=end, items=", ".join(differences))


def _like(turn: Turn, named: Bools, leader: int) -> NDArray[np.intp]:
    """Rows of the ends that are named: of the leader's gender, and of its size where sizes are called
    alike, as those of flanges are in each code."""
    ends = turn.knowledge.catalogue.ends
    alike = named & np.array([end.gender is ends[leader].gender for end in ends])
    named = alike if alike.any() else named
    flange = ends[leader].flange is not None
    alike = named & np.array([flange and end.nominal == ends[leader].nominal for end in ends])
    return np.flatnonzero(alike if alike.any() else named)


def _codes(turn: Turn, command: Command, leader: int | None) -> frozenset[str]:
    """Ids of the flange series that are named by the numbers of their codes, where a flange is in hand."""
    ends = turn.knowledge.catalogue.ends
    if leader is None or ends[leader].flange is None:
        return frozenset()
    return series_put_on(turn, command) & {end.series for end in ends if end.flange is not None}


def _against(turn: Turn, name: str) -> tuple[str, ...]:
    """What the readings say against a series or an end, by id, in words, with its own numbers."""
    belief = turn.knowledge.believe(turn.piece)
    found = explanations.why_not(turn.knowledge.matcher, belief.posterior, name)
    telling = [] if found is None else [each for each in found.reasons if each.weight_bit >= LEAST_BIT]
    once = {each.taken_as: each for each in reversed(telling)}.values()  # "thirty-seven" says "not forty-five" too
    return tuple(speaks_against(turn, e, belief.taken[e.reading].option) for e in telling if e in once)


def _rows(turn: Turn, command: Command) -> Bools:
    """The ends that are as is named: of the series that a word of it names, and as each reading says.

    What no end of the others has is passed over where it does not name one: of "M eighteen, a cone" the cone alone may
    be no end's; but a light fourteen there is none.
    """
    ends = turn.knowledge.catalogue.ends
    series = series_named(turn, command)
    told = bool(series)
    named = np.array([not told or end.series in series for end in ends])
    for reading in command.about:
        if series and reading.measurands == {Measurand.COUNTRY}:
            continue  # "French" names one
        both = named & as_called(turn, reading)
        if both.any() or reading.measurands & _NAME_IT:
            named, told = both, True
    return named if told else np.zeros(len(ends), dtype=bool)


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
