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
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.ordering.hose import HoseFacts, Topic, facts_from, fitting
from voicefit.records import Advice, Check, Command, Item, Meaning, Measurand, Reading

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
# What a hose is for: common practice, no source.
APPLICATIONS = ("pressure-line", "return-line", "suction-line", "pilot-line", "drain-line")
_CORRECTS = frozenset({"no", "not", "sorry", "mean", "rather", "wait", "actually", "correction"})
ELBOWS, ONE_ELBOW = "elbows", "one-elbow"  # no topic of the interview: told, not asked
STRAIGHT = "straight"  # of one end, which the order has no place for
NOTED = frozenset({Topic.APPLICATION, Topic.DELIVERY})  # may be answered in the user's own words, as sound
WHERE = ("collect", "send")  # the two halves of a delivery that can be said
WHEN = ("today", "tomorrow", "this-week", "urgent")
PREFIX = "hose-"  # of the ids of these checks
OF_A_HOSE = frozenset(
    {
        Measurand.HOSE_BORE,
        Measurand.HOSE_OUTSIDE_DIAMETER,
        Measurand.HOSE_TYPE,
        Measurand.REINFORCEMENT,
        Measurand.LENGTH,
        Measurand.ELBOW_ANGLE,
        Measurand.ROUTE_BEND,
        Measurand.ROUTE_RADIUS,
        Measurand.PRESSURE,
        Measurand.TEMPERATURE,
    }
)
OF_BOTH = frozenset({Measurand.DASH, Measurand.COUNTRY})
SAID_OF_A_HOSE = OF_A_HOSE | OF_BOTH
ONE_VALUE = OF_A_HOSE - {Measurand.TEMPERATURE} | {Measurand.DASH}  # said again, it replaces what was said


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


def of_the_last_line(meaning: Meaning) -> Meaning:
    """The meaning without the lines that are gone back on: "suction, no, pressure" is of the pressure line."""
    if _CORRECTS.isdisjoint(meaning.text.casefold().replace(",", " ").split()):
        return meaning
    items = [_as_line(item, meaning.items[:at]) for at, item in enumerate(meaning.items)]
    lines = [at for at, item in enumerate(items) if _is_line(item)]
    if len(lines) < 2:
        return meaning
    return replace(meaning, items=(*items[: lines[0]], *items[lines[-1] :]))


def _is_line(item: Item) -> bool:
    return isinstance(item, Command) and item.name in APPLICATIONS


def _as_line(item: Item, before: Iterable[Item]) -> Item:
    """The word of a line by itself behind another line: "pressure" asks for none there."""
    alone = isinstance(item, Command) and item.heard.casefold() == item.name and any(map(_is_line, before))
    if isinstance(item, Command) and alone and f"{item.name}-line" in APPLICATIONS:
        return replace(item, name=f"{item.name}-line")
    return item


def standing(
    hoses: Iterable[Hose],
    taken: Iterable[ReadingTaken],
    answers: Iterable[tuple[str, str]],
    skipped: frozenset[str],
) -> Standing:
    """From the readings as taken, the answers that are no readings (topic, text), and the questions left out."""
    facts = facts_from([each.option for each in taken])
    for topic, text in answers:
        if topic == ELBOWS:
            facts = replace(facts, one_elbow=text == ONE_ELBOW)
            continue
        match Topic(topic):
            case Topic.MATERIAL:
                facts = replace(facts, fluid=text)
            case Topic.APPLICATION:
                facts = replace(facts, application=text)
            case Topic.DELIVERY:
                facts = replace(facts, delivery=text)
    asked = [topic.value for topic in facts.missing if topic in ASKED]
    asked += open_half(facts.delivery)
    asked = [name for name in asked if PREFIX + name not in skipped]
    return Standing(facts, fitting(hoses, facts), Advice((question(asked[0]),) if asked else ()))


def open_half(delivery: str | None) -> tuple[str, ...]:
    """The question about the half of a delivery that is still open; a note answers both.

    >>> open_half("collect"), open_half("send, today"), open_half("7c2e-1-note-1.flac")
    (('delivery-when',), (), ())
    """
    said = set() if delivery is None else set(delivery.split(", "))
    if not said or not said <= {*WHERE, *WHEN}:
        return ()
    return (
        *(["delivery-where"] if not said & set(WHERE) else []),
        *(["delivery-when"] if not said & set(WHEN) else []),
    )


def with_half(delivery: str | None, half: str) -> str:
    """A delivery with one half said, in place of what was said of that half: where before when.

    >>> with_half(with_half("today", "collect"), "tomorrow")
    'collect, tomorrow'
    """
    same = WHERE if half in WHERE else WHEN
    others = [each for each in (delivery or "").split(", ") if each in (*WHERE, *WHEN) and each not in same]
    return ", ".join(sorted((half, *others), key=(*WHERE, *WHEN).index))


def question(name: str) -> Check:
    """The question of that name: a topic, or one half of the delivery."""
    measurand, time_s = ASKED[Topic(name.partition("-")[0])]
    return Check(PREFIX + name, measurand or Measurand.HOSE_TYPE, time_s)


def question_name(check: Check) -> str | None:
    """Under which name its words are kept; ``None`` for checks that are not about a hose."""
    return check.id.removeprefix(PREFIX) if check.id.startswith(PREFIX) else None


def topic_of(check: Check | None) -> Topic | None:
    """The topic of a question about a hose; ``None`` for other checks."""
    if check is None or not check.id.startswith(PREFIX):
        return None
    return Topic(check.id.removeprefix(PREFIX).partition("-")[0])


def tells_of_a_hose(reading: Reading) -> bool:
    """Whether the reading is about a hose and cannot be about an end."""
    return reading.measurands <= OF_A_HOSE


def tells_of_an_end(reading: Reading) -> bool:
    """Whether the reading is about an end and cannot be about a hose."""
    return not reading.measurands & SAID_OF_A_HOSE


def is_where_it_sits(hose: Command, meaning: Meaning) -> bool:
    """Whether a hose is only named before the end of it that is told: "hose nut, fourteen and a half inside"."""
    readings = readings_of(meaning)
    alone = hose.heard.casefold() == HOSE and 1 < len(meaning.items) == len(readings) + 1
    return alone and all(map(tells_of_an_end, readings))
