"""How tight: the torques and turns of an end's joints, and of the screws that hold a flange.

A screw that is named while a flange is in hand is that flange's, or nobody's: of no other series' thread is a figure
said then. Where a flange has figures of several screws and none is named, it is asked which.

Duty: word this. It must not choose a screw.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from voicefit.catalogue.conditions import Material
from voicefit.catalogue.ends import Shape
from voicefit.dialogue import spoken
from voicefit.dialogue.functions import Does
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.subjects import Subject, flange_in_hand, subject
from voicefit.dialogue.turn import Turn
from voicefit.ordering.screws import Screw, sizes_of
from voicefit.quantities import Quantity
from voicefit.records import Command, Measurand, Seal

_MATERIALS = {each: frozenset({each.value}) for each in Material} | {
    Material.ALUMINIUM: frozenset({"aluminium", "aluminum", "alloy"}),
    Material.IRON: frozenset({"iron"}),
}
_TURNS = frozenset({"flats", "flat", "turns", "turn"})
_POUNDS = frozenset({"pounds", "pound", "lbs", "lb", "ft-lb", "ft-lbs", "ftlb", "ftlbs"})
_OF_A_SCREW = frozenset({Measurand.THREAD_SYSTEM, Measurand.THREAD_SIZE, Measurand.PITCH, Measurand.OUTSIDE_DIAMETER})
_SEVERAL = 2  # sizes


def torque(turn: Turn, command: Command) -> None:
    turn.look(which_screw=(0, 0, ()))
    screw, command = _screw_named(turn, command)
    about = subject(turn, command, lambda end: end.torque or end.turns)
    if about is None or not _of_screw(turn, about, screw):
        return
    words = turn.heard.casefold().split()
    pounds = turn.settings.length_unit == "in" or not _POUNDS.isdisjoint(words)
    by_turns = not _TURNS.isdisjoint(words)
    material = next((each for each in Material if _MATERIALS[each] & set(words)), None)
    says = partial(
        turn.knowledge.aftercare.tightening,
        about.row,
        about.belief.sealed_by,
        foot_pounds=pounds,
        turns_first=by_turns,
        seals=_seals_said(about.belief),
        screw=screw if turn.knowledge.catalogue.ends[about.row].flange is not None else None,
    )
    figures = says(material=material)
    if material is not None and not figures:
        turn.say("torque-not-in", material=material.value)
        figures = says()
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


def _seals_said(belief: Belief) -> frozenset[Seal]:
    """What seals it, as was said."""
    options = [each.option for each in belief.taken if each.option.measurand is Measurand.SEAL]
    return frozenset(Seal(option.value) for option in options if not option.negated and option.value in set(Seal))


def _screw_named(turn: Turn, command: Command) -> tuple[Screw | None, Command]:
    """The screw that is asked about, and the question without it: of a flange in hand, a bare thread is its screw's."""
    if command.argument is not None:
        _keep(turn, command.argument)
        return Screw.of(command.argument), command
    piece, told = turn.focus.screws
    if not command.about and told and piece == turn.piece.number and flange_in_hand(turn) is not None:
        return Screw.of(told), command
    sizes = [reading for reading in command.about if reading.measurands & _OF_A_SCREW]
    if len(sizes) != len(command.about) or not sizes or not flange_in_hand(turn):
        return None, command
    options = [option for reading in sizes for option in reading.options]
    size = next((each.value for each in options if isinstance(each.value, Quantity)), None)
    if size is None:
        return None, command
    value = size.value
    named = f"M{float(value):g}" if value.denominator == 1 else f"{value.numerator}/{value.denominator}"
    return Screw(named), replace(command, about=())


def _of_screw(turn: Turn, about: Subject, screw: Screw | None) -> bool:
    """Whether figures can be said of an end: of a flange, of the screw that is named or the only one; else why not."""
    end = turn.knowledge.catalogue.ends[about.row]
    if end.flange is None:
        if screw is None or end.shape is Shape.BANJO or end.seal is Seal.WASHER:
            return True
        turn.say("screws-none")
        return False
    figures = turn.knowledge.aftercare.follow(about.row).torque
    sizes = sizes_of(figures)
    named = screw or Screw()
    own = [figure for figure in figures if named.takes(figure)]
    if own and (named.size is not None or len(sizes_of(own)) < _SEVERAL):
        return True
    if own:
        turn.asked = True
        turn.look(which_screw=(turn.piece.number, turn.record.readings_made, sizes_of(own)))
        turn.say("screws-which-size" if named.strength else "screws-which", screws=_sizes_said(sizes_of(own)))
        return False
    if screw is None:
        return True
    if not sizes:
        turn.say("no-torque")
    elif screw.size is not None and not any(screw.is_of(size) for size in sizes):
        turn.say("screws-other", screw=spoken.aloud(screw.size), screws=_sizes_said(sizes))
    else:
        turn.say("screws-other-class", strength=spoken.aloud(screw.strength or ""))
    return False


def _sizes_said(sizes: tuple[str, ...]) -> str:
    said = [spoken.aloud(size) for size in sorted(sizes, key=lambda each: not each.startswith("M"))]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"


def screws(turn: Turn, command: Command) -> None:
    """What is told of the screws and asks for nothing: the figure, where it was just asked for; else whose they are;
    they are kept in mind for it."""
    if "torque" in turn.before.last.did:
        torque(turn, replace(command, name="torque"))
        return
    flange = flange_in_hand(turn)
    screw = Screw.of(command.argument or "")
    _keep(turn, command.argument or "")
    known = () if flange is None or flange.flange is None else (flange.flange.bolt_metric, flange.flange.bolt_inch)
    sizes = tuple(size for each in known if each for size in each.split(" or "))
    if sizes and screw.size is not None and not any(screw.is_of(size) for size in sizes):
        turn.say("screws-not-its", screw=spoken.aloud(screw.size), screws=_sizes_said(sizes))
    else:
        turn.say("screws-apart")


def _keep(turn: Turn, argument: str) -> None:
    """Keep what was told of the screws of the piece in mind; a class alone is that of the size told before."""
    piece, told = turn.focus.screws
    told = told if piece == turn.piece.number and Screw.of(argument).size is None else ""
    turn.look(screws=(turn.piece.number, f"{Screw.of(told).size or ''} {argument}".strip()))


TABLE: Mapping[str, Does] = {"torque": torque, "screws": screws}
