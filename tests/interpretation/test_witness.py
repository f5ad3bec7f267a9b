"""What phrases took of a few words is not taken where the clause, as a whole, tells nothing of the end."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.interpretation.test_retracting import told
from voicefit.interpretation import Language
from voicefit.interpretation.witness import Witness
from voicefit.records import Command, Context, KindShares, Measurand, Reading

NOTHING_OF_AN_END = (
    "my hand won't go in past that nut",
    "the cone's been hammered flat by somebody, I can't make it out",
)
TELLS = (
    ("male with a twenty seven hex", Measurand.GENDER),
    ("there's a cutting ring on a fifteen millimeter tube", Measurand.SEAL),
    ("no thread on it, held with a staple", Measurand.SHAPE),
    ("the boss is shouting, but it's recessed", Measurand.SEAT_FORM),
    ("a tapered one, sixty degree flanks", Measurand.TAPER),
)
MIXED = (("the block has a port, what I'm holding is male", {Measurand.GENDER}),)
PITCH = Context(expected=(Measurand.PITCH,))


@pytest.mark.parametrize("text", NOTHING_OF_AN_END)
def test_it_is_not_taken(language: Language, text: str) -> None:
    assert told(language, text, PITCH) == []


@pytest.mark.parametrize(("text", "measurand"), TELLS)
def test_what_tells_something_is(language: Language, text: str, measurand: Measurand) -> None:
    assert measurand in {m for reading in told(language, text) for m in reading.measurands}


@pytest.mark.parametrize(
    ("text", "value"),
    [("thirty eight mil over the outside", "38"), ("forty two millimeters over the crests", "42")],
)
def test_a_number_is_not_cut_in_two(language: Language, text: str, value: str) -> None:
    """Not thirty, and eight millimetres over."""
    (reading,) = told(language, text)
    assert {str(option.value.value) for option in reading.options} == {value}


def test_a_no_to_somebody_else_answers_nothing(language: Language) -> None:
    asked = Context(expected=(Measurand.SHAPE,), yes_no=True)
    for text, answer in (("no love, I'll be late tonight", None), ("no there isn't, love", "no")):
        names = [getattr(item, "name", None) for item in language.interpret(text, asked)[0].items]
        assert ("no" in names) == (answer is not None), text


def test_what_a_clause_of_talk_takes_up_for_the_most_part_is_told_nothing(language: Language) -> None:
    """All that was taken of the clause counts: two features in one breath are no few words of it."""
    assert told(language, "Mick thought it was one and a half", PITCH) == []
    assert len(told(language, "a japanese machine, and the cone sticks out")) == 2


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("the drawing says it should have been thirty seven degrees", set()),
        ("Dave, what did you get on yours, nineteen", set()),
        ("the drum had eighteen on its label, I get twenty", {"20"}),
        ("he has fourteen on his, mine's sixteen pitch", {"16"}),
    ],
)
def test_a_number_of_something_else_is_not_taken(language: Language, text: str, values: set[str]) -> None:
    assert {str(o.value.value) for reading in told(language, text, PITCH) for o in reading.options} == values


def test_a_yes_or_no_that_is_all_of_an_answer_stands(language: Language) -> None:
    """Of "no way" the classifier knows only that one cannot tell."""
    asked = Context(expected=(Measurand.SHAPE,), yes_no=True)

    for text, answer in (("no way", "no"), ("yeah definitely", "yes"), ("yeah mate", "yes"), ("I can't say no", None)):
        names = {getattr(item, "name", None) for item in language.interpret(text, asked)[0].items}
        assert names & {"yes", "no"} == ({answer} if answer else set()), text


class _Weighs:
    """A classifier that gives every letter the same."""

    def __init__(self, told: float, **shares: float) -> None:
        self._told, self._shares = told, shares

    def of(self, text: str) -> KindShares:
        return KindShares(self._shares, 0.0, (self._told,) * len(text))


def test_what_is_only_perhaps_told_is_asked_about_where_nothing_else_is(language: Language) -> None:
    """And left out where the sentence as a whole is talk, or of one who is not sure."""
    alone, both = (language.interpret(text, Context())[0] for text in ("a washer", "male, a washer"))
    alone = replace(alone, text="a washer in all this muck")
    for classifier, guessed in ((_Weighs(0.9), [False]), (_Weighs(0.4), [True]), (_Weighs(0.4, nothing=0.6), [])):
        kept = Witness(classifier, frozenset(), frozenset()).borne_out(alone).items
        assert [item.guessed for item in kept if isinstance(item, Reading)] == guessed
    assert Witness(_Weighs(0.4), frozenset(), frozenset()).borne_out(both) is both


def test_of_two_that_it_could_be_who_cannot_tell_says_neither(language: Language) -> None:
    said = "could be in, could be out, I can't tell"
    items = language.interpret(said, Context(expected=(Measurand.SEAT_FORM,)))[0].items
    assert not any(isinstance(item, Reading) for item in items)


@pytest.mark.parametrize(("alarms", "kept"), [(frozenset[str](), 1), (frozenset({"hurt"}), 2)])
def test_a_function_by_chance_is_not_called_beside_what_is_told_but_an_alarm_is(
    language: Language, alarms: frozenset[str], kept: int
) -> None:
    text = "outside three quarters, I nicked it getting it out"
    told = language.interpret("outside three quarters")[0]
    meaning = replace(told, text=text, items=(*told.items, Command("hurt", "I nicked")))
    assert len(Witness(_Weighs(1.0), frozenset(), frozenset(), alarms).borne_out(meaning).items) == kept
