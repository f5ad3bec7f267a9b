"""Questions about one thing of an end: whether something else goes on it, which sizes it has, which spanner it takes,
which hose belongs to it.

Answered for the end that was identified or decided, and for the one that leads on the condition that it is it, as all
that follows (:mod:`voicefit.dialogue.functions.using`).

Duty: look them up and say them. It must not judge what mates (:mod:`voicefit.ordering.mating` does).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.using import BOLTS, subject
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.asked import families
from voicefit.interpretation.spelling import say_number
from voicefit.ordering.mating import Obstacle
from voicefit.records import Command, Gender

_RINGS = frozenset({"oring", "o-ring", "ring", "o", "seal"})
_SPANNERS = frozenset({"spanner", "spanners", "wrench", "key", "socket", "flats", "head"})
_SCREWS_ON = frozenset({Obstacle.SEAT_ANGLE, Obstacle.SEAT_FORM, Obstacle.SEALING})  # on the same thread


def goes_on(turn: Turn, command: Command) -> None:
    """Whether an end of a series, or of a country's, goes on."""
    series = series_put_on(turn, command)
    about = subject(turn)
    if about is not None:
        say_goes_on(turn, about.row, lambda end: end.series in series)


def say_goes_on(turn: Turn, row: int, is_meant: Callable[[CandidateEnd], bool]) -> None:
    """Whether one of the ends that are meant goes on: yes, only if, or no and why. What screws on and seals elsewhere
    is said to: that it goes on proves nothing."""
    names, wording = turn.knowledge.names, turn.knowledge.wording
    mating = turn.knowledge.aftercare.follow(row).mating
    mates = tuple(dict.fromkeys(names.end(end, brief=True) for end in mating.mates if is_meant(end)))
    held = {names.end(each.end, brief=True): each for each in mating.conditional if is_meant(each.end)}
    refusals = {names.end(each.end, brief=True): each for each in mating.refusals if is_meant(each.end)}
    if mates:
        turn.say("goes-on", item=mates[0])
    elif held:
        end, each = next(iter(held.items()))
        turn.say("goes-on-if", item=wording.phrase("mate-only-if", end=end, condition=each.condition))
    for end, refusal in list(refusals.items())[:1]:
        reason = wording.plain(f"refusal.{refusal.reason.value}")
        words = wording.phrase("refusal", end=end, reason=reason)
        if mates or held:
            turn.add("goes-on-not-all", item=words)
        else:
            turn.say("screws-on" if refusal.reason in _SCREWS_ON else "goes-on-never", item=words)
    if not (mates or held or refusals):
        own = tuple(dict.fromkeys(names.end(end, brief=True) for end in mating.mates))
        turn.say("goes-on-no", item=own[0] if own else wording.plain("nothing"))


def series_named(turn: Turn, command: Command) -> frozenset[str]:
    """Ids of the series that are asked about: the one named, or all that one of the words names ("British")."""
    if command.argument is not None:
        return frozenset({command.argument})
    said = families(command.heard.casefold().replace("-", " ").split())
    catalogue = turn.knowledge.catalogue
    return frozenset(
        each.id
        for each in catalogue.series.values()
        if said & {word for name in (*each.words, each.spoken_name) for word in name.casefold().split()}
    )


def series_put_on(turn: Turn, command: Command) -> frozenset[str]:
    """The same, and what is called by the number of its code or cone alone: "sixty one clamps", "a forty five"."""
    heard = re.sub(r"\d+", lambda found: say_number(int(found[0])), command.heard.casefold()).replace("-", " ")
    numbers = {number for number in range(21, 100) if re.search(rf"\b{say_number(number).replace('-', ' ')}\b", heard)}
    numbers = {number for number in numbers if number % 10}  # "thirty" may be so much else
    by_number = {i for i in turn.knowledge.catalogue.series if not numbers.isdisjoint(map(int, re.findall(r"\d+", i)))}
    return series_named(turn, command) or frozenset(by_number)


def sizes(turn: Turn, command: Command) -> None:
    """Thread, tube and hexagon, or head and bolts, as far as the catalogue has them."""
    about = subject(turn)
    if about is None:
        return
    knowledge = turn.knowledge
    end, wording = knowledge.catalogue.ends[about.row], knowledge.wording
    found = []
    if thread := knowledge.thread_words(about.row):
        if end.thread_basis is Basis.MEMORY:
            thread = wording.phrase("from-memory-within", value=thread)
        found.append(wording.phrase("its-thread-is", thread=thread))
    if end.tube_od_mm is not None:
        found.append(wording.phrase("its-tube-is", tube=knowledge.aftercare.tube(about.row)))
    found += knowledge.aftercare.plain_sizes(about.row)
    wrench = knowledge.aftercare.wrench(about.row)
    if wrench:
        turn.add("across-flats", size=wrench)
    if found:
        turn.say("listed", items=", ".join(found))
    elif not wrench:
        turn.say("still-identified" if turn.concluded else "leading", end=knowledge.end_words(about.row))


def which_hose(turn: Turn, command: Command) -> None:
    """The bore of the hose that an end of its size is made for, and how the rest of the hose is said."""
    about = subject(turn)
    if about is None:
        return
    end, wording = turn.knowledge.catalogue.ends[about.row], turn.knowledge.wording
    if end.dash is not None and end.gender not in (Gender.PORT, Gender.STUD):
        turn.say("hose-of-dash", size=wording.count(end.dash), bore=turn.knowledge.names.size(end))
    elif end.dn is not None and end.gender not in (Gender.PORT, Gender.STUD):
        turn.say("hose-of-bore", bore=wording.count(end.dn))
    else:
        turn.say("hose-by-other-end")


def spanner(turn: Turn, command: Command) -> None:
    """The size across the flats of the end that was identified or decided, else that it has to be measured."""
    words = set(command.heard.casefold().split())
    if words & BOLTS and not words & _SPANNERS:  # "what o ring and bolts"
        turn.functions["what-seals-it" if words & _RINGS else "sizes"](turn, command)
        return
    turn.asked = True
    end = turn.record.end_of(turn.piece)
    row = None if end is None else turn.knowledge.row_of(end)
    if row is not None and (wrench := turn.knowledge.aftercare.wrench(row)):
        turn.say("spanner-of-size", size=wrench)
    else:
        turn.say("spanner")


TABLE: Mapping[str, Does] = {"goes-on": goes_on, "sizes": sizes, "spanner": spanner, "which-hose": which_hose}
