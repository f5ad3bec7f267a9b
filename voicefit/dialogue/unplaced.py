"""What could not be placed, asked about alone: "Under the collar it's eighteen: is that the thread, the hex, the tube
or the seat?", "I did not place: cone between the two. Out, in, flat, a shoulder, or none?"

Duty: the number that was not placed, as of what is then named; and the check of what is named without a number. It must
not ask (:mod:`voicefit.dialogue.refusals`, :mod:`voicefit.dialogue.identification`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set

from voicefit.dialogue.record import END
from voicefit.dialogue.state import MOST_ASKED
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.quantities import Quantity
from voicefit.records import Check, Command, Context, Meaning, Measurand, Reading

_SAID_AS = {
    "outside": word_set("thread threads crests outside"),
    "inside": word_set("inside bore hole"),
    "hex": word_set("hex hexagon nut spanner flats"),
    "tube": word_set("tube pipe"),
    "seat": word_set("seat cone flare"),
    "pitch": word_set("pitch leaf leaves"),
}
_FEW = 5  # so many of something, rather than what a caliper reads
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
    number = turn.knowledge.language.number_in(said) if said else ""
    if not number or not words or not (unknown or len(words) <= 1 + bool(words & _NONE)):
        return meanings
    if unknown or words & _NONE:
        return [Meaning(text, (Command(_ASIDE, text),), 0.0)]
    named = next((name for name, ways in _SAID_AS.items() if words <= ways), None)
    if named is None:
        return meanings
    return turn.knowledge.language.interpret(f"{named} {number}", Context())


def hangs(turn: Turn, meaning: Meaning) -> bool:
    """Whether nothing is said but a whole number that one thinks it is, of what nobody asked for, or so few that they
    may be of anything: "I think it looks like two". It waits, and is asked about."""
    reading = meaning.items[0] if len(meaning.items) == 1 else None
    if not isinstance(reading, Reading) or turn.focus.question is not None or turn.piece.kind != END:
        return False
    values = {option.value for option in reading.options}
    numbers = [value for value in values if isinstance(value, Quantity)]
    doubted = all(option.certainty < 1.0 and not option.negated for option in reading.options)
    if (
        not doubted
        or len(reading.measurands) == 1
        or len(numbers) < len(values)
        or any(each.value.denominator > 1 for each in numbers)
    ):
        return False
    asked = {check.measurand for check in turn.focus.open_checks}
    few = Measurand.PITCH not in asked and all(each.value < _FEW for each in numbers)
    number = turn.knowledge.language.number_in(reading.heard)
    if (
        not number
        or turn.knowledge.language.says_a_unit(reading.heard)
        or not (few or asked.isdisjoint(reading.measurands))
    ):
        return False
    turn.look(unplaced=number)
    turn.report = True
    return True


def check_of(turn: Turn, said: str) -> Check | None:
    """The check that asks for what a word of it names, where that is not known yet and was not asked in vain."""
    known = {each.option.measurand for each in turn.belief.taken}
    glossary, says = turn.knowledge.glossary, turn.knowledge.language.interpret
    for word in re.findall(r"[a-z']+", said.casefold()):
        named = [glossary.things[thing] for thing, words in glossary.words["measured"].items() if word in words]
        items = says(word, Context())[0].items
        named += [item.measurands for item in items if isinstance(item, Reading) and not item.guessed]
        for of in named:
            check = check_named(turn, of) if of.isdisjoint(known) else None
            if check is not None and turn.times_asked(check) < MOST_ASKED:
                return check
    return None


def check_named(turn: Turn, of: Set[Measurand]) -> Check | None:
    """The check of one of these whose answer is a value: one that is advised, else the first; ``None``: none is."""
    advised = [check for check in turn.belief.advice.checks if check.measurand in of]
    entries = turn.knowledge.checks.values()
    others = (entry.check() for entry in entries if entry.measurand in of and entry.yes is None)
    return next(iter((*advised, *others)), None)
