"""What others say of it is nothing or only perhaps so, and what is named in passing is not said at all."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.interpretation.repairs import tells_nothing
from voicefit.records import Command, Context, Hedge, Measurand, Reading

SOURCES = (
    "the night shift reckoned {}",
    "the storeman swears {}",
    "her handbook has it down as {}",
    "according to the parts list {}",
    "supposed to be {}",
    "word has it {}",
    "my guess would be that, ostensibly, {}",
    "I have a hunch it's {}",
)
THINGS = {"metric": Measurand.THREAD_SYSTEM, "a banjo": Measurand.SHAPE, "tapered": Measurand.TAPER}
FIRST_HAND = ("the gauge says sixteen pitch", "I say sixteen pitch", "the print says two SN")
IN_PASSING = (
    "I scraped my knuckles on the nut",
    "a drip runs along the flange",
    "there is a nick beside the washer",
    "the lamp hangs off the banjo",
)
OF_ITS_KIND = ("the washer is not copper", "that washer isn't aluminium", "not a copper washer, it's a bonded one")


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("I was told nineteen pitch, we measure eighteen pitch", "pitch 18 tpi"),
        ("I was told male, I measure nineteen pitch", "pitch 19 tpi"),
        ("the boss said it's a flange, but I get nineteen pitch", "pitch 19 tpi"),
    ],
)
def test_of_what_was_told_and_what_is_seen_the_second_counts(language: Language, text: str, meaning: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert "; ".join(notes.item(item) for item in items if isinstance(item, Reading)) == meaning


@pytest.mark.parametrize("text", ["the boss reckons it", "he calls it"])
def test_who_says_it_and_breaks_off_says_nothing(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text, Context())[0].items)


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("source", SOURCES)
def test_what_others_say_is_perhaps_so_at_most(language: Language, source: str, thing: str) -> None:
    items = language.interpret(source.format(thing))[0].items
    readings = [item for item in items if isinstance(item, Reading)]
    assert all(option.hedge is Hedge.PERHAPS for reading in readings for option in reading.options), items


@pytest.mark.parametrize("text", FIRST_HAND)
def test_what_a_gauge_or_the_print_says_is_no_hearsay(language: Language, text: str) -> None:
    (reading,) = language.interpret(text)[0].items
    assert isinstance(reading, Reading) and all(option.hedge is None for option in reading.options)


@pytest.mark.parametrize("text", IN_PASSING)
def test_a_thing_that_is_only_a_place_is_no_reading(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text)[0].items)


@pytest.mark.parametrize("text", OF_ITS_KIND)
def test_who_denies_a_kind_of_it_does_not_deny_it(language: Language, text: str) -> None:
    items = language.interpret(text, Context(expected=(Measurand.SEAL,)))[0].items
    denied = [o for item in items if isinstance(item, Reading) for o in item.options if o.negated]
    assert not denied, items


@pytest.mark.parametrize(
    "text",
    [
        "the pipe going into it is twelve millimeters outside",
        "the tube that fits in the nut is twelve millimeters",
        "OD of the tube is twelve millimeters",
    ],
)
def test_the_size_of_the_tube_is_none_of_the_thread(language: Language, text: str) -> None:
    (reading,) = language.interpret(text)[0].items
    assert isinstance(reading, Reading) and reading.measurands == {Measurand.TUBE_OUTSIDE_DIAMETER}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("it came off a hose", "aside"),
        ("this is off the end of a hose", "aside"),
        ("it's cut off the boom hose", "aside"),
        ("the hose came off", "leak"),
        ("the hose came off the pump", "leak"),
    ],
)
def test_what_it_came_off_is_no_burst(language: Language, text: str, name: str) -> None:
    (item,) = language.interpret(text)[0].items
    assert isinstance(item, Command) and item.name == name


@pytest.mark.parametrize(
    "who", ["he reckons", "my mate says", "the boss thinks", "well the foreman wants", "she swears"]
)
@pytest.mark.parametrize("said", ["it should be eighteen, not nineteen", "eighteen, not nineteen"])
def test_what_another_would_have_set_right_corrects_nothing(language: Language, who: str, said: str) -> None:
    items = language.interpret(f"{who} {said}", Context())[0].items
    assert all(map(tells_nothing, items)), items
    own = language.interpret("it should be eighteen, not nineteen", Context())[0].items
    assert [item.name for item in own if isinstance(item, Command)] == ["correct"]


@pytest.mark.parametrize(
    "text",
    [
        "my colleague says it is JIC",
        "wait my colleague says it is JIC",
        "hang on, the storeman says it is ORFS",
        "wait, he says NPT",
        "foreman reckons it's a JIC",
    ],
)
def test_what_others_take_it_for_is_weighed_against_the_rest(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Command) and item.name == "why-not" and item.about


@pytest.mark.parametrize("text", ["the dealer called it JIC, I measure 1.5 pitch", "my mate says JIC but I say metric"])
def test_beside_ones_own_word_it_is_not(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert all(not isinstance(item, Command) or item.name != "why-not" for item in items)
