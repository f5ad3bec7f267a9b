"""Questions about one thing of an end: whether something else goes on it, which sizes it has, which spanner it takes.

Answered for the end that was identified or decided, and for the one that leads on the condition that it is it, as all
that follows (:mod:`voicefit.dialogue.functions.using`).

Duty: look them up and say them. It must not judge what mates (:mod:`voicefit.ordering.mating` does).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis
from voicefit.dialogue.functions import Does, its_hose
from voicefit.dialogue.functions.using import BOLTS
from voicefit.dialogue.named import NamedEnds, ends_named, is_named, is_sized, series_named, series_put_on
from voicefit.dialogue.put_on import as_put_on
from voicefit.dialogue.subjects import in_hand, say_lacking, subject
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.spelling import say_number
from voicefit.matching.aspect import Bools
from voicefit.ordering.mating import Mating, Obstacle
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Gender, Measurand, Reading

_DASH, SIXTEENTHS = frozenset({"dash"}), 16
_HOSE, _OF_A_FAMILY = frozenset({"hose", "hoses"}), frozenset({Measurand.SERIES, Measurand.THREAD_SYSTEM})
_RINGS = frozenset({"oring", "o-ring", "ring", "o", "seal"})
_FORMS = frozenset({"taper", "tapered", "parallel", "straight"})
# What a question of sizes names is answered, and no more.
_ASKED = {
    "thread": _FORMS | {"thread", "threads", "pitch", "threaded"},
    "tube": frozenset({"tube", "tubes", "tubing", "pipe", "pipes", "line"}),
    "hex": frozenset({"hex", "hexagon", "flats"}),
    "seat": frozenset({"angle", "degrees", "seat", "cone", "nose"}),
}
_METRIC = frozenset({"M", "M-taper"})
_INCH_SYSTEM = frozenset({"inch", "inches", "imperial"})
_METRIC_SYSTEM = frozenset({"metric", "millimeter", "millimeters", "millimetre", "millimetres"})
_SURE = 0.95
_SPANNERS = frozenset({"spanner", "spanners", "wrench", "key", "socket", "flats", "head"})
_NUT, _THIS_NUT = re.compile(r"\bnuts?\b"), re.compile(r"\b(this|my|that) [a-z ]*nut\b")  # the one in hand
_NUT_ON_IT = re.compile(r"\bnut [a-z ]*(on|onto|to|with|over) (it|this|that|this one)\b")
_NO_THREAD_MATTER = frozenset({Obstacle.STANDARD, Obstacle.TRADE})


def goes_on(turn: Turn, command: Command) -> None:
    """Whether an end of a series, or of a country's, or as it is named, goes on."""
    near = in_hand(turn)
    if near is not None and near.gender is Gender.FEMALE and _NUT_ON_IT.search(command.heard.casefold()):
        if (about := subject(turn, None)) is not None:
            _says_nut_on_nut(turn, command, about.row)
        return
    if command.other and command.about:
        _say_of_two(turn, command)
        return
    if command.other and is_put_on(turn, command, command.other):
        return
    series = series_put_on(turn, command)
    about = subject(turn, command)
    if about is not None and not _says_nut_on_nut(turn, command, about.row):
        say_goes_on(turn, about.row, lambda end: end.series in series)


def is_put_on(turn: Turn, command: Command, named: Sequence[Reading]) -> bool:
    """Whether what somebody means to put on goes on: that which is all of what is named, and nothing else. Nothing is
    said, and it is false, where nothing named is of that."""
    about = subject(turn, None)
    if about is None or _says_nut_on_nut(turn, command, about.row):
        return True
    hose = not _HOSE.isdisjoint(command.heard.casefold().split())
    if hose and not any(each.measurands & _OF_A_FAMILY for each in named):
        return its_hose.says_whether(turn, about.row, named)
    meant = as_put_on(turn, command, named)
    if meant.told:
        that = meant.words(turn, about.row)
        say_goes_on(turn, about.row, _among(turn, meant.rows), that, _among(turn, meant.threads))
    return meant.told


def _among(turn: Turn, rows: Bools) -> Callable[[CandidateEnd], bool]:
    return lambda end: bool(rows[turn.knowledge.names.rows[end.id]])


def _says_nut_on_nut(turn: Turn, command: Command, row: int) -> bool:
    """Say that a nut goes on no nut, where one is to go on one; whether it was said."""
    ends = turn.knowledge.catalogue.ends
    of_this = _THIS_NUT.search(command.heard.casefold()) is not None
    if of_this or ends[row].gender is not Gender.FEMALE or not _NUT.search(command.heard.casefold()):
        return False
    mates = turn.knowledge.aftercare.follow(row).mating.mates
    own = tuple(dict.fromkeys(turn.knowledge.names.end(end, brief=True) for end in mates))
    turn.say("nut-on-nut", item=own[0] if own else turn.knowledge.wording.plain("nothing"))
    return True


def _say_of_two(turn: Turn, command: Command) -> None:
    """Whether two ends that are named go together: of the size that is named, else of the one in hand or the usual."""
    knowledge, none = turn.knowledge, frozenset[str]()
    ends, near = knowledge.catalogue.ends, in_hand(turn)
    first = ends_named(turn, command.about, none, near, any_size=True)
    if first.lacks is not None and near is not None:
        first = ends_named(turn, command.about, none, None, any_size=True)
    second = (
        NamedEnds() if not first.rows else ends_named(turn, command.other, none, ends[first.rows[0]], any_size=True)
    )
    lacking = next((each for each in (first, second) if each.lacks is not None), None)
    turn.asked = True
    if lacking is not None:
        say_lacking(turn, lacking)
        return
    other = frozenset(ends[row].id for row in second.rows)
    reach = {row: reached(knowledge.aftercare.follow(row).mating) & other for row in first.rows}
    row = next((row for row in first.rows if reach[row]), first.rows[0])
    turn.say("of-the-end", end=knowledge.names.end(ends[row]))
    that = knowledge.names.end(ends[second.rows[0]], brief=True) if is_sized(command.other) else None
    say_goes_on(turn, row, lambda end: end.id in other, that)


def reached(mating: Mating) -> frozenset[str]:
    """Ids of all ends that can be put on, whether they seal or not."""
    sorted_ = (mating.mates, (each.end for each in mating.conditional), (each.end for each in mating.refusals))
    return frozenset(end.id for ends in sorted_ for end in ends)


def say_goes_on(
    turn: Turn,
    row: int,
    is_meant: Callable[[CandidateEnd], bool],
    that: str | None = None,
    if_thread: Callable[[CandidateEnd], bool] = lambda _: False,
) -> None:
    """Whether one of the ends that are meant goes on: yes, only if, or no and why. What screws on and seals elsewhere
    is said to: that it goes on proves nothing. ``that`` : what is meant, in words; ``if_thread`` : whether
    an end is meant only if the size that was named is its thread's."""
    names, wording = turn.knowledge.names, turn.knowledge.wording
    mating = turn.knowledge.aftercare.follow(row).mating
    meant = [end for end in mating.mates if is_meant(end)]
    mates = tuple(dict.fromkeys(names.end(end, brief=True) for end in meant if not if_thread(end)))
    held = {names.end(each.end, brief=True): each.condition for each in mating.conditional if is_meant(each.end)}
    threads = {names.end(e, brief=True): wording.phrase("is-its-thread", thread=names.thread(e)) for e in meant}
    held = held if mates else {**threads, **held}
    refusals = {names.end(each.end, brief=True): each for each in mating.refusals if is_meant(each.end)}
    if mates:
        turn.say("goes-on", item=mates[0])
    elif held:
        end, condition = next(iter(held.items()))
        turn.say("goes-on-if", item=wording.phrase("mate-only-if", end=end, condition=condition))
    for end, refusal in list(refusals.items())[:1]:
        reason = wording.plain(f"refusal.{refusal.reason.value}")
        words = wording.phrase("refusal", end=end, reason=reason)
        if mates or held:
            # What is named is a look-alike's name too: never left out where that screws on as if it were right.
            (turn.add if refusal.pitch_mismatch else turn.say)("goes-on-not-all", item=words)
        else:
            screws = refusal.end.thread is not None and refusal.reason not in _NO_THREAD_MATTER
            turn.say("screws-on" if screws else "goes-on-never", item=words)
    if mates or held or refusals:
        return
    own = tuple(dict.fromkeys(names.end(end, brief=True) for end in mating.mates))
    item = own[0] if own else wording.plain("nothing")
    if that is None:
        turn.say("goes-on-no", item=item)
    else:
        turn.say("goes-on-other", that=that, item=item)


def sizes(turn: Turn, command: Command) -> None:
    """Thread, tube and hexagon, or head and bolts, as far as the catalogue has them; of a dash, what it means."""
    if _say_dash(turn, command):
        turn.asked = True
        if ends_named(turn, command.about, series_named(turn, command), in_hand(turn)).lacks is not None:
            return
    words = frozenset(re.findall(r"[a-z]+", command.heard.casefold()))
    if words & (_INCH_SYSTEM | _METRIC_SYSTEM) and _say_likely_system(turn):
        return
    about = subject(turn, command)
    if about is None:
        return
    known = _sizes_of(turn, about.row, words)
    asked = [name for name, of in _ASKED.items() if words & of and name in known]
    found = [known[name] for name in asked or known if asked or name != "seat"]
    if "thread" in known and (system := _system_asked(turn, about.row, words)):
        turn.say(system, item=known["thread"])
    elif found:
        turn.say("listed", items=", ".join(found))
    else:
        turn.say("still-identified" if turn.concluded else "leading", end=turn.knowledge.end_words(about.row))


def _say_likely_system(turn: Turn) -> bool:
    """Whether the thread is of inches or metric, where the end is open and that is not; whether it was said."""
    if turn.record.end_of(turn.piece) is not None or not turn.piece.readings or turn.belief.leader is None:
        return False
    shares = {True: 0.0, False: 0.0}
    for end, share in zip(turn.knowledge.catalogue.ends, turn.belief.posterior.p[:-1], strict=True):
        if end.thread is not None:
            shares[end.thread.system in _METRIC] += float(share)
    if max(shares.values()) < _SURE:
        return False
    turn.say("system-metric" if shares[True] > shares[False] else "system-inch")
    return True


def _system_asked(turn: Turn, row: int, words: frozenset[str]) -> str | None:
    """The reply to whether a thread is of inches or metric; ``None`` where neither is asked."""
    thread = turn.knowledge.catalogue.ends[row].thread
    metric = thread is not None and thread.system in _METRIC
    is_so, is_not = (_METRIC_SYSTEM, _INCH_SYSTEM) if metric else (_INCH_SYSTEM, _METRIC_SYSTEM)
    if words & is_so and words & is_not:
        return "size-metric" if metric else "size-inch"
    return "goes-on" if words & is_so else "size-not-so" if words & is_not else None


def _sizes_of(turn: Turn, row: int, asked: frozenset[str]) -> Mapping[str, str]:
    """What the catalogue has of an end's sizes, in words, by what each is of; the form of its thread where the words
    that are ``asked`` have it."""
    knowledge = turn.knowledge
    end, wording = knowledge.catalogue.ends[row], knowledge.wording
    found = {}
    if thread := knowledge.thread_words(row):
        if end.thread is not None and asked & _FORMS:
            thread = f"{thread}, {'tapered' if end.thread.taper else 'parallel'}"
        if end.thread_basis is Basis.MEMORY:
            thread = wording.phrase("from-memory-within", value=thread)
        found["thread"] = wording.phrase("its-thread-is", thread=thread)
    if end.tube_od_mm is not None:
        found["tube"] = wording.phrase("its-tube-is", tube=knowledge.aftercare.tube(row))
    if plain := knowledge.aftercare.plain_sizes(row):
        found["head"] = ", ".join(plain)
    if wrench := knowledge.aftercare.wrench(row):
        found["hex"] = wording.phrase("its-flats-are", size=wrench)
    if end.seat_half_angle_deg is not None:
        half = Fraction(str(end.seat_half_angle_deg))
        found["seat"] = wording.phrase("its-angle-is", half=say_number(half), included=say_number(2 * half))
    return found


def _say_dash(turn: Turn, command: Command) -> bool:
    """What the dash is, of a question that has the word and a size: sixteenths of an inch. Whether it was said."""
    if not _DASH & set(command.heard.casefold().replace("-", " ").split()):
        return False
    for reading in command.about:
        values = [option.value for option in reading.options if isinstance(option.value, Quantity)]
        counts = [value.value for value in values if value.unit is Unit.COUNT]
        sixteenths = counts or [value.value * SIXTEENTHS for value in values if value.unit is Unit.INCH]
        if sixteenths and sixteenths[0].denominator == 1:
            size = say_number(sixteenths[0] / SIXTEENTHS)
            turn.say("dash-is", dash=say_number(sixteenths[0]), size=f"{size} inch" if size == "one" else size)
            return True
    return False


def spanner(turn: Turn, command: Command) -> None:
    """The size across the flats of the end that was identified or decided, else that it has to be measured."""
    words = set(command.heard.casefold().split())
    if words & BOLTS and not words & _SPANNERS:  # "what o ring and bolts"
        turn.functions["what-seals-it" if words & _RINGS else "sizes"](turn, command)
        return
    turn.asked = True
    if is_named(command.about):
        about = subject(turn, command, lambda end: end.hex_mm)
        row = None if about is None else about.row
    else:
        about, end = None, turn.record.end_of(turn.piece)
        row = None if end is None else turn.knowledge.row_of(end)
    if row is not None and (wrench := turn.knowledge.aftercare.wrench(row)):
        turn.say("spanner-of-size", size=wrench)
    elif about is not None or not is_named(command.about):
        turn.say("spanner")


TABLE: Mapping[str, Does] = {"goes-on": goes_on, "sizes": sizes, "spanner": spanner}
