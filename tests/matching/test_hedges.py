"""How loosely it was said, and on what: "about", "just under", "between", "I think", over two threads or over eight.

How far each reaches is common practice of the trade, no source.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from tests.matching.saying import option
from voicefit.matching import Matcher
from voicefit.quantities import Quantity
from voicefit.records import Hedge, Option, Reading

# 3/4-16 male, 19.05 mm across its crests (ASME B1.1); 9/16-18 and G3/8 have 18 and 19 threads per inch.
FLARE_8, FLARE_6, PIPE_6, FLARE_5 = "flare37/8/male", "flare37/6/male", "bspp-cone60/6/male", "flare37/5/male"


def hedged(measurand: str, text: str, hedge: Hedge | None, resolution: str = "") -> Option:
    said = option(measurand, text)
    assert isinstance(said.value, Quantity)
    value = replace(said.value, resolution=Fraction(resolution)) if resolution else said.value
    return replace(said, value=value, hedge=hedge)


def likelihoods(matcher: Matcher, said: Option, *ends: str, threads: int | None = None) -> list[float]:
    by_end = matcher.log_likelihood(Reading("", (said,), threads))
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    return [float(np.exp(by_end[rows[each]])) for each in ends]


@pytest.mark.parametrize(
    ("text", "hedge", "fits"),
    [
        # 18.77 to 19.01 mm new (2A), 0.22 under that where it is worn, and a caliper's 0.13 mm either way
        ("19.14 mm", None, True),
        ("19.16 mm", None, False),
        ("18.43 mm", None, True),
        ("18.41 mm", None, False),
        ("18.4 mm", None, False),
        ("18.4 mm", Hedge.ABOUT, True),  # a millimetre either way by eye
        ("19.7 mm", Hedge.ABOUT, True),
        ("17.6 mm", Hedge.ABOUT, False),
        ("0.700 in", Hedge.ABOUT, True),  # a sixteenth of an inch where it is said in inches
        ("0.680 in", Hedge.ABOUT, False),
        ("19.6 mm", Hedge.UNDER, True),
        ("19.9 mm", Hedge.UNDER, False),
        ("19.4 mm", Hedge.OVER, False),
        ("18.0 mm", Hedge.OVER, True),
        ("18.0 mm", Hedge.UNDER, False),
        ("18.4 mm", Hedge.PERHAPS, False),  # not being sure of it moves nothing
        ("3/4 in", None, True),
        ("11/16 in", None, False),  # whoever says sixteenths has a scale with thirty-seconds
        ("11/16 in", Hedge.ABOUT, True),
    ],
)
def test_a_diameter_said_loosely_fits_what_lies_near(
    text: str, hedge: Hedge | None, fits: bool, matcher: Matcher
) -> None:
    said = hedged("outside_diameter", text, hedge)
    aspect = matcher.aspect(said.measurand)
    row = aspect.class_of[[end.id for end in matcher.ends].index(FLARE_8)]
    assert aspect.fits(said)[row] == fits


@pytest.mark.parametrize("measurand", ["outside_diameter", "hex", "tube_outside_diameter", "profile_diameter"])
def test_three_quarters_are_read_on_a_scale_of_thirty_seconds(measurand: str, matcher: Matcher) -> None:
    """ "Three quarters" does not show its scale: it says what "twenty-four thirty-seconds" says."""
    plain, on_scale, about = (
        matcher.log_likelihood(Reading("", (hedged(measurand, text, hedge),)))
        for text, hedge in (("3/4 in", None), ("24/32 in", None), ("3/4 in", Hedge.ABOUT))
    )
    np.testing.assert_allclose(plain, on_scale, atol=1e-12)
    assert np.abs(about - plain).max() > 0.5


def test_between_two_lengths_is_anything_between(matcher: Matcher) -> None:
    """Between 18 and 20 mm: 19.05 (3/4-16) as well as 17.9 (M18) or 19.9 (M20), and 15.9 (5/8-18) is out of it."""
    said = hedged("outside_diameter", "19 mm", Hedge.BETWEEN, "2")
    middle, low, high, out = likelihoods(matcher, said, FLARE_8, "din60/12/male", "din24-s/12/male", "flare45/6/male")
    assert middle > low > 2 * out and middle > high > 2 * out


def test_between_two_leaves_is_one_of_them(matcher: Matcher) -> None:
    """Between eighteen and nineteen there is no thread: it is one of the two."""
    said = hedged("pitch", "18.5 tpi", Hedge.BETWEEN, "1")
    eighteen, nineteen, twenty, sixteen = likelihoods(matcher, said, FLARE_6, PIPE_6, FLARE_5, FLARE_8)
    assert 0.5 < eighteen / nineteen < 2
    assert min(eighteen, nineteen) > 3 * max(twenty, sixteen)
    fits = matcher.aspect(said.measurand).fits(said)
    of = dict(zip((end.id for end in matcher.ends), matcher.aspect(said.measurand).class_of, strict=False))
    assert [bool(fits[of[each]]) for each in (FLARE_6, PIPE_6, FLARE_5, FLARE_8)] == [True, True, False, False]


@pytest.mark.parametrize(
    ("measurand", "text", "true", "other"),
    [
        ("pitch", "18 tpi", FLARE_6, FLARE_8),
        ("seat_angle", "37 deg", FLARE_6, "flare45/6/male"),
        ("seat_form", "flat", "orfs/6/male", FLARE_6),
    ],
)
def test_i_think_weighs_less_but_it_weighs(measurand: str, text: str, true: str, other: str, matcher: Matcher) -> None:
    sure, perhaps = option(measurand, text), option(measurand, text).doubted(0.8)
    for_sure, guessed = (np.divide(*likelihoods(matcher, each, true, other)) for each in (sure, perhaps))
    assert for_sure / 8 < guessed < 0.6 * for_sure and guessed > 10


@pytest.mark.parametrize(
    ("threads", "least", "most"),
    [(2, 4, 6), (3, 6, 9), (8, 25, 40), (None, 15, 25)],  # over two threads the nineteen leaf lies nearly as well
)
def test_a_leaf_tells_eighteen_from_nineteen_over_many_threads_only(
    threads: int | None, least: float, most: float, matcher: Matcher
) -> None:
    ends = FLARE_6, PIPE_6, FLARE_8
    eighteen, nineteen, sixteen = likelihoods(matcher, option("pitch", "18 tpi"), *ends, threads=threads)
    assert least < eighteen / nineteen < most and nineteen > 2 * sixteen
    about = replace(option("pitch", "18 tpi"), hedge=Hedge.ABOUT)  # no better than over three
    plain = likelihoods(matcher, option("pitch", "18 tpi"), *ends, threads=min(threads or 3, 3))
    assert likelihoods(matcher, about, *ends, threads=threads) == plain


@pytest.mark.parametrize(("hedge", "least", "most"), [(None, 4, 12), (Hedge.ABOUT, 1.2, 3)])
def test_an_angle_by_eye_tells_little(hedge: Hedge | None, least: float, most: float, matcher: Matcher) -> None:
    """About forty: 37 rather than 45 degrees, and neither of 24."""
    said = replace(option("seat_angle", "40 deg"), hedge=hedge)
    flare37, flare45, cone24 = likelihoods(matcher, said, FLARE_6, "flare45/6/male", "din24-l/12/male")
    assert least < flare37 / flare45 < most
    assert flare37 > 5 * cone24
