"""The session: risk and confirmation, what it expects to hear, its snapshot, opening and failing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Settings
from voicefit.documents import answer_document
from voicefit.errors import BadInput
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Heard, Measurand, Option, Quiet, Reason

SENTENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"
ALL_BUT_THE_SEAT = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees"


def test_opening_costs_no_speech_and_no_record(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert talk.snapshot.reply == ""
    assert talk.session.record.turn == 0


def test_the_reference_sentence(knowledge: Knowledge) -> None:
    """Nineteen thirty-seconds is the minor diameter of G3/8-19 (ISO 228-1: 14.950 mm), measured inside."""
    talk = Talk(knowledge)
    reply = talk.say(SENTENCE)
    assert talk.leader == "flare30-g/6/female"
    assert talk.check in ("side", "seat-form", "seat-out")
    assert "If you measured inside" in reply
    assert "Identified" not in reply
    document = answer_document(knowledge.catalogue, talk.snapshot)
    assert document.reply == reply
    assert document.candidates[0].dash == 6
    assert document.next_check is not None
    assert document.next_check.prompt in reply
    assert document.cautions == ["First: pressure off, loads down, machine locked."]
    assert "pressure off" not in talk.say("it sticks out")


@pytest.mark.parametrize("share", [0.86, 0.9, 0.97])
def test_a_deciding_value_is_held_to_more_than_a_plain_one(knowledge: Knowledge, share: float) -> None:
    talk = Talk(knowledge)
    talk.say(ALL_BUT_THE_SEAT)
    reply = talk.hear(("it sticks out", share), ("pass me the torch", 1 - share))
    assert reply == "The seat stands out: right?"
    assert "reading" not in talk.kinds
    plain = Talk(knowledge)
    assert plain.hear(("eighteen pitch", share), ("pass me the torch", 1 - share)).startswith("Eighteen pitch")


def test_a_clear_deciding_value_is_taken(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(ALL_BUT_THE_SEAT)
    assert "Identified:" in talk.hear(("it sticks out", 0.99), ("pass me the torch", 0.01))


def test_every_reading_is_read_back_before_the_conclusion_and_in_it(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    reply = talk.say(f"{ALL_BUT_THE_SEAT}, it sticks out")
    for words in (
        "Male",
        "nine-sixteenths outside",
        "eighteen pitch",
        "thirty-seven degrees",
        "seat stands out",
    ):
        assert reply.index(words) < reply.index("Identified")


def test_a_value_taken_otherwise_is_said_again(knowledge: Knowledge) -> None:
    """Thirteen or thirty, both kept as options: when later evidence turns it over, the other value is read back."""
    talk = Talk(knowledge)
    first = talk.hear(("outside thirteen millimeters", 0.9), ("outside thirty millimeters", 0.1))
    assert first.startswith("One three millimeters outside.")
    later = talk.say("two millimeter pitch, tube twenty two millimeters")
    assert "So not thirteen millimeters outside, but three zero millimeters outside." in later


def test_expectations_follow_what_was_asked(knowledge: Knowledge) -> None:
    talk = Talk(knowledge, Settings(length_unit="mm"))
    assert talk.session.context().expected == ()
    talk.say("female, nineteen pitch")
    check = talk.session.state.focus.check
    assert check is not None
    context = talk.session.context()
    assert check.measurand in context.expected
    assert context.preferred_length == "mm"
    talk.hear(("outside eighteen millimeters", 0.7), ("pass me the torch", 0.3))
    assert talk.session.context().yes_no
    assert Measurand.OUTSIDE_DIAMETER in talk.session.context().expected
    talk.say("no")
    talk.say("sleep")
    assert talk.session.context().commands == {"wake-up"}


def test_a_gauge_with_a_gap_is_expected_to_misfit(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    nineteen = Option(Measurand.PITCH, Quantity(Fraction(19), Unit.THREADS_PER_INCH))
    leaf = Check("leaf", Measurand.PITCH, 10.0, {"leaf": nineteen.value}, replace(nineteen, negated=True), nineteen)
    talk.session.state = replace(talk.session.state, focus=replace(talk.session.state.focus, check=leaf))
    assert talk.session.context().misfit
    talk.say("a gap")
    (taken,) = talk.snapshot.readings
    assert taken.option == replace(nineteen, negated=True)


def test_a_yes_that_only_introduces_a_value_is_not_taken_twice(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("inside fifteen point one millimeters, nineteen pitch")
    talk.say("yes, it is recessed")
    assert [taken.reading.heard for taken in talk.snapshot.readings][2:] == ["it is recessed"]


def test_what_is_typed_counts_while_the_session_does_not_listen(knowledge: Knowledge) -> None:
    """A digital caliper types its reading: no attention word can be said before it."""
    for deaf in (Settings(listening="attention"), Settings(listening="open")):
        talk = Talk(knowledge, deaf)
        if deaf.listening == "open":
            talk.say("sleep")
        assert talk.say("15.1 mm inside") == ""
        meanings = knowledge.language.interpret("15.1 mm inside")
        assert talk.handle(Heard(meanings, typed=True)).startswith("One five point one millimeters")


def test_silence_is_spoken_twice_and_then_named(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert talk.handle(Quiet(20)).startswith("Still listening.")
    assert talk.handle(Quiet(60)) == "Still here. Say repeat, help, or sleep."
    assert talk.handle(Quiet(120)) == ""
    assert talk.deeds == ["silent quiet"]
    talk.say("nineteen pitch")
    assert talk.handle(Quiet(20)).startswith("Still listening.")


@pytest.mark.parametrize(
    ("said", "read_back"),
    [
        ("M eighteen by one point five", "M eighteen by one and a half."),
        ("nine sixteenths eighteen", "Nine-sixteenths eighteen."),
        ("G three eighths", "G three-eighths."),
    ],
)
def test_a_designation_is_read_back_as_one(knowledge: Knowledge, said: str, read_back: str) -> None:
    talk = Talk(knowledge)
    assert talk.say(said).startswith(read_back)
    assert talk.say("what do you have") == read_back


def test_repeat_says_the_same_however_often(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert talk.say("repeat") == "Nothing said yet."
    said = talk.say(SENTENCE)
    assert talk.say("repeat") == talk.say("say again") == said


def test_what_is_refused_within_a_sentence_is_named_and_the_rest_is_taken(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("nineteen pitch, outside ninety nine inches")
    assert [taken.reading.heard for taken in talk.snapshot.readings] == ["nineteen pitch"]
    assert [rejection.reason for rejection in talk.snapshot.rejected] == [Reason.OUT_OF_RANGE]


def test_lists_are_at_most_three_items_in_a_breath(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("settings")
    assert talk.reply.count(";") <= 2
    assert talk.reply.endswith("For the rest, say more.")


@pytest.mark.parametrize(
    "settings", [{"replies": "loud"}, {"volume": 0}, {"words_per_minute": 900}, {"listening": "never"}]
)
def test_a_wrong_setting_is_named(settings: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="setting"):
        Settings(**settings)  # type: ignore[arg-type]  # wrong on purpose


def test_an_unknown_setting_is_named() -> None:
    with pytest.raises(BadInput, match="no setting"):
        Settings().changed("colour", "red")


@pytest.mark.parametrize(
    ("first", "second", "reply"),
    [
        ("fifteen millimeters", "fifty millimeters", "Fifteen millimeters: one five? Or fifty millimeters: five zero?"),
        ("seat sixty degrees", "flank angle sixty degrees", "Flanks sixty degrees? Or sixty degrees?"),
        (
            "hex nine sixteenths",
            "tube nine sixteenths",
            "Nine-sixteenths tube? Or hex nine-sixteenths?",
        ),
    ],
)
def test_two_alternatives_never_sound_the_same(knowledge: Knowledge, first: str, second: str, reply: str) -> None:
    talk = Talk(knowledge)
    assert talk.hear((first, 0.5), (second, 0.5)) == reply
    assert not talk.written


def test_what_no_ear_could_tell_apart_is_left_open_and_not_asked(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    reply = talk.hear(("length one meter", 0.5), ("length one thousand millimeters", 0.5))
    assert "One meter long." in reply
    assert len(talk.snapshot.readings) == 1


def test_a_reading_of_something_else_leaves_the_question_open(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    asked = talk.hear(("outside eighteen millimeters", 0.7), ("pass me the torch", 0.3))
    assert talk.say("one and a half millimeter pitch") == f"One point five pitch. {asked}"
    assert "Eighteen millimeters outside." in talk.say("yes")
    assert len(talk.snapshot.readings) == 3


@pytest.mark.parametrize(
    ("text", "piece"),
    [
        ("go back to the first one", 1),
        ("back to the second one", 2),
        ("go back to the other one", 3),
        ("back to the last one", 4),
    ],
)
def test_an_end_is_found_by_its_place_whatever_else_is_said_of_it(knowledge: Knowledge, text: str, piece: int) -> None:
    talk = Talk(knowledge)
    for sentence in ("male", "next end", "female", "next end", "stud", "next end", "port"):
        talk.say(sentence)
    if "other" in text:
        talk.say("go to end four")
    talk.say(text)
    assert talk.snapshot.piece == piece


def test_what_there_is_nothing_to_order_of_is_asked_again_in_full(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("order slip")
    assert talk.say("order slip") == (
        "There is nothing to order yet. Caliper across the thread crests. Inside or outside, and what diameter?"
    )


def test_which_hose_fits_is_said_once(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("this is a hose, half inch bore")
    assert "Fits: two S N dash eight." in talk.say("two S N")
    assert "Fits" not in talk.say("length seven hundred millimeters")


def test_a_hose_asks_of_what_a_bare_number_is(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("R two A T dash eight")
    talk.say("length six hundred millimeters")
    assert talk.say("eight hundred").startswith("Eight hundred: bore, length, pressure or temperature?")
    assert talk.snapshot.piece == 1
    assert len(talk.snapshot.readings) == 3


def test_an_answer_that_does_not_fit_what_is_settled_is_said(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(ALL_BUT_THE_SEAT)
    for sentence in ("it sticks out", "metal to metal", "three eighths tube"):
        talk.say(sentence)
    reply = talk.say("it goes in")
    assert reply.endswith(
        "It stays three-eighths thirty seven degree flare, male. One thing does not fit: the seat goes in."
    )


def test_what_no_end_has_is_told_from_what_does_not_go_with_the_rest(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, eighteen point eight outside")
    assert "Forty pitch. I know no end with that." in talk.say("forty pitch")
    talk = Talk(knowledge)
    for sentence in ("female, eighteen point eight inside", "metal", "it stands out", "thirty degrees", "no ball nose"):
        talk.say(sentence)
    assert "Flanks sixty degrees. That does not go with the rest." in talk.say("flanks sixty degrees")
