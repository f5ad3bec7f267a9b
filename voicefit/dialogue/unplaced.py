"""The answer to "Under the collar it's eighteen: is that the thread, the hex, the tube or the seat?"

Duty: the number that was not placed, as of what is then named. It must not ask (:mod:`voicefit.dialogue.refusals`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Context, Meaning

_SAID_AS = {
    "outside": word_set("thread threads crests outside"),
    "inside": word_set("inside bore hole"),
    "hex": word_set("hex hexagon nut spanner flats"),
    "tube": word_set("tube pipe"),
    "seat": word_set("seat cone flare"),
}
_NONE = word_set("no none neither nope nah nothing forget leave skip ignore")
_HOLLOW = word_set("the a an it it's its that that's thats this is was of on yes yeah them those these")
_ASIDE, _CANNOT_TELL = "aside", "cannot-tell"


def answered(turn: Turn, meanings: Sequence[Meaning]) -> Sequence[Meaning]:
    """What was said, as the number that waits, of what is named; where that is none of those, nothing is said of it."""
    said = turn.focus.unplaced
    turn.look(unplaced="")
    text = meanings[0].text
    words = {word for word in re.findall(r"[a-z']+", text.casefold()) if word not in _HOLLOW}
    unknown = [each for each in meanings[0].items if isinstance(each, Command) and each.name == _CANNOT_TELL]
    if not said or not words or not (unknown or len(words) <= 1 + bool(words & _NONE)):
        return meanings
    if unknown or words & _NONE:
        return [Meaning(text, (Command(_ASIDE, text),), 0.0)]
    named = next((name for name, ways in _SAID_AS.items() if words <= ways), None)
    if named is None:
        return meanings
    language = turn.knowledge.language
    return language.interpret(f"{named} {language.number_in(said)}", Context())
