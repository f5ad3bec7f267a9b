"""What a job is called, what is noted in words, which piece came first; leaving for a while, which loses nothing."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import NoteDone


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("male, outside three quarters")
    return talk


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("call this job bottom ram", "bottom ram"),
        ("name this job Boom Left", "boom left"),
        ("put it on the slip as bottom ram", "bottom ram"),
        ("this job is called eighteen wheeler", "eighteen wheeler"),
    ],
)
def test_a_job_is_called_by_the_words_that_are_said(talk: Talk, said: str, name: str) -> None:
    readings = talk.snapshot.readings
    assert talk.say(said) == f"Job one: {name}."
    assert talk.snapshot.readings == readings
    assert talk.say("what's the name of this job") == f"Job one: {name}."
    assert talk.session.job_facts().machine == name
    assert talk.replayed().job_facts().machine == name


@pytest.mark.parametrize("said", ["note bring a cap", "remember: bring a cap", "take a note, bring a cap"])
def test_a_note_keeps_the_words_of_the_same_breath(talk: Talk, said: str) -> None:
    assert talk.say(said) == "Note: bring a cap."
    assert talk.session.job_facts().notes == ("bring a cap",)
    assert talk.say("play note") == "Note: bring a cap."
    talk.say("remove the note")
    talk.say("yes")
    assert not talk.deeds, "there is no sound to remove"
    assert talk.session.job_facts().notes == ()


@pytest.mark.parametrize("said", ["take a note", "take a note please"])
def test_a_note_without_words_is_recorded(talk: Talk, said: str) -> None:
    talk.say(said)
    assert talk.deeds == ["record note"]
    assert talk.handle(NoteDone("a.flac", 2.0)) == "Note kept, two seconds."


def test_which_piece_came_first_and_back_to_it(talk: Talk) -> None:
    talk.say("start the next one")
    talk.say("female")
    assert "End one, not settled, male" in talk.say("which one did I do first")
    talk.say("go back to the first one")
    assert talk.snapshot.piece == 1


@pytest.mark.parametrize(
    "said",
    ["I'll come back tomorrow", "can I stop here", "can I come back to it later", "can you remember it"],
)
def test_who_leaves_hears_that_all_is_kept(talk: Talk, said: str) -> None:
    check = talk.check
    assert "kept" in talk.say(said)
    assert talk.check == check


@pytest.mark.parametrize("said", ["my phone's ringing", "hold on, the kettle's on", "hang on my mate wants the ladder"])
def test_who_is_called_away_is_waited_for(talk: Talk, said: str) -> None:
    assert talk.say(said) == "Waiting."


def test_a_pause_before_a_reading_takes_the_reading(talk: Talk) -> None:
    talk.say("hold on, pitch is sixteen")
    assert len(talk.snapshot.readings) == 3


@pytest.mark.parametrize("said", ["delete all", "wipe everything", "clear the lot"])
def test_what_wipes_all_is_asked_first(talk: Talk, said: str) -> None:
    assert talk.say(said) == "Take all readings of this end away: right?"
    assert len(talk.snapshot.readings) == 2
    talk.say("no")
    assert len(talk.snapshot.readings) == 2
    talk.say(said)
    talk.say("yes")
    assert not talk.snapshot.readings


def test_who_starts_again_is_not_asked(talk: Talk) -> None:
    assert talk.snapshot.readings
    assert "right?" not in talk.say("start over")
    assert not talk.snapshot.readings


def test_readings_behind_the_next_end_are_of_it_and_none_is_lost(talk: Talk) -> None:
    talk.say("next end, male, coned inside, twenty point eight, fourteen")
    said = [str(each.option.measurand) for each in talk.snapshot.readings]
    assert talk.snapshot.piece == 2
    assert said == ["gender", "seat_form", "outside_diameter", "pitch"]
    assert talk.snapshot.readings[1].option.value == "recessed"


def test_what_is_in_doubt_does_not_hold_up_the_rest(talk: Talk) -> None:
    """Of two meanings that differ in one thing all else is taken at once."""
    talk.hear(("next end, stud, o ring, fifteen outside", 0.5), ("next end, stud, o ring, fifty outside", 0.5))
    assert talk.reply.endswith("Fifteen millimeters: one five? Or fifty millimeters: five zero?")
    assert talk.snapshot.piece == 2
    assert [str(each.option.value) for each in talk.snapshot.readings] == ["stud", "o_ring"]
    talk.say("the first")
    assert [str(each.option.measurand) for each in talk.snapshot.readings] == ["gender", "seal", "outside_diameter"]
