"""Commands that may lie over the same words.

Duty: tell them apart, and which of them is meant. It must not weigh them against what else the words may be.
"""

from __future__ import annotations

from collections.abc import Sequence, Set

from voicefit.interpretation.chart import Match
from voicefit.interpretation.priors import command_prior
from voicefit.interpretation.readings import Call
from voicefit.interpretation.scene import Scene
from voicefit.interpretation.tokens import Token
from voicefit.records import Context

_DOWN, _THERE = "down", frozenset({"there", "here", "gently", "mate", "love", "will", "as", "on", "and", "before"})
_BEHIND_A_CALL = frozenset({"please", "now", "then", "for", "and", "of", "in", "is", "done", "finished", "with"})


def likeliest_at_each_end(
    calls: list[Match], answered: dict[int, float], context: Context, scene: Scene
) -> dict[int, str]:
    """For each end, the id of the command over the same words that is meant: nobody can be asked which, for they sound
    the same. The likelier one; then the less costly, the first in the grammar. ``calls`` : commands from one place on,
    with their ends and weights. ``answered`` : by end, the weight of an answer to what was asked, which at equal weight
    goes before all commands; its id is empty."""
    before_all = -1  # the place of an answer among the commands of the grammar
    ranks: dict[int, tuple[float, bool, int, str]] = {
        end: (-weight, False, before_all, "") for end, weight in answered.items()
    }
    for end, call, own in calls:
        if call.phrase is None:  # one that carries readings is told apart by them
            likelier = -own - command_prior(call.name, context)
            rank = (likelier, call.costly, scene.commands.index(call.name), call.name)
            ranks[end] = min(rank, ranks.get(end, rank))
    return {end: rank[-1] for end, rank in ranks.items()}


def keeping_of(calls: list[Match], tokens: Sequence[Token], keeping: Set[str]) -> tuple[str, int] | None:
    """Of the commands that a text begins with the one that keeps the words behind it, and the place in the text where
    those begin; ``None`` where none does, where one takes the whole text, or where what follows belongs to it."""
    end, name = max(((end, call.name) for end, call, _ in calls if call.name in keeping), default=(0, ""))
    if not name or any(end == len(tokens) for end, *_ in calls):
        return None
    if tokens[end].text in _THERE and tokens[end - 1].text == _DOWN:
        return None  # "put it down there"
    goes_on = any(token.paused for token in tokens[end + 1 :])  # "note for the second, keep the ring"
    return None if tokens[end].text in _BEHIND_A_CALL and not goes_on else (name, tokens[end].start)


def calls_of(matches: list[Match]) -> dict[tuple[int, str, str | None], list[tuple[Call, float]]]:
    """The commands by end, id and argument, each with its weight."""
    groups: dict[tuple[int, str, str | None], list[tuple[Call, float]]] = {}
    for end, call, weight in matches:
        groups.setdefault((end, call.name, call.argument), []).append((call, weight))
    return groups
