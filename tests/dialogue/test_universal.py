"""The universal words in every state: each is answered to the point, and none loses what is open."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.state import Checking
from voicefit.records import Heard

IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"
TWO = (("fifteen millimeters", 0.5), ("fifty millimeters", 0.5))
DOUBTFUL = (("outside eighteen millimeters", 0.7), ("pass me the torch", 0.3))
STATES = {
    "idle": [],
    "a check": ["nineteen pitch"],
    "sure?": ["male", DOUBTFUL],
    "which?": ["male", TWO],
    "how": ["nineteen pitch", "how"],
    "a list": ["settings"],
    "identified": [IDENTIFIED],
    "hose": ["this is a hose", "R two A T dash eight"],
    "note": ["note"],
    "spelling": ["spell it", "alpha"],
    "correcting": ["nineteen pitch", "sorry"],
    "paused": ["nineteen pitch", "pause"],
    "asleep": ["nineteen pitch", "sleep"],
}
UNIVERSAL = (
    "help", "repeat", "cancel", "stop", "yes", "no", "back", "undo", "next", "more", "quieter", "louder", "slower",
    "faster", "pause", "resume", "start over", "goodbye",
)  # fmt: skip
# Words after which what was open is still open, and is asked or said again.
KEEPS = ("help", "more", "quieter", "louder", "slower", "faster", "repeat", "resume")
SETTINGS = {"quieter": "volume", "louder": "volume", "slower": "words_per_minute", "faster": "words_per_minute"}


def _in(knowledge: Knowledge, state: str) -> Talk:
    talk = Talk(knowledge)
    for said in STATES[state]:
        talk.say(said) if isinstance(said, str) else talk.hear(*said)
    return talk


def _type(talk: Talk, text: str) -> str:
    """A typed line, which counts while the session sleeps too."""
    return talk.handle(Heard(talk.knowledge.language.interpret(text, talk.session.context()), typed=True))


@pytest.mark.parametrize("word", UNIVERSAL)
@pytest.mark.parametrize("state", STATES)
def test_a_universal_word_is_answered_by_voice_and_by_keys(knowledge: Knowledge, state: str, word: str) -> None:
    talk = _in(knowledge, state)
    before = talk.session.record
    reply = talk.say(word)
    if state == "asleep":
        assert (reply, talk.deeds) == ("", ["silent asleep"])
        assert talk.session.record == before
        return
    assert reply
    assert "I did not get" not in reply
    assert talk.stopped == (word in ("stop", "goodbye"))
    if talk.stopped:
        assert reply == "Stopped. All is kept."
    if word in SETTINGS and "That is the limit." not in reply:
        assert talk.deeds[0].startswith(f"set {SETTINGS[word]}=")
    if word not in ("undo", "back", "start over", "next", "yes", "no", "cancel", "resume"):
        kinds = {entry.kind for entry in talk.written}
        assert not kinds - {"told"}, "a word that only talks changes nothing on record"
    typed = _in(knowledge, state)
    assert _type(typed, word) == reply


@pytest.mark.parametrize("word", KEEPS)
@pytest.mark.parametrize("state", ["sure?", "which?"])
def test_an_open_question_is_asked_again_and_once(knowledge: Knowledge, state: str, word: str) -> None:
    talk = _in(knowledge, state)
    question = talk.reply
    assert talk.say(word).count(question) == 1
    assert talk.session.state.focus.question is not None


@pytest.mark.parametrize("state", ["sure?", "which?", "how", "a list", "spelling", "correcting"])
def test_cancel_leaves_what_is_open_and_keeps_the_readings(knowledge: Knowledge, state: str) -> None:
    talk = _in(knowledge, state)
    before = talk.session.record.work
    assert talk.say("cancel").startswith("Cancelled.")
    focus = talk.session.state.focus
    assert (focus.mode, focus.listing) == (Checking(), None)
    assert talk.session.record.work == before
    assert talk.say("cancel") == "Nothing to cancel."


def test_repeat_passes_over_pause_settings_and_refusals(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    said = talk.say("nineteen pitch")
    for between in ("pause", "slower", "blue blue blue", "the pitch is"):
        assert talk.say(between) != said
        assert talk.say("repeat") == said


def test_a_bare_no_corrects_what_was_just_read_back(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("nineteen pitch")
    assert talk.say("no") == "Instead of nineteen pitch: what is it?"
    assert "Twenty pitch." in talk.say("twenty")
    assert [taken.reading.heard for taken in talk.snapshot.readings] == ["twenty"]


def test_a_correction_does_not_reach_past_another_command(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("nineteen pitch")
    talk.say("sorry")
    talk.say("next")
    talk.say("recessed")
    assert len(talk.snapshot.readings) == 2


def test_of_a_leak_the_danger_is_said_each_time(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    entry = knowledge.registry.by_id["leak"]
    for phrase in entry.phrases:
        assert knowledge.wording.cautions["leak"] in talk.say(phrase), phrase
        assert knowledge.wording.cautions["leak"] in talk.say(f"nineteen pitch, {phrase}"), phrase


@pytest.mark.parametrize(
    "said", ["end", "the end", "a burst end, off an old machine", "this end, the loose one", "close to an inch"]
)
def test_what_the_trade_calls_an_end_ends_nothing(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    assert "Stopped" not in talk.say(said)
