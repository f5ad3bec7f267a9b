"""Whatever fails at the edge, the session goes on and says so: each effect is made to fail, in each way."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from voicefit.dialogue import Deed, Knowledge, Settings, Snapshot
from voicefit.driver import open_knowledge
from voicefit.driver.conversation import Conversation, Hands
from voicefit.driver.lines import Lines, typed
from voicefit.driver.loop import drive
from voicefit.driver.talk import Edges, Talk
from voicefit.errors import BadInput, StoreError
from voicefit.records import Append, Do, Quiet, Say, Tone, Trouble

ERRORS = [BadInput("no room"), OSError(28, "No space left on device"), UnicodeEncodeError("ascii", "é", 0, 1, "no"),
          RuntimeError("whatever")]  # fmt: skip


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


# What is said, what fails, what is then said aloud, and in which name.
CASES = {
    "append": ("nineteen threads per inch", "append", "not kept", "store"),
    "say": ("nineteen threads per inch", "say", "Speaker lost", "speaker"),
    "set": ("slower", "do", "could not be kept", "settings"),
    "next": ("another voice", "do", "could not be kept", "settings"),
    "slip": ("order slip", "do", "slip could not be written", "slip"),
    "record": ("take a note", "do", "note could not be kept", "note"),
}


IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
@pytest.mark.parametrize("case", CASES)
def test_an_effect_that_fails_is_told_and_the_session_goes_on(
    knowledge: Knowledge, case: str, error: Exception
) -> None:
    text, hand, told, what = CASES[case]
    said: list[str] = []
    printed: list[str] = []
    failing = [False]

    def fails(effect: object) -> None:
        if failing[0] and not (isinstance(effect, Do) and effect.name == Deed.SILENT):
            raise error
        if hand == "say":
            said.append(str(effect))

    hands = Hands(say=said.append, tell=printed.append)
    setattr(hands, hand, fails)
    conversation = Conversation(knowledge, Settings(), hands)
    conversation.take_text(IDENTIFIED if case == "slip" else "outside nineteen thirty-seconds")
    failing[0] = True
    snapshot = conversation.take_text(text)
    assert told in snapshot.reply, snapshot
    assert what in conversation.session.state.focus.troubles
    assert printed and not conversation.stopped
    failing[0] = False
    before = len(said)
    assert conversation.take_text("where are we").reply
    assert len(said) > before


@pytest.mark.parametrize(
    "effect",
    [Append("note", {}), Say("x"), Tone("heard"), *(Do(deed) for deed in Deed)],
    ids=lambda effect: str(effect),
)
def test_no_effect_can_end_the_session(
    knowledge: Knowledge, effect: Append | Say | Tone | Do, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(effect: object) -> None:
        raise RuntimeError("whatever")

    printed: list[str] = []
    conversation = Conversation(knowledge, Settings(), Hands(fails, fails, fails, fails, printed.append))
    asked = conversation.session.handle
    left = [(effect,)]
    monkeypatch.setattr(type(conversation.session), "handle", lambda _, event: left.pop() if left else asked(event))
    assert conversation.take(Quiet(10.0)).reply
    assert printed and not conversation.stopped


def test_a_sentence_over_which_the_session_fails_counts_as_not_said(
    knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed: list[str] = []
    conversation = Conversation(knowledge, hands=Hands(tell=printed.append))
    conversation.take_text("outside nine sixteenths")
    with monkeypatch.context() as patch:
        patch.setattr(type(conversation.session), "snapshot", lambda _: 1 / 0 if patch.undo() is None else None)
        reply = conversation.take_text("eighteen pitch").reply
    assert reply.startswith("I failed over that one") and "ZeroDivisionError" in printed[0] and ".py:" in printed[0]
    assert len(conversation.session.record.work.piece.readings) == 1
    assert len(conversation.take_text("eighteen pitch").readings) == 2


def test_words_over_which_the_language_fails_do_not_end_the_session(
    knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    understood = type(knowledge.language).interpret
    monkeypatch.setattr(
        type(knowledge.language),
        "interpret",
        lambda language, text, *rest: [][1] if text == "dash six" else understood(language, text, *rest),
    )
    session, shown = run(knowledge, "outside nine sixteenths", "dash six", "dash six", "eighteen pitch")
    assert ["I failed" in each.reply for each in shown] == [False, True, True, False]  # told each time
    assert len(session.conversation.session.record.work.piece.readings) == 2


def test_the_rest_of_the_effects_is_performed_all_the_same(knowledge: Knowledge) -> None:
    done: list[str] = []
    hands = Hands(
        append=lambda effect: done.append("append"), tone=lambda name: done.append(name), say=lambda text: 1 / 0
    )
    Conversation(knowledge, Settings(), hands).take_text("outside nineteen thirty-seconds")
    assert "append" in done


def test_what_was_not_kept_is_not_said_to_be(knowledge: Knowledge) -> None:
    said: list[str] = []
    fails = [True]

    def append(effect: Append) -> None:
        if fails[0]:
            raise StoreError("the disk is full")

    conversation = Conversation(knowledge, Settings(), Hands(append=append, say=said.append))
    conversation.take_text("outside nineteen thirty-seconds")
    conversation.take_text("stop")
    assert "All is kept" not in said[-1] and "not kept" in said[-1]


def run(knowledge: Knowledge, *lines: str, **edges: object) -> tuple[Talk, list[Snapshot]]:
    shown: list[Snapshot] = []
    made = Edges(sound=Lines(iter(lines)), **{"show": shown.append, **edges})
    session = Talk(knowledge, Settings(), made)
    drive(session, made.sound)
    return session, shown


def test_settings_that_cannot_be_kept_do_not_end_the_session(knowledge: Knowledge) -> None:
    def keep(settings: Settings) -> None:
        raise BadInput("settings.toml could not be written: Read-only file system")

    told: list[str] = []
    _, shown = run(knowledge, "slower", "slower", "nineteen pitch", keep=keep, tell=told.append)
    assert [("could not be kept" in each.reply) for each in shown] == [True, True, False]
    assert "Read-only file system" in told[0]


def test_a_screen_that_takes_nothing_does_not_end_the_session(knowledge: Knowledge) -> None:
    def show(snapshot: Snapshot) -> None:
        raise OSError(28, "No space left on device")

    session, _ = run(knowledge, "outside nine sixteenths", "eighteen pitch", show=show, tell=show)
    assert len(session.conversation.session.record.work.piece.readings) == 2
    assert "screen" in session.conversation.session.state.focus.troubles


def test_news_of_the_journal_is_said_with_the_next_answer(knowledge: Knowledge) -> None:
    made = Edges(sound=Lines(iter(["nineteen pitch"])))
    for trouble in (Trouble("shared", "no answer"), Trouble("store-moved", "x"), Trouble("store-branched", "y")):
        made.news.put(trouble)
    shown: list[Snapshot] = []
    made.show = shown.append
    drive(Talk(knowledge, Settings(), made), made.sound)
    assert all(part in shown[0].reply for part in ("shared journal is away", "written anew", "session of its own"))


@pytest.mark.parametrize("raw", [b"nine\xff pitch\nnineteen pitch\n", b"\xff\xfe\x00\nnineteen pitch"])
def test_bytes_that_are_no_text_are_refused_and_typing_goes_on(raw: bytes) -> None:
    lines = list(typed(io.TextIOWrapper(io.BytesIO(raw), encoding="ascii")))
    assert len(lines) == 2 and lines[1].strip() == "nineteen pitch"


def test_a_keyboard_that_is_not_there_or_goes_away() -> None:
    assert list(typed(None)) == []
    closed = io.TextIOWrapper(io.BytesIO(b"a\nb\n"))
    lines: Callable = typed(closed).__next__
    lines()
    closed.close()
    with pytest.raises(StopIteration):
        lines()
