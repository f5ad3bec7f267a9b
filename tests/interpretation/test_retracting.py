"""What somebody goes back on in the same breath is not taken, whatever else is said."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Reading

GONE = (
    "the length was ninety, no, that was the old pipe",
    "eleven sixteenths outside, or was it thirteen, I'd better do it over",
    "it's a port, no, that's the neighbour of it",
    "the hex is thirty, did I say thirty, I can't read this thing",
    "it's tapered, disregard that, the light was poor",
    "twenty one outside, no, don't record that, it was the nut",
    "copper washer, no wait, that came off the scrap",
    "twelve pitch, hang on, I had the gauge the wrong way up",
    "the manager calls it metric but I'm not persuaded",
    "somebody said it's a flange and they're mistaken",
    "word is it's British, I don't believe that",
    "metric, that doesn't look it",
    "eighteen pitch, hold on, the blade's upside down",
    "eighteen pitch, oh wait, this is the other gauge",
    "eighteen pitch would be handy",
    "nineteen outside but I might have had it on the collar",
    "half inch, nope, the spare one's half inch",
    "eighteen pitch, but I can't get the leaf square so don't count it",
    "two metres, though the tape was kinked, don't go by that",
    "it was sticking out on the last one",
    "the old one did stick out",
    "pardon my French, hang on",
    "shoulder's gone dead, hang on",
    "only about nine threads left, rest's mashed",
    "is two S N good for three hundred bar",
    "is four S P strong enough for four hundred bar",
)
LAST = (
    ("the hex is thirty, no, the outside is thirty", "outside_diameter 30 mm /1"),
    ("male, wait, let me turn it round, female", "gender female"),
    ("nineteen pitch, hang on, I had the wrong one, eighteen pitch", "pitch 18 tpi"),
    ("from a French digger, sorry, I was thinking of another, it's an Italian digger", "country italy"),
    ("might be eighteen pitch but I'm going with sixteen pitch", "pitch 16 tpi"),
    ("the label reads half inch outside, I get seven eighths outside", "outside_diameter 7/8 in /16"),
    ("I doubt it's tapered", "not taper tapered"),
    ("there's a bonded washer, no it isn't, it's an o-ring behind the hex", "seal base_o_ring"),
    ("male, and there's a washer, no it isn't, it's an o-ring behind the hex", "gender male; seal base_o_ring"),
    ("the port's recessed but that's the port, mine's female", "gender female"),
    ("it's male, fifteen pitch, but I had the wrong leaf so leave it out", "gender male"),
    ("the engine's Japanese, the machine itself is Swedish", "country sweden"),
    ("the port has a recess, this one's got a cone standing out", "seat_form convex"),
    ("the other end's a female, this one's male", "gender male"),
    ("the thread was tapered on the last one, this one's parallel", "taper parallel"),
    ("Bob says sixty degrees, the gauge says forty five", "seat_angle 45 deg"),
    ("Terry swears it's eighteen pitch, I get sixteen pitch", "pitch 16 tpi"),
    ("the foreman said eighteen pitch, the eighteen pitch rocks", "not pitch 18 tpi"),
    ("they told me it's metal to metal, rubbish, there's an O-ring in the cone", "seal cone_o_ring"),
    ("we were torn between fourteen and sixteen, it's sixteen pitch", "pitch 16 tpi"),
)
BOTH_STAY = (
    ("male, no o-ring", {Measurand.GENDER, Measurand.SEAL}),
    ("it's flat, no washer", {Measurand.SEAT_FORM, Measurand.SEAL}),
    ("nineteen pitch, and it's male, hang on", {Measurand.PITCH, Measurand.GENDER}),
    ("the machine's Japanese, this one's male", {Measurand.COUNTRY, Measurand.GENDER}),
    ("the leaf says nineteen pitch, the caliper says twenty outside", {Measurand.PITCH, Measurand.OUTSIDE_DIAMETER}),
    ("nineteen pitch, and don't forget it", {Measurand.PITCH}),
    ("put it down there, ta, thread's parallel", {Measurand.TAPER}),
    ("after the pressure washer I can see an O-ring behind the thread", {Measurand.SEAL}),
    ("it's rated for three hundred bar", {Measurand.PRESSURE}),
    ("the nut's a female, and the gauge says thirty degrees", {Measurand.GENDER, Measurand.SEAT_ANGLE}),
)
SEAT = Context(expected=(Measurand.SEAT_FORM,))


def told(language: Language, text: str, context: Context | None = None) -> list[Reading]:
    items = language.interpret(text, context or Context())[0].items
    called = [reading for item in items if isinstance(item, Command) for reading in item.readings]
    return [item for item in items if isinstance(item, Reading)] + called


@pytest.mark.parametrize("text", GONE)
def test_nothing_is_left_of_it(language: Language, text: str) -> None:
    assert told(language, text) == []


@pytest.mark.parametrize(("text", "meant"), LAST)
def test_only_the_last_is_left(language: Language, text: str, meant: str) -> None:
    assert "; ".join(map(notes.item, told(language, text))) == meant


@pytest.mark.parametrize(("text", "measurands"), BOTH_STAY)
def test_what_goes_back_on_nothing_leaves_all(language: Language, text: str, measurands: set[Measurand]) -> None:
    assert {m for reading in told(language, text) for m in reading.measurands} >= measurands


def test_two_that_may_both_be_so_are_neither_to_who_cannot_tell(language: Language) -> None:
    text = "may be recessed, may be flat, I really can't tell"
    assert told(language, text, SEAT) == []
    called = [item.name for item in language.interpret(text, SEAT)[0].items if isinstance(item, Command)]
    assert called == ["cannot-tell"]


@pytest.mark.parametrize(
    "text",
    [
        "out, no, in, I don't know",
        "flat or a shoulder, couldn't tell you",
        "it's a coin toss between recessed and flat",
        "don't know and can't check it just now",
    ],
)
def test_two_that_take_turns_are_neither_to_who_cannot_tell(language: Language, text: str) -> None:
    assert told(language, text, SEAT) == []
    called = [item.name for item in language.interpret(text, SEAT)[0].items if isinstance(item, Command)]
    assert called == ["cannot-tell"]


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("it isn't four wire, it's six", "not reinforcement four_wire_spirals; reinforcement six_wire_spirals"),
        ("not thirty seven degrees, it's forty five", "not seat_angle 37 deg; seat_angle 45 deg | …"),
        ("it's not eighteen threads, it's twenty", "not pitch 18 tpi; pitch 20 tpi"),
        ("it isn't a metre long, it's eight fifty mil", "not length 1 m /1; length 850 mm /1"),
        ("sixteen isn't the pitch, one and a half is", "not pitch 16 tpi; pitch 3/2 mm"),
        (
            "nine sixteenths isn't the outside, but five eighths is",
            "not outside_diameter 9/16 in /16; outside_diameter 5/8 in /16",
        ),
    ],
)
def test_what_a_denied_number_is_of_is_said_once(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


@pytest.mark.parametrize("text", ["light series or heavy series", "metric or imperial", "British or metric"])
def test_a_choice_between_families_asks(language: Language, text: str) -> None:
    assert told(language, text) == []
