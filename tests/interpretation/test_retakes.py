"""A number said over in one breath is the second, in the words of the first."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context, Measurand, Reading

NAMED = (
    ("the length is {}", "eight hundred and ten", "eight hundred and forty"),
    ("flange head {}", "sixty one", "seventy one"),
    ("{} across the flats", "thirty", "thirty two"),
    ("the head is {} thick", "eight", "nine"),
    ("the spigot is {}", "nineteen", "twenty"),
    ("bolts {} apart", "fifty eight", "sixty six"),
    ("it is rated {} bar", "two hundred", "two hundred and fifty"),
    ("{} feet long", "four", "four and a half"),
    ("the pitch is {}", "eighteen", "nineteen"),
)
REPAIRS = (", no, ", ", sorry, ", ", no wait, ", ", hang on, ", ", I tell a lie, ")
OTHER_UNIT = (("the hose is six feet long", "two meters", "the hose is two meters long"),)
BESIDE_TALK = (
    ("outside's fifteen, no not you, sixteen", "outside's sixteen"),
    ("outside twenty one point, keep that still Dave, twenty one point eight", "outside twenty one point eight"),
)
OF_ANOTHER = ("recessed seat, no, three quarters outside",)


def means(language: Language, text: str) -> str:
    return notes.meaning(language.interpret(text, Context())[0])


@pytest.mark.parametrize("repair", REPAIRS)
@pytest.mark.parametrize(("phrase", "wrong", "right"), NAMED)
def test_it_is_what_the_second_alone_would_be(
    language: Language, phrase: str, wrong: str, right: str, repair: str
) -> None:
    said = phrase.format(wrong) + repair + right
    assert means(language, said) == means(language, phrase.format(right))


@pytest.mark.parametrize("repair", REPAIRS)
@pytest.mark.parametrize(("first", "again", "meant"), OTHER_UNIT)
def test_with_its_own_unit(language: Language, first: str, again: str, meant: str, repair: str) -> None:
    assert means(language, first + repair + again) == means(language, meant)


@pytest.mark.parametrize(("text", "meant"), BESIDE_TALK)
def test_with_a_word_to_somebody_between(language: Language, text: str, meant: str) -> None:
    assert means(language, text) == means(language, meant)


@pytest.mark.parametrize("text", OF_ANOTHER)
def test_what_has_its_own_name_stays_what_it_is(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert len(items) == 2


def test_the_words_heard_reach_over_the_repair(language: Language) -> None:
    text = "the length is eight hundred, sorry, nine hundred"
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Reading)
    assert item.heard == text
    assert item.measurands == {Measurand.LENGTH}
