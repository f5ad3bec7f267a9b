"""Questions about what is in hand: whether it is this, what it holds, two things in one breath."""

from __future__ import annotations

import pint
import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.ordering.rating import lowest
from voicefit.quantities import NEWTON_METRES_PER_FOOT_POUND

FLARE = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"
SWIVEL_16 = "female, inside one point two three, twelve pitch, thirty seven degrees, it goes in, metal seat, no light"


def talk_of(knowledge: Knowledge, *said: str) -> Talk:
    talk = Talk(knowledge)
    for each in said:
        talk.say(each)
    return talk


def test_a_guess_put_as_a_question_neither_records_nor_concludes(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, "male, outside nine sixteenths", "eighteen pitch")
    before = talk.snapshot.readings
    for guess in ("so is it the thirty seven flare", "a JIC, is it?", "J I C maybe?", "could it be forty-five instead"):
        assert talk.say(guess)
        assert talk.snapshot.readings == before, guess
        assert talk.snapshot.concluded is None


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("so is that a JIC", "JIC|hirty seven"),
        ("so could that be the forty-five", "thirty-seven degrees does not fit, it has forty-five"),
        ("is it maybe the British one", "No: "),
        ("how do I know it's not metric", "Eighteen pitch does not fit"),
    ],
)
def test_whether_it_is_something_else_is_answered(knowledge: Knowledge, question: str, answer: str) -> None:
    talk = talk_of(knowledge, FLARE)
    assert any(each in talk.say(question) for each in answer.split("|"))
    assert "why-not" in talk.called


def test_what_is_not_ruled_out_is_said_with_the_check_that_would_tell(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, "M eighteen by one point five male, cone twenty four")
    replies = {talk.say(f"is it the {each} one") for each in ("light", "heavy")}
    assert any("So far, yes: " in reply for reply in replies), replies
    assert any("Not ruled out: " in reply and "To separate them: " in reply for reply in replies), replies


@pytest.mark.parametrize("words", ["is it safe at {} bar", "so is {} bar alright or not", "good for {} bar?"])
def test_safe_at_a_pressure_is_judged_by_the_lowest_figure(knowledge: Knowledge, words: str) -> None:
    talk = talk_of(knowledge, FLARE)
    end = talk.snapshot.concluded
    assert end is not None
    figure = lowest(knowledge.aftercare.ordering.end(end))
    assert figure is not None
    within, beyond = int(figure.low) - 10, int(figure.low) + 10
    pieces = len(talk.session.record.work.job.pieces)
    assert "Within" in talk.say(words.format(within))
    assert "maker" in talk.reply
    assert "No: it is good for" in talk.say(words.format(beyond))
    assert len(talk.session.record.work.job.pieces) == pieces
    assert not any(kind == "reading" for kind in talk.kinds)


def test_what_leads_is_judged_on_that_condition(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, "M eighteen by one point five male, cone twenty four", "twelve mil tube")
    reply = talk.say("is it safe at four hundred bar")
    assert "If" in reply
    assert "no: it is good for" in reply


def test_of_an_end_asked_about_a_weaker_hose_is_said_too(knowledge: Knowledge) -> None:
    """EN 853:1996, 1SN: DN 10 180 bar; the flare holds more."""
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out")
    talk.say("now the hose, three eighths, one S N")
    talk.say("go back to the first end")
    reply = talk.say("what pressure does it hold")
    assert "three hundred forty-four bar" in reply
    assert "The weakest is one S N dash six: one hundred eighty bar, from memory." in reply


def test_of_a_whole_line_the_weakest_part_counts(knowledge: Knowledge) -> None:
    talk = talk_of(
        knowledge, FLARE, "other end", "male, face seal, outside thirteen sixteenths, sixteen pitch, flat face"
    )
    ends = [talk.session.record.end_of(piece) for piece in talk.session.record.work.job.pieces]
    assert None not in ends
    figures = {end: lowest(knowledge.aftercare.ordering.end(end)) for end in ends if end is not None}
    weakest = min(figures, key=lambda end: figures[end].low if figures[end] else 1e9)
    assert weakest == "flare37/6/male"
    assert "hirty seven degree flare" in talk.say("what is the whole line good for, the weakest part")
    assert "The weakest is" in talk.reply
    assert "The weakest is" in talk.say("what pressure")


def test_two_questions_in_one_breath_are_answered_one_after_the_other(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, FLARE)
    reply = talk.say("what seals it, and how tight")
    assert "metal on metal" in reply.casefold()
    assert "newton meters" in reply
    assert reply.index("etal on metal") < reply.index("newton meters")


def test_foot_pounds_are_said_where_they_are_asked_for(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, FLARE)
    assert "foot pounds" not in talk.say("torque")
    assert "foot pounds" in talk.say("how much torque in foot pounds")
    talk.say("use inches")
    assert "foot pounds" in talk.say("torque")


def test_a_foot_pound_is_what_pint_says() -> None:
    """Checked against pint's own definitions of the pound-force and the foot."""
    registry = pint.UnitRegistry()
    assert pytest.approx(NEWTON_METRES_PER_FOOT_POUND) == (1 * registry("force_pound * foot")).to("N*m").magnitude


def test_flats_asked_for_are_those_to_turn(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, FLARE)
    reply = talk.say("how many flats without a torque wrench")
    assert "Across the flats" not in reply
    assert "flat" in reply or "turn" in reply


def test_one_refusal_a_reply_and_no_little_word(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge)
    reply = talk.say("outside nine sixteenths, flibber, male, grommling wuzzle, eighteen pitch")
    assert reply.count("I did not get") <= 1


def test_questions_about_an_end_are_answered_while_its_hose_is_in_hand(knowledge: Knowledge) -> None:
    talk = talk_of(knowledge, FLARE, "this is a hose")
    assert "newton meters" in talk.say("what torque")
    assert "hirty seven degree flare" in talk.reply
