"""Pieces and readings drawn at random, as the measurement model says that they come about, against the likelihood.

The numbers are those of ``measurement.toml``; limits and tapers by the standards of the threads. Nothing is taken from
the matcher but the probabilities under test: what it adds up in closed form and on grids is drawn here by chance.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from tests.matching.saying import option
from voicefit.catalogue import CandidateEnd
from voicefit.matching import Matcher, MeasurementModel
from voicefit.matching.aspect import Aspect, Evidence, Floats
from voicefit.quantities import Quantity, Unit
from voicefit.records import Measurand, Option

DRAWN = 200_000
TENTH = Fraction(1, 10)


def true_mm(end: CandidateEnd, model: MeasurementModel, place: str, random: np.random.Generator) -> Floats:
    """Diameters across the crests of pieces of one end: as made, as worn, and where the jaws are."""
    thread, condition = end.thread, model.thread_condition
    assert thread is not None
    low, high = thread.external_major_mm if end.external else thread.internal_minor_mm
    along = np.zeros(DRAWN)
    if thread.taper:  # out of gauge by a turn at most; one in sixteen from the small end to the last full thread
        taper, turn = float(thread.taper), thread.pitch_mm * float(thread.taper)
        if end.external:
            assert thread.gauge_length_mm and thread.thread_length_mm
            low = thread.major_diameter_mm - thread.gauge_length_mm * taper
            high = min(low + thread.thread_length_mm * taper, high)
        ends = {"first": (low, low), "last": (high, high), "": (low, high)}[place]
        along = random.uniform(*ends, DRAWN)
        low, high = -turn, turn
    made = random.uniform(low, high, DRAWN) + along
    state = random.choice(len(condition.share), DRAWN, p=condition.share)
    worn = random.normal(np.array(condition.wear_mm)[state], np.array(condition.wear_sd_mm)[state])
    kept = random.normal(0, model.caliper.kept_sd_mm, DRAWN)
    return np.asarray(made + kept + (-worn if end.external else worn), dtype=np.float64)


@pytest.mark.parametrize(
    ("end_id", "place"),
    [
        ("flare37/8/male", ""),
        ("flare37/8/female", ""),
        ("din24-l/12/male", ""),
        ("bspp-cone60/16/female", ""),
        ("npt/8/male", ""),
        ("npt/8/male", "first"),
        ("npt/8/male", "last"),
        ("bspt/12/male", "first"),
        ("bspt/8/male", "last"),
    ],
)
def test_a_diameter_is_read_as_often_as_it_is_drawn(
    end_id: str, place: str, matcher: Matcher, model: MeasurementModel
) -> None:
    end = next(each for each in matcher.ends if each.id == end_id)
    caliper, random = model.caliper, np.random.default_rng(7)
    jaws = random.normal(0, caliper.decimal_sd_mm, DRAWN)
    read = np.round((true_mm(end, model, place, random) + jaws) / float(TENTH)).astype(int)
    numbers, counts = np.unique(read, return_counts=True)
    side = "outside_diameter" if end.external else "inside_diameter"
    measurand = Measurand(f"{place}_thread_diameter" if place else side)
    span = range(int(numbers[0]) - 8, int(numbers[-1]) + 9)
    aspect = matcher.aspect(measurand)
    row = aspect.class_of[matcher.ends.index(end)]
    given = np.array(
        [
            np.exp(
                aspect.log_likelihood(
                    [Evidence(((Option(measurand, Quantity(n * TENTH, Unit.MILLIMETRE, TENTH)), 1.0),))]
                )
            )[row]
            for n in span
        ]
    )
    given -= given[[0, -1]].mean()  # without what is read by mistake, as often all over the scale
    named = 1.0 if place else 1 - caliper.side - caliper.side_kept
    assert given.sum() == pytest.approx(named * (1 - caliper.gross - caliper.nominal), abs=0.012)
    given /= given.sum()
    drawn = np.zeros(len(span))
    drawn[numbers - span[0]] = counts / DRAWN
    at_mm = np.array([n * float(TENTH) for n in span])
    means = [float(p @ at_mm) for p in (given, drawn)]
    spreads = [float(np.sqrt(p @ (at_mm - mean) ** 2)) for p, mean in zip((given, drawn), means, strict=True)]
    assert means[0] == pytest.approx(means[1], abs=0.003)
    assert spreads[0] == pytest.approx(spreads[1], rel=0.02)
    assert np.abs(given - drawn).sum() / 2 < 0.08  # limits are even, not normal


def test_none_of_these_may_have_any_diameter_but_has_one(matcher: Matcher) -> None:
    """Wherever it is read it is as likely, to a hundredth of a millimetre; and read twice it is the same again."""

    def likelihood(*values: str) -> float:
        options = [
            Option(Measurand.OUTSIDE_DIAMETER, Quantity(Fraction(v), Unit.MILLIMETRE, Fraction(1, 100))) for v in values
        ]
        evidence = [Evidence(((each, 1.0),)) for each in options]
        return float(np.exp(matcher.aspects["diameter"].log_likelihood(evidence)[-1]))

    anywhere = [likelihood(f"{30 + n / 100:.2f}") for n in range(30)]
    assert max(anywhere) / min(anywhere) < 1.02
    assert sum(anywhere) / 30 == pytest.approx(0.5 * 0.01 / 127, rel=0.02)
    assert likelihood("30.00", "30.05") > 100 * likelihood("30.00", "31.50") > 0


@pytest.mark.parametrize("before", [(), ("21.2 mm",)], ids=["nothing read", "read before"])
def test_a_diameter_is_foreseen_nearly_as_it_would_be_read(before: tuple[str, ...], matcher: Matcher) -> None:
    """In closed form, by mean and spread, against the sum over all diameters that the piece may have."""
    aspect = matcher.aspects["diameter"]
    every = np.arange(aspect.n_classes)
    states = aspect.states([Evidence(((option("outside_diameter", each), 1.0),)) for each in before], every)
    quick = aspect.foresee_open(states, Measurand.OUTSIDE_DIAMETER, every)
    whole = Aspect.foresee_open(aspect, states, Measurand.OUTSIDE_DIAMETER, every)
    apart = np.abs(quick - whole).sum(axis=1) / 2
    assert np.median(apart) < 0.09 and np.quantile(apart, 0.98) < 0.15
    half = len(aspect.outcomes) // 2
    np.testing.assert_allclose(quick[:, :half].sum(axis=1), whole[:, :half].sum(axis=1), atol=0.005)  # the side named


@pytest.mark.parametrize(
    ("end_id", "first_mm", "last_mm"),
    [
        ("npt/8/male", 20.65, 21.38),  # ASME B1.20.1: 0.816 in at the small end, 0.844 in at the last full thread; worn
        ("npt/8/female", 18.67, 17.77),  # widest at its mouth
        ("flare37/8/male", 18.83, 18.83),  # a straight one is the same all along
    ],
)
def test_first_and_last_thread_are_foreseen_apart_on_a_taper(
    end_id: str, first_mm: float, last_mm: float, matcher: Matcher
) -> None:
    aspect = matcher.aspects["diameter"]
    end = next(each for each in matcher.ends if each.id == end_id)
    row = np.array([aspect.class_of[matcher.ends.index(end)]])
    half = len(aspect.outcomes) // 2
    side = slice(0, half) if end.external else slice(half, None)
    at_mm = np.array([float(each.value.mm) for each in aspect.outcomes[side] if isinstance(each.value, Quantity)])
    for place, expected in (("first", first_mm), ("last", last_mm)):
        table = aspect.foresee_open(aspect.states((), row), Measurand(f"{place}_thread_diameter"), row)[0, side]
        near = np.abs(at_mm - expected) < 3
        assert float(table[near] @ at_mm[near] / table[near].sum()) == pytest.approx(expected, abs=0.05)
