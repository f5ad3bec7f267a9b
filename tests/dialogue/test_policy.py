"""Each number of ``data/confirmation.toml`` has a case on either side of it. The numbers are fitted to what the
recogniser's posterior is worth; what they decide between is common practice, no source."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.confirmation import Outcome, Risk, confusable
from voicefit.dialogue.meanings import Take, decide, readings_of
from voicefit.dialogue.snapshot import Belief
from voicefit.quantities import inches, millimetres
from voicefit.records import Context, Measurand, Option

NOTHING_KNOWN = Context()


@pytest.mark.parametrize(
    ("risk", "asked", "taken"),
    [
        (Risk.URGENT, 0.34, 0.36),  # "leak", half heard, is warned of
        (Risk.HARMLESS, 0.54, 0.56),  # "repeat"
        (Risk.PLAIN, 0.84, 0.86),  # "nineteen pitch"
        (Risk.COSTLY, 0.89, 0.91),  # "new job"
        (Risk.DECIDING, 0.975, 0.985),  # the reading that concludes
    ],
)
def test_the_more_hangs_on_it_the_surer_it_must_be(
    risk: Risk, asked: float, taken: float, knowledge: Knowledge
) -> None:
    assert knowledge.policy.outcome(asked, 0.0, risk) is not Outcome.TAKE
    assert knowledge.policy.outcome(taken, 0.0, risk) is Outcome.TAKE


@pytest.mark.parametrize(
    ("number", "alike"),
    [(12, False), (13, True), (19, True), (20, False), (30, True), (35, False), (90, True), (115, True), (100, False)],
)
def test_a_teen_sounds_like_a_ten(number: int, alike: bool) -> None:
    assert confusable(Option(Measurand.OUTSIDE_DIAMETER, millimetres(Fraction(number)))) is alike
    assert not confusable(Option(Measurand.OUTSIDE_DIAMETER, inches(Fraction(number))))


def test_what_is_for_good_is_always_asked(knowledge: Knowledge) -> None:
    assert knowledge.policy.outcome(1.0, 0.0, Risk.FOR_GOOD) is Outcome.CONFIRM


@pytest.mark.parametrize(
    ("share", "rival", "outcome"),
    [
        (0.49, 0.0, Outcome.REFUSE),
        (0.51, 0.0, Outcome.CONFIRM),
        (0.40, 0.29, Outcome.REFUSE),  # fifteen or fifty, and as likely neither
        (0.40, 0.31, Outcome.CHOOSE),
        (0.80, 0.039, Outcome.CONFIRM),  # fifty is not worth offering beside it
        (0.80, 0.041, Outcome.CHOOSE),
    ],
)
def test_what_is_not_taken_is_asked_about_or_refused(
    share: float, rival: float, outcome: Outcome, knowledge: Knowledge
) -> None:
    assert knowledge.policy.outcome(share, rival, Risk.PLAIN) is outcome


@pytest.mark.parametrize(("first", "answered"), [(0.61, True), (0.59, False)])
def test_a_value_answers_which_of_two_when_it_has_nine_tenths_of_both(
    first: float, answered: bool, knowledge: Knowledge
) -> None:
    second = 0.0666  # of what was offered, the first has 0.9016 or 0.8986
    assert knowledge.policy.answers(first, first + second) == answered


def test_an_answer_must_be_likely_itself(knowledge: Knowledge) -> None:
    assert not knowledge.policy.answers(0.49, 0.49)
    assert knowledge.policy.answers(0.51, 0.51)


@pytest.mark.parametrize(("confidence", "counts"), [(0.59, 0.0), (0.61, 0.61), (0.79, 0.79), (0.95, 0.8)])
def test_what_the_engine_refused_counts_within_limits(confidence: float, counts: float, knowledge: Knowledge) -> None:
    assert knowledge.policy.doubted(confidence) == counts


@pytest.mark.parametrize(("second", "kept"), [(0.021, True), (0.019, False)])
def test_an_alternative_is_carried_on_from_two_hundredths_of_the_first(
    second: float, kept: bool, knowledge: Knowledge
) -> None:
    fifteen, sixteen = (
        knowledge.language.interpret(f"{number} millimeters outside", NOTHING_KNOWN)[0]
        for number in ("fifteen", "sixteen")
    )
    heard = [replace(fifteen, log_weight=0.0), replace(sixteen, log_weight=math.log(second))]
    decision = decide(heard, lambda alternatives: [0.0] * len(alternatives), lambda *_: Risk.PLAIN, knowledge.policy)
    assert isinstance(decision, Take)
    (reading,) = readings_of(decision.meaning)
    assert (len({str(option.value) for option in reading.options}) == 2) == kept


@pytest.mark.parametrize(("probability", "asked"), [(0.91, True), (0.89, False)])
def test_a_leader_of_nine_tenths_is_not_overturned_by_what_is_half_heard(
    probability: float, asked: bool, knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch")
    believe = Knowledge.believe

    def as_likely(self: Knowledge, *known: Any) -> Belief:
        belief = believe(self, *known)
        leader = replace(belief.parts[0], probability=probability)
        return replace(belief, parts=(leader, *belief.parts[1:]))

    monkeypatch.setattr(Knowledge, "believe", as_likely)
    talk.hear(("it stands out", 0.9), ("stop", 0.1))
    assert (talk.session.state.focus.question is not None) == asked, talk.reply
