"""Somebody was said to be hurt: whatever is asked then, or not understood, is answered with what to do for them.

It stays so until it is said that it was a false alarm, or the work goes on with a reading: who kneels beside the hurt
man asks "what do I do", not by the words of any function, and must not hear "What diameter?".

Duty: whether what was said is still of that. It must not say it (:mod:`voicefit.dialogue.functions.safety` does).
"""

from __future__ import annotations

from voicefit.dialogue import standing
from voicefit.dialogue.meanings import Confirm, Decision, Take, readings_of
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Rejection

# What who needs to know what to do may be taken to ask; a price, an undo or a new job is the work.
_ASKING_GROUPS = frozenset({"reasons", "teaching"})
_ASKING = frozenset(
    {"where-are-we", "what-do-you-have", "help", "hello", "aside", "beyond", "cannot-tell", "safety", "next"}
)
_USING = "using it"  # "what do I put on it": of the wound, where nothing leads yet
_OF_THE_BODY = word_set(
    "him her he she his himself herself mate finger fingers fingertip thumb hand hands palm wrist arm arms leg foot "
    "skin eye eyes face wound blood swelling swollen numb pain plaster bandage hospital doctor ambulance nurse"
)


def is_meant(turn: Turn, decision: Decision) -> bool:
    """Whether what was said is of the injury that is open: no reading, no alarm and no other function is called."""
    if not turn.focus.injury:
        return False
    if not isinstance(decision, Take | Confirm):
        return True
    meaning, by_id = decision.meaning, turn.knowledge.registry.by_id
    commands = [item for item in meaning.items if isinstance(item, Command)]
    of_safety = any(by_id[each.name].group == "safety" and each.name != "safety" for each in commands)
    if readings_of(meaning) or of_safety:
        return False
    groups = {by_id[each.name].group for each in commands}
    body = not _OF_THE_BODY.isdisjoint(meaning.text.casefold().replace(",", " ").split())
    asked = bool(groups & _ASKING_GROUPS) or any(each.name in _ASKING for each in commands)
    asked = asked or (_USING in groups and not standing.leads(turn.belief))
    return body or asked or all(isinstance(item, Rejection) for item in meaning.items)
