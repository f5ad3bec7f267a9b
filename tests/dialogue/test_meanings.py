"""Which of several meanings is taken, and when the session asks instead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.dialogue import meanings
from voicefit.dialogue.confirmation import Risk, load_policy
from voicefit.dialogue.meanings import Choose, Confirm, Decision, Doubt, Fits, Take, joined, weigh
from voicefit.quantities import millimetres
from voicefit.records import Command, Item, Meaning, Measurand, Option, Reading, Reason, Rejection
from voicefit.resources import data_folder, read_texts


def reading(text: str) -> Reading:
    return Reading(text, (Option(Measurand.OUTSIDE_DIAMETER, millimetres(text)),))


def meaning(share: float, *items: Item) -> Meaning:
    return Meaning(" ".join(item.heard for item in items if not isinstance(item, str)), items, math.log(share))  # type: ignore[union-attr]  # rejections have a text instead


def indifferent(alternatives: Sequence[tuple[Reading, ...]]) -> list[float]:
    return [0.0] * len(alternatives)


POLICY = load_policy(read_texts(data_folder(), ".toml"))


def decide(heard: Sequence[Meaning], log_fits: Fits, risk: Risk) -> Decision:
    return meanings.decide(heard, log_fits, lambda meaning, share: risk, POLICY)


def test_one_meaning_is_taken() -> None:
    only = meaning(1.0, reading("15"))
    assert decide([only], indifferent, Risk.DECIDING) == Take(only, 1.0)


def test_two_of_one_shape_are_offered() -> None:
    first, second = meaning(0.55, reading("15")), meaning(0.45, reading("50"))
    decision = decide([second, first], indifferent, Risk.PLAIN)
    assert isinstance(decision, Choose)
    assert decision.choices == (first, second)
    assert decision.item == 0


def test_the_catalogue_settles_what_hearing_leaves_open() -> None:
    first, second = meaning(0.5, reading("15")), meaning(0.5, reading("50"))
    decision = decide([first, second], lambda alternatives: [0.0, -9.0], Risk.PLAIN)
    assert isinstance(decision, Take)
    assert decision.meaning.items[0].options[0].value == millimetres("15")  # type: ignore[union-attr]  # a reading


def test_the_catalogue_has_no_say_over_commands() -> None:
    command, other = meaning(0.5, Command("stop", "stop")), meaning(0.5, reading("15"))
    shares = {m.text: share for m, share in weigh([command, other], lambda alternatives: [-50.0])}
    assert shares == pytest.approx({"stop": 0.5, "15": 0.5})


def test_a_small_rival_is_carried_as_an_option() -> None:
    decision = decide([meaning(0.9, reading("15")), meaning(0.1, reading("50"))], indifferent, Risk.PLAIN)
    assert isinstance(decision, Take)
    (merged,) = decision.meaning.items
    assert isinstance(merged, Reading)
    assert [option.value for option in merged.options] == [millimetres("15"), millimetres("50")]
    assert merged.options[1].log_prior - merged.options[0].log_prior == pytest.approx(math.log(0.1 / 0.9))


def test_a_likely_one_among_strangers_is_asked_for() -> None:
    decision = decide([meaning(0.7, reading("15")), meaning(0.3, Command("stop", "stop"))], indifferent, Risk.PLAIN)
    assert isinstance(decision, Confirm)


def test_nothing_likely_is_doubted() -> None:
    three = [meaning(0.34, reading("15")), meaning(0.33, Command("stop", "stop")), meaning(0.33, Command("yes", "yes"))]
    assert isinstance(decide(three, indifferent, Risk.PLAIN), Doubt)


def test_a_command_with_its_argument_is_not_cut_in_two() -> None:
    whole = Meaning("undo three", (Command("undo", "undo three", argument="3"),), math.log(0.5))
    cut = Meaning("undo three", (Command("undo", "undo"), reading("3")), math.log(0.5))
    assert decide([cut, whole], indifferent, Risk.DECIDING) == Take(whole, 1.0)


def test_what_leaves_words_over_gives_way_to_what_leaves_none() -> None:
    text = "nineteen pitch, thirty degrees"
    complete = Meaning(text, (reading("19"), reading("30")), math.log(0.6))
    cut = Meaning(text, (reading("19"), Rejection("thirty degrees", Reason.OUT_OF_GRAMMAR)), math.log(0.4))
    assert decide([complete, cut], lambda alternatives: [0.0, 9.0], Risk.DECIDING) == Take(complete, 1.0)
    doubt = Meaning(text, (Rejection(text, Reason.LOW_CONFIDENCE),), math.log(0.4))
    assert isinstance(decide([complete, doubt], indifferent, Risk.PLAIN), Confirm)
    lost = Meaning(text, (Rejection(text, Reason.OUT_OF_GRAMMAR),), math.log(0.4))
    assert decide([complete, lost], indifferent, Risk.PLAIN) == Take(complete, 1.0)


def test_joined_readings_add_what_both_say() -> None:
    merged = joined(reading("15"), reading("15"), math.log(0.5))
    assert len(merged.options) == 1
    assert merged.options[0].log_prior == pytest.approx(math.log(1.5))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.01, 1), min_size=1, max_size=5), st.lists(st.floats(-20, 0), min_size=5, max_size=5))
def test_shares_sum_to_one_and_order_does_not_matter(weights: list[float], fits: list[float]) -> None:
    heard = [meaning(weight, reading(str(10 + index))) for index, weight in enumerate(weights)]
    by_value = {str(10 + index): fit for index, fit in enumerate(fits)}

    def log_fits(alternatives: Sequence[tuple[Reading, ...]]) -> list[float]:
        return [by_value[one.heard] for (one,) in alternatives]

    forward, backward = weigh(heard, log_fits), weigh(heard[::-1], log_fits)
    assert sum(share for _, share in forward) == pytest.approx(1)
    assert {m.text: share for m, share in forward} == pytest.approx({m.text: share for m, share in backward})


def test_what_begins_a_command_is_no_yes_before_it() -> None:
    """ "There's no tube", where a yes or no is asked for: "there's" is said of the tube."""
    text = "there's no tube"
    whole = Meaning(text, (Command("no-tube", text),), math.log(0.6))
    cut = Meaning(text, (Command("yes", "there's"), Command("no-tube", "no tube")), math.log(0.4))
    assert decide([whole, cut], indifferent, Risk.PLAIN) == Take(whole, 1.0)
    other = Meaning(text, (Command("yes", "there's"), Command("next", "no tube")), math.log(0.4))
    assert not isinstance(decide([whole, other], indifferent, Risk.PLAIN), Take)


def named(heard: str, measurand: Measurand, value: str, *, negated: bool = False) -> Reading:
    return Reading(heard, (Option(measurand, value, negated=negated),))


CONE, PIPE = named("nose", Measurand.SEAT_FORM, "convex"), named("tapered", Measurand.TAPER, "tapered")
RING, IN_CONE = named("o-ring", Measurand.SEAL, "o_ring"), named("o-ring", Measurand.SEAL, "cone_o_ring")


@pytest.mark.parametrize(("one", "other"), [(CONE, PIPE), (PIPE, CONE), (RING, IN_CONE), (IN_CONE, RING)])
def test_two_things_that_may_both_be_so_are_no_choice(one: Reading, other: Reading) -> None:
    heard = [Meaning("the same words", (each,), math.log(share)) for each, share in ((one, 0.55), (other, 0.45))]
    decision = decide(heard, indifferent, Risk.PLAIN)
    assert isinstance(decision, Take)
    assert {option.value for option in meanings.reading_at(decision.meaning, 0).options} == {
        one.options[0].value,
        other.options[0].value,
    }


def test_two_values_of_one_thing_are_a_choice() -> None:
    flat = named("flat", Measurand.SEAT_FORM, "flat")
    heard = [Meaning("the same words", (each,), math.log(share)) for each, share in ((CONE, 0.55), (flat, 0.45))]
    assert isinstance(decide(heard, indifferent, Risk.PLAIN), Choose)


def test_what_another_meaning_says_besides_makes_it_no_less_sure() -> None:
    """But not the other way about, where other words were heard: what only the likelier one says is not yet said."""
    less, more = Meaning("w", (CONE,), math.log(0.6)), Meaning("w", (CONE, PIPE), math.log(0.4))
    taken = decide([less, more], indifferent, Risk.PLAIN)
    assert isinstance(taken, Take) and taken.meaning == less
    less, more = replace(less, log_weight=math.log(0.4)), replace(more, text="v", log_weight=math.log(0.6))
    assert isinstance(decide([less, more], indifferent, Risk.PLAIN), Confirm)
