"""No question about a piece comes three times for nothing: whatever is answered, to whatever check."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.spoken import question_of
from voicefit.dialogue.state import MOST_ASKED
from voicefit.records import O_RING, Measurand

OPENINGS = (
    "", "male", "female, nineteen pitch", "outside thirteen sixteenths", "it is a port, inside fourteen millimeters",
    "male, outside nine sixteenths, eighteen pitch", "outside eighteen millimeters, one point five pitch, recessed",
    "it is a flange", "it is a quick coupler", "no thread", "this is a hose", "R two A T dash eight",
)  # fmt: skip
ANSWERS = (
    "yes", "no", "can't tell", "pass me the torch", "ninety nine inches", "fifteen", "half an inch", "the first",
    "it is worn", "it is missing", "none of them fit", "no gauge", "male", "metal", "thirty degrees", "out", "blue",
    "not sure", "no thread", "a shoulder",
    "hydraulic", "brakes", "water", "it's the adapter on the big loader", "the fine one", "what fits it", "how tight",
    "what does it cost", "the seal", "a ring", "the pitch", "diameter", "biodegradable oil", "the other half's o ring",
    "male again", "it carries water",
)  # fmt: skip
TURNS = 10


def most_asked(talk: Talk, answers: list[str]) -> tuple[str, int]:
    """The prompt that came most often, of all that were asked after these answers, and how often."""
    asked: Counter[str] = Counter()
    for answer in answers:
        said = talk.say(answer)
        if "what-else" in talk.snapshot.did:  # what would separate them was asked for
            continue
        for check, prompt in talk.snapshot.next_checks:
            if (
                question_of(prompt).rstrip("?").casefold() in said.casefold()
            ):  # in full, by its question, or in a breath
                asked[f"piece {talk.snapshot.piece}, {check.id}: {prompt}"] += 1
    return max(asked.items(), key=lambda each: each[1], default=("", 0))


@pytest.mark.parametrize(
    ("opening", "answer"),  # each answer after two of the twelve, each opening with every sixth answer
    [(o, a) for i, o in enumerate(OPENINGS) for j, a in enumerate(ANSWERS) if (i + j) % 6 == 0],
)
def test_one_answer_to_everything(knowledge: Knowledge, opening: str, answer: str) -> None:
    talk = Talk(knowledge)
    prompt, times = most_asked(talk, [opening or "hello", *[answer] * TURNS])
    assert times <= MOST_ASKED, (prompt, times)


@pytest.mark.parametrize("seed", range(20))
def test_any_answers_to_everything(knowledge: Knowledge, seed: int) -> None:
    rng = random.Random(seed)
    talk = Talk(knowledge)
    prompt, times = most_asked(talk, [rng.choice(OPENINGS) or "hello", *(rng.choice(ANSWERS) for _ in range(TURNS))])
    assert times <= MOST_ASKED, (prompt, times)


def test_words_beside_the_check_do_not_keep_it_open(knowledge: Knowledge) -> None:
    """What is answered to something else twice in the same words leaves the check for another."""
    talk = Talk(knowledge)
    talk.say("male, sticks out, point seven four five outside")
    first = talk.snapshot.next_checks[0]
    said = talk.say("it carries water")
    assert said.endswith(question_of(first[1])), said
    assert talk.snapshot.next_checks[0] == first
    talk.say("it carries water")
    assert talk.snapshot.next_checks[0] != first


def test_what_would_tell_in_the_end_is_the_next_check(knowledge: Knowledge) -> None:
    """Where no check is left but one that could not be told, that is asked once more, and its answer is taken."""
    talk = Talk(knowledge)
    talk.say("male, twenty two outside, one point five pitch, it goes in, twelve degrees")
    for _ in range(TURNS):
        if "This would tell: " in talk.reply or talk.check is None:
            break
        talk.say("can't tell")
    assert "This would tell: What tube" in talk.reply
    assert talk.check == "tube"
    assert "Very likely fifteen millimeter light" in talk.say("fifteen millimeters")


def test_of_what_was_left_out_one_is_asked_once_more(knowledge: Knowledge) -> None:
    """Head, rim and corners could not be measured: that is not gone through again."""
    talk = Talk(knowledge)
    known = {
        "bolt-long": "thirty eight point nine",
        "bolt-short": "short side thirty eight point nine millimeters",
        "port": "no",
    }
    talk.say("gear pump elbow, four bolts in a square, the ring sits in the elbow's flange")
    left_out, again = set[str](), list[str]()
    while talk.check is not None:
        again += {talk.check} & left_out
        left_out |= {talk.check} - known.keys()
        talk.say(known.get(talk.check, "can't tell"))
    assert len(left_out) > 2 and len(again) == 1


def test_an_end_that_is_not_there_does_not_bring_the_question_a_third_time(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    prompt, times = most_asked(
        talk, ["male, outside nine sixteenths", *["end seven"] * 3, *["go back to the female"] * 3]
    )
    assert times <= MOST_ASKED, (prompt, times)


@pytest.mark.parametrize(
    "line", ["hydraulic", "hydraulic oil", "oil", "it's hydraulic", "hydraulic fluid", "tractor oil", "a pump"]
)
def test_what_a_check_names_said_back_is_its_yes(knowledge: Knowledge, line: str) -> None:
    assert _said_of_the_line(knowledge, line) == {"hydraulic"}


@pytest.mark.parametrize(
    ("line", "value"),
    [("brakes", "brake_line"), ("air", "air_brake"), ("diesel", "fuel_injection"), ("fuel line", "fuel_injection")],
)
def test_another_of_its_kind_is_its_no(knowledge: Knowledge, line: str, value: str) -> None:
    assert value in _said_of_the_line(knowledge, line)


def _said_of_the_line(knowledge: Knowledge, line: str) -> set[object]:
    talk = Talk(knowledge)
    for text in ("male brass fitting with a flared nose", "point seven four five inches outside", "yes"):
        talk.say(text)
    assert talk.check == "line"
    talk.say(line)
    taken = talk.snapshot.readings[-1]
    return {o.value for o in taken.reading.options if o.measurand is Measurand.LINE}


def test_the_ring_of_the_other_half_seals_it(knowledge: Knowledge) -> None:
    for text in (
        "flat against the other one's o ring", "the mate's o-ring", "the ring is in the other half",
        "it rides on the other half's ring", "the face beds on the other side's o ring",
    ):  # fmt: skip
        talk = Talk(knowledge)
        talk.say("female, flat face, 23.68 inside")
        assert talk.check == "seal"
        talk.say(text)
        assert talk.snapshot.readings[-1].option.value == O_RING, text


def test_two_useless_answers_bring_another_question(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside thirteen sixteenths")
    first = talk.snapshot.next_checks[0]
    talk.say("purple custard")
    assert talk.snapshot.next_checks[0] == first
    assert first[1] not in talk.say("blue")
    assert talk.snapshot.next_checks[0] != first


def test_on_request_it_is_said_as_often_as_it_is_asked_for(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside thirteen sixteenths")
    prompt = talk.snapshot.prompt
    assert all(prompt in talk.say("pardon") for _ in range(5))


def test_which_side_is_not_asked_of_who_said_it(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    said = [talk.say(text) for text in ("female", "outside twenty point four")]
    assert "Was that inside the nut?" in said[-1]  # it does not fit a female
    said = [talk.say(text) for text in ("it was on the outside", "fourteen pitch", "sticks out")]
    assert not any("inside the nut" in reply for reply in said), said


def test_why_readings_do_not_go_together_is_said_once(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    said = [
        talk.say(text) for text in ("female", "outside twenty point four", "it was on the outside", "fourteen pitch")
    ]
    why = "Female and measured on the outside do not go together."
    assert sum(why in reply for reply in said) == 1, said


def test_both_of_two_that_do_not_go_together_are_said_once(knowledge: Knowledge) -> None:
    reply = Talk(knowledge).say("fourteen point one four millimeters outside, nineteen threads")
    assert "Those do not go together." in reply
    assert reply.count("nineteen pitch") == 1, reply


def test_what_is_likely_is_named_with_the_next_reply_where_the_first_is_too_long(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    first = talk.say("male, thirty three sixty fourths outside, nineteen pitch, thirty degrees, sticks out")
    assert "Very likely" not in first
    assert "pressure off" in first
    then = talk.say("can't tell")
    assert "Very likely one-quarter thirty degree flare on pipe thread, male." in then


def test_a_greeting_before_a_reading_is_short(knowledge: Knowledge) -> None:
    reply = Talk(knowledge).say("hello, male thread, point eight seven outside")
    assert "find out" not in reply
    assert "Male" in reply


@pytest.mark.parametrize(
    ("said", "values", "negated"),
    [
        ("the threads are outside", {"male", "stud"}, False),
        ("it's threaded on the outside", {"male", "stud"}, False),
        ("the thread is not outside", {"male", "stud"}, True),
        ("threads are inside it", {"female", "port"}, False),
        ("inside", {"female", "port"}, False),
    ],
)
def test_where_the_thread_is_answers_male_or_female(
    knowledge: Knowledge, said: str, values: set[str], negated: bool
) -> None:
    talk = Talk(knowledge)
    for text in ("nineteen pitch", "can't tell", "can't tell"):
        talk.say(text)
    assert talk.check == "gender"
    talk.say(said)
    taken = [o for each in talk.snapshot.readings[1:] for o in each.reading.options if o.measurand is Measurand.GENDER]
    assert {str(o.value) for o in taken} == values and {o.negated for o in taken} == {negated}
    assert talk.check != "gender"


@pytest.mark.parametrize("said", ["no gauge here", "no caliper for that", "no verniers on me", "no mic here"])
def test_without_a_tool_is_not_without_a_tube(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, 24 degrees, nine sixteenths")
    assert talk.check == "tube"
    before = talk.snapshot.readings
    assert talk.say(said).startswith("Then without the caliper.")
    assert talk.snapshot.readings == before


def test_what_runs_in_it_is_not_asked_again_of_who_names_it(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for text in ("female, 45 degrees, thirteen sixteenths inside", "no"):
        assert talk.check in (None, "line")
        talk.say(text)
    answer = talk.say("fuel")
    assert "another trade's end" in answer and "Once more" not in answer
    assert talk.check not in ("line", "line-carries")


def test_what_is_read_anew_stands_beside_what_was_read_first(knowledge: Knowledge) -> None:
    """Which of the two was the slip, the rest of the readings tell: neither takes the other's place."""
    talk = Talk(knowledge)
    for text in ("female, seals on the thread", "inside twenty three point six five", "fourteen pitch", "light shows"):
        talk.say(text)
    assert talk.check == "crests"
    assert "do not go together. Once more: Are its crests rounded?" in talk.say("rounded")
    assert "Instead of" not in talk.say("no")
    crests = [each.option for each in talk.snapshot.readings if each.option.measurand is Measurand.CREST]
    assert [each.negated for each in crests] == [False, True]
