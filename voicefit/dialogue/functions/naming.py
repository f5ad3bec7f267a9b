"""The machine's name: spelled in one breath or several, or recorded as sound."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.numerals import spell as spell_together
from voicefit.records import Command


def name_machine(turn: Turn, command: Command) -> None:
    """Keep the name that was spelled in the same breath; without one, record it."""
    if command.argument:
        _keep(turn, command.argument)
        return
    turn.look(recording="machine")
    turn.say("machine")
    turn.do(Deed.RECORD, "machine")


def spell(turn: Turn, command: Command) -> None:
    """Begin to spell, or take the next piece of the name; it is read back letter by letter."""
    so_far = turn.focus.spelling or ()
    if command.argument is None:
        turn.leave()
        turn.look(spelling=so_far)
        turn.say("spell")
        return
    turn.leave()
    turn.look(spelling=(*so_far, command.argument))
    say_so_far(turn)


def say_so_far(turn: Turn) -> None:
    pieces = turn.focus.spelling or ()
    if pieces:
        turn.say("spelled-so-far", name=aloud(turn, joined(pieces)))
    else:
        turn.say("spell")


def done(turn: Turn, command: Command) -> None:
    pieces = turn.focus.spelling
    if pieces is None:
        turn.say("nothing-spelled")
    elif not pieces:
        turn.look(spelling=None)
        turn.say("name-dropped")
    else:
        _keep(turn, joined(pieces))


def _keep(turn: Turn, name: str) -> None:
    turn.log("machine", text=name)
    turn.leave()
    turn.say("machine-named", name=aloud(turn, name))


def joined(pieces: tuple[str, ...]) -> str:
    """Pieces side by side, words apart: ("loader", "A1", "2") is "loader A12"."""
    return spell_together(*pieces) or ""


def aloud(turn: Turn, name: str) -> str:
    return turn.knowledge.language.say_name(name)


TABLE: Mapping[str, Does] = {"name-machine": name_machine, "spell": spell, "done": done}
