"""Commands that may lie over the same words.

Duty: tell them apart, and which of them is meant. It must not weigh them against what else the words may be.
"""

from __future__ import annotations

from voicefit.interpretation.chart import Match
from voicefit.interpretation.priors import command_prior
from voicefit.interpretation.readings import Call
from voicefit.interpretation.scene import Scene
from voicefit.records import Context


def soonest_of(calls: list[Match], answered: dict[int, float], context: Context, scene: Scene) -> dict[int, str]:
    """For each end, which of the commands over the same words is meant: nobody can be asked which, for they sound the
    same. The likelier one; then an answer to what was asked, the less costly, the first in the grammar."""
    ranks: dict[int, tuple[float, bool, int, str]] = {end: (-weight, False, -1, "") for end, weight in answered.items()}
    for end, call, own in calls:
        if call.phrase is None:
            likelier = -own - command_prior(call.name, context)
            rank = (likelier, call.costly, scene.commands.index(call.name), call.name)
            ranks[end] = min(rank, ranks.get(end, rank))
    return {end: rank[-1] for end, rank in ranks.items()}


def calls_of(matches: list[Match]) -> dict[tuple[int, str, str | None], list[tuple[Call, float]]]:
    groups: dict[tuple[int, str, str | None], list[tuple[Call, float]]] = {}
    for end, call, weight in matches:
        groups.setdefault((end, call.name, call.argument), []).append((call, weight))
    return groups
