"""The loop: effects in their order, nothing confirmed that is not durable, doubt asked about."""

from __future__ import annotations

import pytest

from voicefit.dialogue import Snapshot
from voicefit.driver import Conversation, Hands, open_knowledge
from voicefit.driver.lines import lines_of
from voicefit.errors import BadInput, StoreError
from voicefit.records import Alternative, Append, Heard, Reason, Rejection, Transcript


@pytest.fixture(scope="module")
def knowledge():
    return open_knowledge()


def hear(conversation: Conversation, text: str, confidence: float, reason: Reason | None) -> Snapshot:
    """The session after a transcript of that confidence."""
    transcript = Transcript(
        (Alternative(text, 0.0),),
        rejection=None if reason is None else Rejection(text, reason),
        scores={"confidence": confidence},
        meanings=conversation.knowledge.language.interpret(text, conversation.session.context()),
    )
    return conversation.take(Heard(transcript.meanings, 1.0, transcript=transcript))


def test_records_are_made_before_the_reply_that_confirms_them(knowledge):
    done: list[str] = []
    hands = Hands(append=lambda effect: done.append(effect.kind), say=lambda text: done.append("say"))
    Conversation(knowledge, hands=hands).take_text("nineteen pitch")
    assert done[-1] == "say"
    assert "reading" in done[:-1]


def test_what_is_not_durable_is_not_confirmed_and_not_kept(knowledge):
    said: list[str] = []

    def full(effect: Append) -> None:
        raise StoreError("no space left on the disk")

    conversation = Conversation(knowledge, hands=Hands(append=full, say=said.append))
    snapshot = conversation.take_text("nineteen pitch")
    assert snapshot.readings == ()
    assert said == [snapshot.reply]
    assert "nineteen" not in snapshot.reply.lower()


def test_a_doubtful_sentence_is_asked_about_and_not_taken(knowledge):
    conversation = Conversation(knowledge)
    snapshot = hear(conversation, "nineteen pitch", 0.9, Reason.LOW_CONFIDENCE)
    assert snapshot.readings == ()
    assert "nineteen pitch" in snapshot.reply.lower() and snapshot.reply.endswith("right?")
    assert len(conversation.take_text("yes").readings) == 1


def test_what_was_hardly_heard_is_refused(knowledge):
    snapshot = hear(Conversation(knowledge), "nineteen pitch", 0.3, Reason.LOW_CONFIDENCE)
    assert [rejection.reason for rejection in snapshot.rejected] == [Reason.LOW_CONFIDENCE]
    assert snapshot.readings == ()


def hear_freely(conversation: Conversation, text: str, reason: Reason = Reason.OUT_OF_GRAMMAR) -> Snapshot:
    """The session after a refusal, where the engine wrote this beside its constraint."""
    language, context = conversation.knowledge.language, conversation.session.context()
    freely = language.interpret(text, context)
    transcript = Transcript((), rejection=Rejection(text, reason), scores={"confidence": 0.0}, freely=freely)
    return conversation.take(Heard(transcript.meanings, 1.0, transcript=transcript))


@pytest.mark.parametrize("reason", [Reason.OUT_OF_GRAMMAR, Reason.LOW_CONFIDENCE])
def test_readings_in_words_of_ones_own_are_asked_about(knowledge, reason):
    conversation = Conversation(knowledge)
    snapshot = hear_freely(conversation, "the nineteen leaf goes right in", reason)
    assert snapshot.readings == () and snapshot.rejected == ()
    assert "nineteen pitch" in snapshot.reply.lower() and snapshot.reply.endswith("right?")
    assert len(conversation.take_text("yes").readings) == 1


def test_a_reading_among_words_that_say_nothing_is_asked_about(knowledge):
    snapshot = hear_freely(Conversation(knowledge), "nineteen pitch and the lorry wants washing")
    assert "nineteen pitch" in snapshot.reply.lower() and snapshot.reply.endswith("right?") and not snapshot.readings


def test_in_words_of_ones_own_only_what_changes_nothing_is_done_at_once(knowledge):
    conversation = Conversation(knowledge)
    conversation.take_text("outside thirteen sixteenths, male, sixteen pitch, o-ring in the face, half inch tube")
    assert hear_freely(conversation, "and what torque would you give that").did == ("torque",)
    before = conversation.session.snapshot().readings
    snapshot = hear_freely(conversation, "let's start from scratch then shall we")
    assert snapshot.did == () and conversation.session.snapshot().readings == before != ()


@pytest.mark.parametrize("said", ["the lads are off to the canteen", "he wants his dinner at twelve"])
def test_what_is_not_all_understood_or_was_no_word_is_refused(knowledge, said):
    assert [rejection.text for rejection in hear_freely(Conversation(knowledge), said).rejected] == [said]
    noise = hear_freely(Conversation(knowledge), "nineteen pitch", Reason.NOISE)
    assert noise.readings == () and noise.rejected != ()


def test_an_alarm_in_words_of_ones_own_is_heeded_and_a_reading_beside_it_is_not_taken(knowledge):
    snapshot = hear_freely(Conversation(knowledge), "oil is spraying out, nineteen pitch")
    assert snapshot.readings == () and snapshot.did == ("leak",) and snapshot.cautions


def test_who_sleeps_or_has_a_name_spelled_takes_no_word_of_ones_own(knowledge):
    for before in ("go to sleep", "spell the name"):
        conversation = Conversation(knowledge)
        conversation.take_text(before)
        snapshot = hear_freely(conversation, "the nineteen leaf goes right in")
        assert snapshot.readings == () and "right?" not in snapshot.reply


def test_what_was_heard_well_is_taken(knowledge):
    snapshot = hear(Conversation(knowledge), "nineteen pitch", 0.99, None)
    assert len(snapshot.readings) == 1


def test_stop_ends_the_conversation(knowledge):
    conversation = Conversation(knowledge)
    conversation.take_text("stop")
    assert conversation.stopped


def test_lone_surrogates_are_refused_not_raised(knowledge):
    assert Conversation(knowledge).take_text("\udc80\udcff").readings == ()


def test_user_tables_must_be_a_folder(tmp_path):
    with pytest.raises(BadInput, match=r"none"):
        open_knowledge(tmp_path / "none")


def test_script_lines(tmp_path):
    script = tmp_path / "s.txt"
    script.write_bytes(b"\xef\xbb\xbfnineteen pitch\r\n\r\n# no\r\nyes\r\n")
    assert lines_of(script) == ["nineteen pitch", "yes"]
