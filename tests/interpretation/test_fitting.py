"""That a gauge fits, or does not, in wordings that no phrase has; and doubt, wherever it is said."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context, Hedge, Measurand, Reading

NOT_SIXTEEN = (
    "the sixteen leaf wobbles about",
    "sixteen is hopeless",
    "I tried sixteen, no luck",
    "sixteen's miles off, there is daylight all along",
    "sixteen will never mesh",
    "with sixteen you see light under it",
    "it's not sixteen, the gauge lifts",
    "not sixteen, there is a gap",
)
SIXTEEN = ("sixteen, no daylight whatever", "sixteen sits in there snugly", "sixteen it never wobbles")
NEITHER = ("sixteen or eighteen rocks", "sixteen and not")
DOUBTFUL = (
    "{}, but don't hold me to it",
    "from memory {}",
    "{}, I wouldn't bet my life on it",
    "I could be wrong but {}",
)


def likeliest(language: Language, text: str) -> str:
    """The best meaning in words, the first option of each reading."""
    return notes.meaning(language.interpret(text, Context())[0]).replace(" | …", "")


@pytest.mark.parametrize("text", NOT_SIXTEEN)
def test_a_leaf_that_does_not_fit(language: Language, text: str) -> None:
    assert likeliest(language, text) == "not pitch 16 tpi"


@pytest.mark.parametrize("text", SIXTEEN)
def test_a_leaf_that_fits(language: Language, text: str) -> None:
    assert likeliest(language, text) == "pitch 16 tpi"


@pytest.mark.parametrize("text", NEITHER)
def test_what_says_both_says_nothing_of_the_fit(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert not any(option.negated for item in items if isinstance(item, Reading) for option in item.options)


@pytest.mark.parametrize("context", [Context(), Context(expected=(Measurand.PITCH,))])
@pytest.mark.parametrize(
    "text", ["neither sixteen nor nineteen fits", "neither the sixteen nor the nineteen sits down"]
)
def test_of_neither_nor_no_leaf_fits(language: Language, text: str, context: Context) -> None:
    """Without its rule the second comes out as the one that fits."""
    found = notes.meaning(language.interpret(text, context)[0]).replace(" | …", "")
    assert found == "not pitch 16 tpi; not pitch 19 tpi"


@pytest.mark.parametrize(
    "text",
    [
        "tried sixteen and eighteen, only the eighteen fits",
        "I tried sixteen and eighteen but only eighteen fits",
        "tried twenty, sixteen and eighteen, only the eighteen fits",
    ],
)
def test_the_only_leaf_that_fits_of_those_tried(language: Language, text: str) -> None:
    assert likeliest(language, text) == "pitch 18 tpi"


def test_each_of_two_leaves_has_its_own(language: Language) -> None:
    assert likeliest(language, "sixteen teeters but nineteen sits down nicely") == "not pitch 16 tpi; pitch 19 tpi"


@pytest.mark.parametrize("said", ["three quarters outside", "nineteen threads per inch", "it's a banjo"])
@pytest.mark.parametrize("frame", DOUBTFUL)
def test_doubt_is_kept_wherever_it_is_said(language: Language, frame: str, said: str) -> None:
    sure = language.interpret(said, Context())[0].items
    items = language.interpret(frame.format(said), Context())[0].items
    assert len(items) == len(sure) == 1
    (doubted, plain) = (items[0], sure[0])
    assert isinstance(doubted, Reading) and isinstance(plain, Reading)
    assert {(o.measurand, o.value) for o in doubted.options} == {(o.measurand, o.value) for o in plain.options}
    assert all(option.hedge is Hedge.PERHAPS for option in doubted.options)


@pytest.mark.parametrize(
    "text",
    [
        "twenty will not fit and neither does sixteen",
        "sixteen will not sit and nor does twenty",
        "sixteen and twenty both show daylight",
    ],
)
def test_what_is_said_of_one_leaf_is_said_of_another_likewise(language: Language, text: str) -> None:
    """Never does one of two that are told of alike come out as fitting."""
    items = language.interpret(text, Context(expected=(Measurand.PITCH,)))[0].items
    options = [option for item in items if isinstance(item, Reading) for option in item.options]
    assert all(option.negated for option in options), items
