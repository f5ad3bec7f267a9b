"""The interview about a hose: what was said, what fits it, what is asked next.

Each question is a :class:`~voicefit.records.Check` like those about ends, so that "can't tell", "next", "how" and
"repeat" work the same; its words are in ``grammar/replies.toml``.

Duty: the state of the interview from the record of a piece. It must not choose or judge a hose
(:mod:`voicefit.ordering`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from voicefit.catalogue.hoses import Hose
from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.ordering.hose import HoseFacts, Topic, facts_from, fitting
from voicefit.records import Advice, Check, Measurand, Reading

# Topics that are asked, the measurand of the answer (None: a note is recorded, or a fluid is named), and the seconds it
# takes to measure (common practice, no source).
ASKED: dict[Topic, tuple[Measurand | None, float]] = {
    Topic.SIZE: (Measurand.HOSE_BORE, 20.0),
    Topic.LENGTH: (Measurand.LENGTH, 30.0),
    Topic.TEMPERATURE: (Measurand.TEMPERATURE, 3.0),
    Topic.APPLICATION: (None, 5.0),
    Topic.MATERIAL: (None, 3.0),
    Topic.PRESSURE: (Measurand.PRESSURE, 3.0),
    Topic.DELIVERY: (None, 3.0),
}
NOTED = frozenset({Topic.APPLICATION, Topic.DELIVERY})  # answered in the user's own words, as sound
PREFIX = "hose-"  # of the ids of these checks
OF_A_HOSE = frozenset(
    {
        Measurand.HOSE_BORE,
        Measurand.HOSE_OUTSIDE_DIAMETER,
        Measurand.HOSE_TYPE,
        Measurand.REINFORCEMENT,
        Measurand.LENGTH,
        Measurand.ELBOW_ANGLE,
        Measurand.PRESSURE,
        Measurand.TEMPERATURE,
    }
)
OF_BOTH = frozenset({Measurand.DASH, Measurand.COUNTRY})


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an interview stands: the facts, the hoses that nothing speaks against, and what is asked next."""

    facts: HoseFacts
    hoses: tuple[Hose, ...]
    advice: Advice

    @property
    def types(self) -> tuple[str, ...]:
        """Names of the hose types that fit, each once."""
        return tuple(dict.fromkeys(hose.type.name for hose in self.hoses))


def standing(
    hoses: Iterable[Hose],
    taken: Iterable[ReadingTaken],
    answers: Iterable[tuple[str, str]],
    skipped: frozenset[str],
) -> Standing:
    """From the readings as taken, the answers that are no readings (topic, text), and the questions left out."""
    facts = facts_from([each.option for each in taken])
    for topic, text in answers:
        match Topic(topic):
            case Topic.MATERIAL:
                facts = replace(facts, fluid=text)
            case Topic.APPLICATION:
                facts = replace(facts, application=text)
            case Topic.DELIVERY:
                facts = replace(facts, delivery=text)
    asked = [topic for topic in facts.missing if topic in ASKED and PREFIX + topic not in skipped]
    if Topic.SIZE in asked and facts.hose_type is not None and facts.dash is not None:
        asked.remove(Topic.SIZE)
    check = question(asked[0]) if asked else None
    return Standing(facts, fitting(hoses, facts), Advice(check, False))


def question(topic: Topic) -> Check:
    measurand, time_s = ASKED[topic]
    return Check(PREFIX + topic, measurand or Measurand.HOSE_TYPE, time_s)


def topic_of(check: Check | None) -> Topic | None:
    """The topic of a question about a hose; ``None`` for other checks."""
    if check is None or not check.id.startswith(PREFIX):
        return None
    return Topic(check.id.removeprefix(PREFIX))


def tells_of_a_hose(reading: Reading) -> bool:
    """Whether the reading is about a hose and cannot be about an end."""
    return reading.measurands <= OF_A_HOSE


def tells_of_an_end(reading: Reading) -> bool:
    """Whether the reading is about an end and cannot be about a hose."""
    return not reading.measurands & (OF_A_HOSE | OF_BOTH)
