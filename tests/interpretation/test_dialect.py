"""Dialect, haste and English as a second language: standard words in the place of others, and no denial lost."""

from __future__ import annotations

import itertools

import pytest

from tests.interpretation import notes
from voicefit import toml_data
from voicefit.interpretation import Language
from voicefit.interpretation.schema import DialectFile
from voicefit.records import Context, Measurand, Reading

NOT_SO = ("no", "is not", "has not", "does not have", "there is no", "without", "is no")
THINGS = {"washer": "seal washer", "flange": "shape flange", "shoulder": "seat_form shoulder", "o ring": "seal o_ring"}
SEAT = Context(expected=(Measurand.SEAT_FORM,))


def means(language: Language, text: str, context: Context | None = None) -> str:
    return notes.meaning(language.interpret(text, context or Context())[0])


def ways(texts: dict[str, str]) -> dict[str, list[str]]:
    return toml_data.read(texts, "dialect.toml", DialectFile, toml_data.in_grammar).said


def test_every_way_to_say_no_denies(language: Language, texts: dict[str, str]) -> None:
    """Whatever of the table stands for "no": nothing that it is said of is ever taken for so."""
    table = ways(texts)
    things = itertools.cycle(THINGS.items())  # each way in each sentence, the things by turns
    for way in (way for standard_words in NOT_SO for way in table.get(standard_words, ())):
        for sentence in ("{way} {thing}", "it {way} {thing}", "{way} a {thing}", "the {thing} {way}"):
            thing, value = next(things)
            text = sentence.format(way=way, thing=thing)
            best = language.interpret(text, Context())[0]
            so = [o for i in best.items if isinstance(i, Reading) for o in i.options if not o.negated]
            assert value not in [notes.option(o) for o in so], (text, notes.meaning(best))
        next(things)  # the next way has another thing in the same sentence


@pytest.mark.parametrize(
    "way", ["nae", "nary a", "there's nae", "it no have", "it do not got any", "here is no", "ain't no"]
)
def test_common_ones_are_understood(language: Language, way: str) -> None:
    assert means(language, f"{way} washer") == "not seal washer"


def test_no_way_is_a_word_that_the_grammar_needs(language: Language, texts: dict[str, str]) -> None:
    """What stands for another word must not be offered to a speech engine as a word of its own."""
    single = {way for ways_ in ways(texts).values() for way in ways_ if " " not in way}
    assert not single & language.vocabulary() - {"wee"}


def test_an_ending_cut_short(language: Language) -> None:
    for text in ("the cone's stickin' out", "cone pokin out", "it's protrudin'"):
        assert means(language, text) == "seat_form convex"


@pytest.mark.parametrize("verb", ["stick out", "stand out", "poke out", "come out", "protrude"])
@pytest.mark.parametrize("form", ["{} no {}", "{} not {}"])
def test_a_verb_denied_word_by_word(language: Language, verb: str, form: str) -> None:
    assert means(language, form.format("cone", verb), SEAT) == "not seat_form convex"


def test_a_way_does_not_reach_across_a_pause(language: Language) -> None:
    assert means(language, "no, have a washer") == "!correct (seal washer)"


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("cone comin' oot", "seat_form convex"),
        ("is no tapered", "not taper tapered"),
        ("is parallel the thread", "taper parallel"),
        ("key width nineteen", "hex 19 mm /1"),
        ("diameter inside fourteen and six tenths", "inside_diameter 14.6 mm /10"),
        ("the gasket ain't there", "not seal washer"),
        ("seal of rubber on face", "seal face_o_ring"),
        ("thirty and a bit outside", "outside_diameter 30 mm /1"),
        ("half a inch fourteen thread", "thread_system UN; thread_size 1/2 in; pitch 14 tpi"),
        ("M twelve by one five", "thread_system M; thread_size 12 mm; pitch 3/2 mm"),
    ],
)
def test_word_order_of_others(language: Language, text: str, meaning: str) -> None:
    assert means(language, text) == meaning


@pytest.mark.parametrize(
    ("with_articles", "without"),
    [
        ("an o-ring in the cone", "o-ring in cone"),
        ("there's a rubber ring behind the thread", "is rubber ring behind thread"),
        ("no o-ring in the face", "no o-ring in face"),
        ("there's a copper washer under the head", "there is copper washer under head"),
        ("the thread is tapered", "thread is tapered"),
        ("there is a cone in the nut", "is cone in nut"),
    ],
)
def test_articles_may_be_left_out(language: Language, with_articles: str, without: str) -> None:
    assert means(language, without) == means(language, with_articles)


def test_a_number_keeps_its_article(language: Language) -> None:
    """ "An inch" is one; "inch" alone is a unit that waits for its number."""
    assert means(language, "outside diameter is inch").startswith("?")
