"""The technician of the matching benchmark in words: each answer is said in one of several ways, and interpreted.

The ways to say a thing are of this benchmark, hedges, negatives and filler included; none is taken from ``grammar/``.
What is not understood is said again, plainly; that costs a turn. What is understood as something else stays so.

Duty: words for a reading, and the reading that comes of them. It must not look at the matcher.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from voicefit.interpretation import Language
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Command, Context, Measurand, Option, Reading

AROUND = ("{}", "{}", "{}", "it's {}", "I get {}", "uh, {}", "looks like {}")
HEDGED = ("about {}", "just under {}", "I think {}", "roughly {}")
HEDGES = 0.06  # of what is measured
UNITS = {Unit.INCH: ("", " inch", " of an inch"), Unit.MILLIMETRE: (" millimeters", " mil", " millimeter")}
PLACES = {
    Measurand.OUTSIDE_DIAMETER: ("outside {}", "{} outside", "outside diameter {}", "{} across the outside"),
    Measurand.MOUTH_DIAMETER: ("mouth {}", "{}", "{} across the mouth", "the mouth is {}"),
    Measurand.BOLT_CIRCLE: ("{}", "bolt circle {}", "{} across the corners"),
    Measurand.INSIDE_DIAMETER: ("inside {}", "{} inside", "inside diameter {}", "{} on the inside"),
}
PITCHES = {
    Unit.THREADS_PER_INCH: ("{}", "{} pitch", "{} threads per inch", "the {} leaf fits", "{} to the inch"),
    Unit.MILLIMETRE: ("{} millimeter pitch", "{} millimeters", "pitch {} millimeters"),
}
ANGLES = ("{}", "{} degrees", "{} degree")
WORDS = {
    "male": ("male", "it's a male", "a male one"),
    "female": ("female", "it's a female", "a female one"),
    "port": ("a port", "it's a port", "port"),
    "stud": ("a stud", "it's a stud", "stud"),
    "convex": ("it sticks out", "out", "it stands out", "convex"),
    "recessed": ("it goes in", "in", "recessed", "it's recessed"),
    "flat": ("flat", "it's flat", "a flat face"),
    "shoulder": ("a shoulder", "shoulder", "just a shoulder"),
    "none": ("no seat", "none", "there is no seat"),
    "metal": ("metal to metal", "metal on metal", "no ring, metal"),
    "cone_o_ring": ("o ring in the cone", "an o ring in the cone", "there's an o ring in the cone"),
    "face_o_ring": ("o ring in the face", "there's an o ring in the face", "an o ring in the flat face"),
    "base_o_ring": ("o ring at the base", "an o ring at the base of the thread", "there's an o ring behind the thread"),
    "washer": ("a washer", "sealing washer", "it has a bonded washer"),
    "cutting_ring": ("a cutting ring", "cutting ring", "there's a cutting ring on the tube"),
    "thread": ("the thread seals", "it seals on the thread", "on the thread"),
    "flange_o_ring": ("o ring in the flange", "flange o ring", "an o ring in the flange head"),
    "bore_o_ring": ("o ring in the bore", "an o ring in the bore", "o ring on the spigot"),
    "tapered": ("tapered", "it's tapered", "it tapers"),
    "absent": ("no chamfer", "there is no chamfer", "it's not chamfered"),
    "hydraulic": ("hydraulic oil", "oil", "it's oil"),
    "air_conditioning": ("refrigerant", "it's refrigerant"),
    "brake_line": ("brake fluid", "it's brake fluid"),
    "air_brake": ("air", "it's air"),
    "fuel_injection": ("fuel", "it's fuel"),
    "compressed_gas": ("gas", "it's gas"),
    "parallel": ("parallel", "it's parallel", "straight, no taper", "not tapered"),
}
YES = ("yes", "yes", "yeah", "yep", "yes it is")
NO = ("no", "no", "nope", "nah", "no it isn't")
GAP, NO_GAP = ("yes", "there's a gap", "yes there is a gap"), ("no", "no gap", "no light", "it fits")


class Speaker:
    """Says readings and hears what became of them. ``said`` , ``refused`` and ``misread`` : how many so far."""

    def __init__(self, language: Language, random: np.random.Generator) -> None:
        self._language, self._random = language, random
        self.said = self.refused = self.misread = 0

    def heard(self, readings: Sequence[tuple[Check, Reading]]) -> tuple[list[Reading], int]:
        """The readings as they were understood, said in one breath; and the turns that saying it again cost."""
        self.said += 1
        words = ", ".join(self.words(check, reading.options[0]) for check, reading in readings)
        found = self.understood(words, [check for check, _ in readings])
        again = 0
        if found is None:
            self.refused += 1
            found, again = [], len(readings)
            for check, reading in readings:
                found += self.understood(self.words(check, reading.options[0], plain=True), [check]) or [reading]
        wanted = {(o.measurand, o.value, o.negated) for _, reading in readings for o in reading.options}
        told = {(o.measurand, o.value, o.negated) for reading in found for o in reading.options}
        self.misread += not all(any(_like(each, other) for other in told) for each in wanted)
        return found, again

    def words(self, check: Check, option: Option, *, plain: bool = False) -> str:
        """One way to say it; the first and plainest with ``plain``."""
        if check.yes is not None:
            is_yes = option.negated == check.yes.negated
            if check.yes.negated and check.slots:
                return self._one(GAP if is_yes else NO_GAP, plain=plain)
            return self._one(YES if is_yes else NO, plain=plain)
        if not isinstance(option.value, Quantity):
            return self._around(self._one(WORDS[str(option.value)], plain=plain), plain=plain)
        number = say_number(option.value.value)
        if option.measurand is Measurand.PITCH:
            return self._around(self._one(PITCHES[option.value.unit], plain=plain).format(number), plain=plain)
        if option.value.unit is Unit.DEGREE:
            return self._around(self._one(ANGLES, plain=plain).format(number), plain=plain)
        value = number + self._one(UNITS[option.value.unit][: 2 if option.value.value > 1 else 3], plain=plain)
        if not plain and self._random.random() < HEDGES:
            value = self._one(HEDGED, plain=False).format(value)
        return self._around(self._one(PLACES.get(option.measurand, ("{}",)), plain=plain).format(value), plain=plain)

    def understood(self, words: str, checks: Sequence[Check]) -> list[Reading] | None:
        """What the words mean where ``checks`` were asked; ``None`` where anything in them is not understood."""
        check = checks[0]
        context = Context(
            expected=tuple(dict.fromkeys(m for each in checks for m in _expected(each))),
            yes_no=check.yes is not None,
            misfit=check.yes is not None and check.yes.negated,
            asked=check.yes,
        )
        meaning = max(self._language.interpret(words, context), key=lambda each: each.log_weight)
        found: list[Reading] = []
        for item in meaning.items:
            if isinstance(item, Command) and item.name in ("yes", "no") and check.yes is not None:
                option = check.yes if item.name == "yes" else check.no
                assert option is not None
                found.append(Reading(item.heard, (option,), asked=check.id))
            elif isinstance(item, Reading):
                asked = next((each.id for each in checks if set(_expected(each)) & item.measurands), None)
                found.append(replace(item, asked=asked))
            else:
                return None
        return found or None

    def _one(self, ways: Sequence[str], *, plain: bool) -> str:
        return ways[0] if plain else ways[int(self._random.integers(len(ways)))]

    def _around(self, words: str, *, plain: bool) -> str:
        return self._one(AROUND, plain=plain).format(words)


def _expected(check: Check) -> tuple[Measurand, ...]:
    sides = (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER)
    return sides if check.measurand in sides else (check.measurand,)


def _like(first: tuple[object, ...], second: tuple[object, ...]) -> bool:
    """Whether two options say the same, their resolution aside."""
    (m1, v1, n1), (m2, v2, n2) = first, second
    if (m1, n1) != (m2, n2):
        return False
    if isinstance(v1, Quantity) and isinstance(v2, Quantity):
        return (v1.value, v1.unit) == (v2.value, v2.unit)
    return v1 == v2
