"""Of what kind a sentence is that no phrase takes: what it is like, what follows from that, and what never does.

The sentences were written before the classifier was, and none of them was trained on.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from voicefit.errors import Missing
from voicefit.interpretation import Language
from voicefit.interpretation.kinds import Kinds, Said
from voicefit.records import Command, Context, KindShares, Measurand, Reading, Rejection
from voicefit.sentences import open_classifier
from voicefit.sentences.classifier import FOLDER
from voicefit.sentences.pieces import LONGEST_WORD, MOST, pieces

M = Measurand
ANSWERS = (
    (M.SEAT_FORM, "it kind of caves down in the middle there", "recessed"),
    (M.SEAT_FORM, "reminds one of a funnel", "recessed"),
    (M.SEAT_FORM, "my fingertip sinks right into it", "recessed"),
    (M.SEAT_FORM, "there is a snout poking at me", "convex"),
    (M.SEAT_FORM, "as level as a billiard table", "flat"),
    (M.TAPER, "gets skinnier towards the tip end", "tapered"),
    (M.TAPER, "the diameter is constant the whole length", "parallel"),
    (M.GENDER, "it swallows the bolt of the hose", "female"),
    (M.SHAPE, "a horseshoe wire keeps the two in place", "staple"),
    (M.SEAL, "one rubber circle sits far back by the hexagon", "base_o_ring"),
)
BY_THEMSELVES = (
    ("the whole lot hangs on four fat bolts", M.SHAPE, "flange"),
    ("you yank the sleeve and it pops free", M.SHAPE, "coupler"),
    ("some copper crush discs lie about", M.SEAL, "washer"),
    ("some sort of loop with a screw stuck into it", M.SHAPE, "banjo"),
)
NEVER = (
    "does it swallow my finger",
    "it swallows, or it has a snout",
    "somewhere between a snout and a cavity",
    "a cavity instead of a snout",
    "the other one has a cavity",
    "there was a cavity before",
    "the cavity is forty seven",
    "no cavity and no snout",
    "I am not sure there is a cavity",
    "I cannot say if there is a cavity",
    "need one that has a cavity",
)


def readings(language: Language, text: str, asked: Measurand | None) -> list[Reading]:
    context = Context(expected=() if asked is None else (asked,))
    return [item for item in language.interpret(text, context)[0].items if isinstance(item, Reading)]


def values(language: Language, text: str, asked: Measurand | None) -> list[tuple[Measurand, object, bool]]:
    return [(o.measurand, o.value, o.negated) for reading in readings(language, text, asked) for o in reading.options]


def test_an_answer_in_words_of_its_own(language: Language) -> None:
    """Nine in ten are understood, and none as something else."""
    found = [(values(language, text, asked), [(asked, value, False)]) for asked, text, value in ANSWERS]
    assert all(said in ([], meant) for said, meant in found)
    assert sum(said == meant for said, meant in found) >= 0.9 * len(found)


def test_what_was_not_asked_is_asked_about(language: Language) -> None:
    found = [(readings(language, text, None), measurand, value) for text, measurand, value in BY_THEMSELVES]
    assert all(reading.guessed for said, _, _ in found for reading in said)
    told = [[(o.measurand, o.value) for r in said for o in r.options] == [(m, v)] for said, m, v in found]
    assert sum(told) >= 2


@pytest.mark.parametrize("text", NEVER)
def test_nothing_is_guessed_where_a_word_turns_it(language: Language, text: str) -> None:
    assert not readings(language, text, M.SEAT_FORM)


@pytest.mark.parametrize(
    ("text", "value"), [("it does not have any snout", "convex"), ("nothing like a snout there", "convex")]
)
def test_what_is_denied_is_denied(language: Language, text: str, value: str) -> None:
    assert values(language, text, M.SEAT_FORM) == [(M.SEAT_FORM, value, True)]


def test_what_was_understood_besides_is_kept(language: Language) -> None:
    items = language.interpret("nineteen threads per inch, the sleeve slides back and it pops off", Context())[0].items
    assert not any(isinstance(item, Rejection) for item in items)
    kept, guessed = (item for item in items if isinstance(item, Reading))
    assert kept.measurands == {M.PITCH} and not kept.guessed
    assert guessed.measurands == {M.SHAPE} and guessed.guessed


@pytest.mark.parametrize("text", ["we've been flat out all week with silage", "finish her up, I'm done here"])
def test_what_is_surely_talk_is_no_reading(language: Language, text: str) -> None:
    assert not values(language, text, M.SEAT_FORM)


def test_two_things_of_which_the_difference_is_asked_are_both_explained(texts: dict[str, str]) -> None:
    language = Language.from_texts(
        texts, {}, {}, {"term": {"port": ("port",), "stud": ("stud",)}}, classifier=open_classifier()
    )
    items = language.interpret("what's the difference between a port and a stud", Context())[0].items
    assert [(item.name, item.argument) for item in items if isinstance(item, Command)] == [
        ("what-is", "port"),
        ("what-is", "stud"),
    ]


def test_without_a_classifier_what_no_phrase_takes_is_refused(texts: dict[str, str]) -> None:
    (item,) = Language.from_texts(texts).interpret("it swallows the bolt of the hose", Context())[0].items
    assert isinstance(item, Rejection)


# ---- the decision, on probabilities that are given ------------------------------------------------------------------


def item(kind: str, share: float, denied: float = 0.0, asked: Measurand | None = None, **said: int) -> object:
    known = {"counts": False, "turns": False, "denials": 0, "words": 6} | said
    rest = "nothing" if kind != "nothing" else "torque"
    likeness = KindShares({kind: share, rest: 1.0 - share}, denied)
    context = Context(expected=() if asked is None else (asked,))
    return Kinds(frozenset({"torque"})).item("so", likeness, Said(**known), context)


def test_a_value_is_taken_from_its_share_on() -> None:
    assert isinstance(item("taper=tapered", 0.61), Reading)
    assert item("taper=tapered", 0.59) is None
    assert item("taper=tapered", 0.95, turns=True) is None  # "the other one is tapered"
    assert item("taper=tapered", 0.95, counts=True) is None  # the number would be lost
    assert item("taper=tapered", 0.75, words=2) is None


def test_what_was_asked_is_likelier_and_sure() -> None:
    answer = item("taper=tapered", 0.5, asked=M.TAPER)
    assert isinstance(answer, Reading) and not answer.guessed
    unasked = item("taper=tapered", 0.99)
    assert isinstance(unasked, Reading) and unasked.guessed


def test_a_denial_in_doubt_is_not_taken() -> None:
    assert item("taper=tapered", 0.95, denied=0.5) is None
    assert item("taper=tapered", 0.95, denied=0.95, denials=2) is None  # "no cavity and no snout"
    denied = item("taper=tapered", 0.95, denied=0.95, asked=M.TAPER, denials=1)
    assert isinstance(denied, Reading) and denied.options[0].negated and not denied.guessed
    unheard = item("taper=tapered", 0.95, denied=0.95, asked=M.TAPER)  # no word denies: asked about
    assert isinstance(unheard, Reading) and unheard.guessed
    assert item("shape=flange", 0.95, denials=1) is None  # "the flange, not one single"


def test_talk_with_a_number_must_be_surer() -> None:
    assert isinstance(item("nothing", 0.7), Command)
    assert item("nothing", 0.7, counts=True) is None
    assert isinstance(item("nothing", 0.9, counts=True), Command)


def test_only_a_command_that_costs_nothing_is_called() -> None:
    called = item("torque", 0.9)
    assert isinstance(called, Command) and called.name == "torque"
    assert item("start-over", 0.99) is None


# ---- the classifier -------------------------------------------------------------------------------------------------


def test_shares_sum_to_one_and_every_kind_is_known(texts: dict[str, str]) -> None:
    commands = {entry["id"] for entry in tomllib.loads(texts["commands.toml"])["command"]}
    classifier = open_classifier()
    likeness = classifier.of("it gets skinnier towards the tip")
    assert sum(likeness.shares.values()) == pytest.approx(1.0)
    assert 0.0 <= likeness.denied <= 1.0
    other = {"nothing", "elsewhere", "unsure", "figure"}
    for kind in classifier.kinds:
        measurand, is_value, _ = kind.partition("=")
        assert Measurand(measurand) if is_value else kind in commands | other, kind


@pytest.mark.parametrize("text", ["", "\u00e9\u4e2d\U0001f600", "a" * 10_000, "o " * 5_000, "\x00"])
def test_any_text_has_a_likeness(text: str) -> None:
    assert np.isfinite(list(open_classifier().of(text).shares.values())).all()


def test_pieces_end_with_their_mark_and_are_bounded() -> None:
    vocabulary = {"[CLS]": 0, "[SEP]": 1, "[UNK]": 2, "nut": 3, "##s": 4}
    assert pieces("nuts zap nut", vocabulary) == [(0, 0, 0), (3, 0, 4), (4, 0, 4), (2, 5, 8), (3, 9, 12), (1, 12, 12)]
    assert len(pieces("nut " * 500, vocabulary)) == MOST
    at_most = dict.fromkeys(["n" * LONGEST_WORD, "n" * (LONGEST_WORD + 1)], 3)
    assert [pieces(word, vocabulary | at_most)[1].number for word in at_most] == [3, 2]


def test_damaged_weights_are_named(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="sentence classifier"):
        open_classifier(tmp_path)
    for name in ("pieces.txt", "kinds.txt"):
        (tmp_path / name).write_bytes((FOLDER / name).read_bytes())
    (tmp_path / "sentences.onnx").write_bytes((FOLDER / "sentences.onnx").read_bytes()[:1000])
    with pytest.raises(Missing, match="install voicefit again"):
        open_classifier(tmp_path)


RINGS = (
    ("the beam of fluid drilled into his knuckle", "injected"),
    ("my thumb puffs up where the jet touched it", "injected"),
    ("a splash of hydraulic landed in her left eye", "in-the-eye"),
    ("I gashed my shin and it is pouring blood", "hurt"),
    ("his arm is pinned beneath the linkage", "trapped"),
    ("nineteen pitch, and I sliced my palm", "hurt"),
    ("got a pinhole jet on me glove, think it's gone through", "injected"),
    ("there's a spray and my glove's wet through", "injected"),
    ("the loader's droppin' on its own", "falling"),
    ("arms are creepin' down on me", "falling"),
    ("the tailgate's coming down", "falling"),
    ("stabilizer is sinking by itself", "falling"),
    ("Bobby's out cold", "hurt"),
    ("Dave's not breathing", "hurt"),
    ("Mike won't wake up", "hurt"),
    ("she's stopped breathing", "hurt"),
    ("got sprayed in the mouth", "hurt"),
    ("that hose hit Bobby in the face", "struck"),
    ("hose whipped Jim across the face", "struck"),
    ("Tom's not moving", "hurt"),
    ("Bill has stopped moving", "hurt"),
    ("Maria can't breathe", "hurt"),
    ("he got a mouthful of oil", "hurt"),
    ("oil squirted down my throat", "hurt"),
    ("the fumes are making me dizzy", "smoke"),
    ("he's feeling faint, it's the fumes", "smoke"),
    ("smoke coming off the motor", "smoke"),
    ("smells like something's burning", "smoke"),
)
RINGS_NOT = (
    ("the answer in foot pounds, if you have got it", {"injected"}),
    ("I got it in my glove here, it is a female", {"injected"}),
    ("how tight in foot pounds do I hit it", {"injected"}),
    ("nobody got hurt, what does it mate with", {"hurt"}),
    ("it's out cold, the engine", {"hurt"}),
    ("the gauge passed out of the groove", {"hurt"}),
    ("it comes down to sixteen on its own", {"falling"}),
    ("the needle's not moving", {"hurt"}),
    ("the swivel does not move", {"hurt"}),
    ("there's no smoke", {"smoke", "hot"}),
    ("I was having a smoke", {"smoke", "hot"}),
)


@pytest.mark.parametrize(("text", "alarm"), RINGS)
def test_who_is_hurt_is_heard_first(language: Language, text: str, alarm: str) -> None:
    first = language.interpret(text, Context())[0].items[0]
    assert isinstance(first, Command) and first.name == alarm


@pytest.mark.parametrize(("text", "alarms"), RINGS_NOT)
def test_words_of_the_body_alone_ring_nothing(language: Language, text: str, alarms: set[str]) -> None:
    items = language.interpret(text, Context())[0].items
    assert not alarms & {item.name for item in items if isinstance(item, Command)}


def test_who_asks_is_in_no_danger_but_may_be_hurt() -> None:
    """An alarm of the body rings for a question too, from where any command does."""
    kinds = Kinds({"torque", "hurt", "danger"}, {"hurt", "danger"})
    said = Said(counts=False, turns=False, denials=0, words=9)
    for kind, share, called in (("danger", 0.3, "beyond"), ("danger", 0.6, "danger"), ("hurt", 0.3, "hurt")):
        asked = kinds.question("and now", KindShares({kind: share, "nothing": 1.0 - share}, 0.0), said)
        assert asked is not None and asked.name == called, (kind, share)


def test_a_false_alarm_is_surely_something_else_and_never_talk() -> None:
    kinds = Kinds({"torque", "hurt", "leak"}, {"hurt", "leak"})
    sure = KindShares({"torque": 0.6, "hurt": 0.04, "nothing": 0.36}, 0.0)
    assert kinds.is_false_alarm({"hurt"}, sure)
    assert not kinds.is_false_alarm({"leak"}, sure)  # of a machine: it costs little
    assert not kinds.is_false_alarm({"hurt"}, KindShares({"torque": 0.6, "hurt": 0.06, "nothing": 0.34}, 0.0))
    assert not kinds.is_false_alarm({"hurt"}, KindShares({"torque": 0.45, "hurt": 0.04, "figure": 0.4}, 0.0))
    assert not kinds.is_false_alarm({"hurt"}, KindShares({"nothing": 0.97, "hurt": 0.01, "torque": 0.02}, 0.0))


def test_an_alarm_that_no_word_rings_must_be_surer_than_a_command() -> None:
    kinds = Kinds({"torque", "leak"}, {"leak"})
    said = Said(counts=False, turns=False, denials=0, words=6)
    for share, taken in ((0.85, True), (0.75, False)):
        found = kinds.item("so", KindShares({"leak": share, "torque": 1.0 - share}, 0.0), said, Context())
        assert (found is not None) is taken


def test_a_use_is_heard_beside_anything_and_its_denial_too(language: Language) -> None:
    def called(text: str) -> set[str]:
        return {item.name for item in language.interpret(text, Context())[0].items if isinstance(item, Command)}

    assert "lifting-people" in called("male, sixteen pitch, it belongs to a cage that hoists workmen")
    assert "steering-line" not in called("no, not the steering, it feeds the bucket")
    assert "brake-line" not in called("this is not a brake line")
