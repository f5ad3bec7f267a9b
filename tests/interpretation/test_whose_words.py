"""What somebody does tells nothing of the end; what was read off an instrument is what that instrument reads; and how
certain it is what somebody doubts."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from voicefit.documents import answer_document
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Reading

DOINGS = (
    "I stripped that coupler on Tuesday",
    "my apprentice threw the flange away",
    "we're loading the male ends onto the wagon",
    "the storeman has swapped the banjo",
    "somebody wound tape round the threads",
    "painted the nut when I was bored",
    "the copper washer I already binned",
    "chuck me the spare, the nine sixteenths",
)
OBSERVED = {
    "I'm seeing a male": Measurand.GENDER,
    "we measured it at twenty millimeters outside": Measurand.OUTSIDE_DIAMETER,
    "I dropped it this morning, but it's a male": Measurand.GENDER,
    "the foreman wants it today and it's tapered": Measurand.TAPER,
    "I cleaned it up, the cone sticks out": Measurand.SEAT_FORM,
    "the threads go in, they're tapered": Measurand.TAPER,
    "I put it on the bench, sixteen pitch": Measurand.PITCH,
}
TO_ANOTHER = (
    "yes, Winston, I'll be down shortly",
    "no, Olga, stop leaning on that",
)
ANSWERS = ("yes, it sticks out", "no, I checked that", "yes, I'm sure")
READ_OFF = {
    "fifteen by the caliper": {Measurand.OUTSIDE_DIAMETER, Measurand.TUBE_OUTSIDE_DIAMETER},
    "the display shows point eight four": {Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER},
    "with the metric leaf I get one point five": {Measurand.PITCH},
    "sixty on the protractor": {Measurand.SEAT_ANGLE},
    "eighteen off the gauge": {Measurand.PITCH, Measurand.SEAT_ANGLE},
}
NEVER_READ_OFF = {
    "fifteen by the caliper": {Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.DASH},
    "the display shows point eight four": {Measurand.PITCH},
    "with the metric leaf I get one point five": {Measurand.OUTSIDE_DIAMETER},
    "sixty on the protractor": {Measurand.OUTSIDE_DIAMETER, Measurand.LENGTH},
    "eighteen off the gauge": {Measurand.OUTSIDE_DIAMETER},
}
SURE = ("eighteen pitch", "it's tapered", "about twenty outside", "definitely a male")
LIKELY = ("I reckon it's tapered", "eighteen pitch I think", "it looks like a male")
DOUBTED = (
    "might be eighteen pitch",
    "could well be tapered",
    "possibly a male",
    "tapered, but don't hold me to it",
    "eighteen pitch, I wouldn't put money on it",
)


def _readings(language: Language, text: str, context: Context | None = None) -> list[Reading]:
    return [item for item in language.interpret(text, context or Context())[0].items if isinstance(item, Reading)]


@pytest.mark.parametrize("text", DOINGS)
def test_what_somebody_does_is_no_reading(language: Language, text: str) -> None:
    assert not _readings(language, text)


@pytest.mark.parametrize("text", OBSERVED)
def test_what_is_observed_beside_it_is_taken(language: Language, text: str) -> None:
    assert [reading for reading in _readings(language, text) if OBSERVED[text] in reading.measurands]


@pytest.mark.parametrize("text", [*TO_ANOTHER, *ANSWERS])
def test_who_speaks_to_another_does_not_answer(language: Language, text: str) -> None:
    items = language.interpret(text, Context(expected=(Measurand.SEAT_FORM,), yes_no=True))[0].items
    answered = any(isinstance(item, Command) and item.name in ("yes", "no") for item in items) or any(
        isinstance(item, Reading) for item in items
    )
    assert answered == (text in ANSWERS), items


@pytest.mark.parametrize("text", READ_OFF)
def test_what_was_read_off_an_instrument(language: Language, text: str) -> None:
    (reading,) = _readings(language, text)
    assert READ_OFF[text] <= reading.measurands and NEVER_READ_OFF[text].isdisjoint(reading.measurands)


@pytest.mark.parametrize("text", [*SURE, *LIKELY, *DOUBTED])
def test_how_certain_it_is(language: Language, text: str) -> None:
    certain = [option.certainty for reading in _readings(language, text) for option in reading.options]
    least, most = (1, 1) if text in SURE else (0.65, 0.75) if text in LIKELY else (0.5, 0.65)
    assert certain and all(least <= each <= most for each in certain), certain


@pytest.mark.parametrize("text", ["could be thirty seven degrees", "thirty seven degrees"])
def test_the_json_shows_the_doubt(text: str) -> None:
    talk = Talk(knowledge_of_the_project())
    talk.say(text)
    (reading,) = answer_document(talk.knowledge.catalogue, talk.session.snapshot()).readings
    assert (reading.probability < 0.75) == text.startswith("could") and reading.probability > 0.3


@pytest.mark.parametrize(
    ("text", "alarm"),
    [
        ("there's a fine spray coming off the crimp", "leak"),
        ("a mist is hanging round the joint", "leak"),
        ("the line on the ram went pop", "leak"),
        ("got it in my eye", "in-the-eye"),
        ("there's room for it in the face", None),
        ("the groove for it is in the face", None),
    ],
)
def test_alarms_ring_for_what_is_one(language: Language, text: str, alarm: str | None) -> None:
    called = {item.name for item in language.interpret(text)[0].items if isinstance(item, Command)}
    assert (alarm in called) if alarm else not called & {"leak", "in-the-eye", "hurt", "injected"}
