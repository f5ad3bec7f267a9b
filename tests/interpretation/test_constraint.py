"""The constraint, put to llguidance itself: what it lets an engine write is what the parser reads."""

from __future__ import annotations

import random
import string

import llguidance
import numpy as np
import pytest
from llguidance.numpy import allocate_token_bitmask, fill_next_token_bitmask

from tests.interpretation import notes
from tests.interpretation.test_phrases import ROWS
from tests.interpretation.writing import LETTERS, accepts, matcher
from voicefit.catalogue import load_catalogue
from voicefit.interpretation import Language
from voicefit.interpretation.grammar import all_words
from voicefit.interpretation.tokens import tokenise
from voicefit.records import Context, Measurand, Reason, Rejection
from voicefit.resources import data_folder, read_texts

LOOSE = Context()
PITCH = Context(expected=(Measurand.PITCH,))


@pytest.mark.parametrize("misfit", [False, True])
@pytest.mark.parametrize("asked", [None, *Measurand])
def test_it_compiles_whatever_was_asked(language: Language, asked: Measurand | None, misfit: bool) -> None:
    context = Context(expected=(asked,) if asked else (), misfit=misfit, yes_no=misfit)
    whole = matcher(language.constraint(context))
    assert accepts(whole, "can't tell")
    assert accepts(whole, " Go back.")
    assert accepts(whole, "there's a gap") is misfit


@pytest.mark.parametrize(
    "text",
    [
        " Outside nineteen thirty-seconds, nineteen pitch, thirty degrees.",
        "Outside 1930 seconds, 19 pitch, 30 degrees.",
        "19:30 seconds",
        "9.16",
        "M18 by 1.5",
        "M18x1.5",
        "9/16-18",
        "G3/8",
        "0.594\"",
        "15.1mm",
        "30°",
        "No, twenty.",
        "Why not the JIC?",
        "why not the j i c",
        "R2AT-8",
        "O-ring in the face",
        "It's a nut.",
        "So it's a nut, recessed. And fourteen pitch.",
    ],
)  # fmt: skip
def test_the_ways_an_engine_writes(language: Language, text: str) -> None:
    assert accepts(matcher(language.constraint(LOOSE)), text)


@pytest.mark.parametrize(
    "text", ["banana", "outside", "outsidenineteen", "nineteen pitch banana", "nine thirds", "", "why not"]
)
def test_what_is_not_language_cannot_be_written(language: Language, text: str) -> None:
    assert not accepts(matcher(language.constraint(LOOSE)), text)


def test_where_something_was_asked_it_is_tight(language: Language) -> None:
    tight, loose = matcher(language.constraint(PITCH)), matcher(language.constraint(LOOSE))
    assert len(language.constraint(PITCH)) < len(language.constraint(LOOSE)) / 2
    for text in (
        "nineteen",
        "nineteen pitch",
        "one and a half",
        "eighteen or nineteen",
        "no, twenty",
        "gap on the nineteen",
    ):
        assert accepts(tight, text), text
        assert accepts(loose, text), text
    for text in ("outside nine sixteenths", "recessed", "thirty degree flare", "nineteen degrees", "nine sixteenths"):
        assert not accepts(tight, text), text
        assert accepts(loose, text), text


def test_a_word_said_alone_only_where_it_was_asked(language: Language) -> None:
    side = matcher(language.constraint(Context(expected=(Measurand.THREAD_SIDE,))))
    assert accepts(side, "inside")
    assert not accepts(matcher(language.constraint(LOOSE)), "inside")


@pytest.mark.parametrize(
    "context", [LOOSE, PITCH, Context(expected=(Measurand.OUTSIDE_DIAMETER,))], ids=["loose", "pitch", "outside"]
)
def test_what_an_engine_may_write_is_understood(language: Language, context: Context) -> None:
    """Texts drawn letter by letter from llguidance's own masks: none has a word that the parser does not know, and
    none is too much for the decoder."""
    whole = matcher(language.constraint(context))
    draw = random.Random(7)
    bits = allocate_token_bitmask(1, LETTERS.vocab_size)
    known, understood = all_words(language.grammar), 0
    for _ in range(60):
        walk, text = whole.deep_copy(), b""
        while len(text) < 60:
            fill_next_token_bitmask(walk, bits, 0)
            assert not walk.is_error(), walk.get_error()[:300]
            allowed = np.flatnonzero(np.unpackbits(bits[0].view(np.uint8), bitorder="little"))
            letters = [int(token) for token in allowed if token < 256]
            if not letters or (walk.is_accepting() and draw.random() < 0.3):
                break
            plain = [token for token in letters if chr(token) in string.ascii_lowercase + " "] or letters
            token = draw.choice(plain if draw.random() < 0.9 else letters)
            assert walk.consume_token(token)
            text += bytes([token])
        if not walk.is_accepting():
            continue
        written = text.decode()
        best = language.interpret(written, context)[0]
        named = [i.detail for i in best.items if isinstance(i, Rejection) and i.reason is Reason.OUT_OF_GRAMMAR]
        words = {token.text for detail in named for token in tokenise(detail, language.grammar.spellings)}
        assert words <= known, (written, notes.meaning(best))
        understood += 1
    assert understood >= 15


@pytest.mark.parametrize(
    "text", ["between the metric and an imperial", "it could be a JIC or a BSP", "either male or female"]
)
def test_rare_wordings_are_understood_and_not_offered(language: Language, text: str) -> None:
    """What is offered besides what people say can only be heard wrongly."""
    assert len(language.interpret(text, LOOSE)[0].items[0].options) > 1
    assert not accepts(matcher(language.constraint(LOOSE)), text)


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        ("outside nineteen thirty-seconds", True),
        ("the outside of the thing is nineteen thirty-seconds", True),
        ("no idea mate", True),
        ("it's spraying oil in his face", True),
        ("could you repeat that please", True),
        ("what does it mate with", True),
        ("it blorp sticks out", False),  # which may have been "won't"
        ("b outside nineteen thirty-seconds", False),
        ("will you tell me what mates with this one", False),  # talk among people, for most of it
        ("start a new job", False),
    ],
)
def test_what_an_engine_wrote_freely_is_taken_where_it_can_do_no_harm(
    language: Language, text: str, taken: bool
) -> None:
    assert language.takes_freely(language.interpret(text, LOOSE)[0]) is taken


def test_the_decoder_has_room_to_spare(language: Language) -> None:
    """llguidance gives up on a step that costs it more than 200,000; the longest phrases must stay well below."""
    grammar = llguidance.grammar_from("lark", language.constraint(LOOSE))
    limits = llguidance.LLParserLimits(step_lexer_fuel=150_000, initial_lexer_fuel=500_000)
    bits = allocate_token_bitmask(1, LETTERS.vocab_size)
    for row in sorted(ROWS, key=lambda row: len(row[0]))[-30:]:
        walk = llguidance.LLMatcher(LETTERS, grammar, log_level=0, limits=limits)
        for letter in row[0].encode():
            fill_next_token_bitmask(walk, bits, 0)
            if not walk.try_consume_tokens([letter]):
                break
        assert not walk.is_error(), (row[0], walk.get_error()[:200])


def test_the_names_of_the_real_tables_can_be_said(texts: dict[str, str]) -> None:
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    series = {each.id: each.words for each in catalogue.series.values()}
    hoses = {hose.type.id: hose.type.words for hose in catalogue.hoses}
    language = Language.from_texts(texts, series, hoses)
    whole = matcher(language.constraint(LOOSE))
    for series_id, words in series.items():
        for name in words:
            text = f"why not {name.lower()}"
            assert accepts(whole, text), text
            meanings = [notes.meaning(meaning) for meaning in language.interpret(text, LOOSE)]
            assert f"!why-not {series_id}" in meanings, text


def test_vocabulary_is_spelled_out_words(language: Language) -> None:
    words = language.vocabulary()
    assert {"nineteen", "sixteenths", "pitch", "recessed", "millimeters", "can't", "n", "p", "t"} <= words
    assert not {"npt", "mm", "tpi", "nds", "1", '"'} & words
    assert all(set(word) <= set(string.ascii_lowercase + "'") for word in words)
