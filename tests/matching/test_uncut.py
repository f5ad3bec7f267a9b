"""Ports that are not cut for what seals them: the one doubt that two aspects share."""

from __future__ import annotations

import numpy as np
import pytest

from tests.matching.saying import said
from voicefit.matching import Matcher, MeasurementModel
from voicefit.records import Gender, Reading, Seal

METAL = [said("seal", "metal")] * 2
RING_MM = "23.0 mm"  # across: near what a boss on G1/2 has by its ring (22.6 mm); for a washer by 1 mm at most


def odds(
    matcher: Matcher, readings: list[Reading], end: str = "boss-g/8/port", other: str = "bspp-port/8/port"
) -> float:
    rows = {each.id: row for row, each in enumerate(matcher.ends)}
    logs = matcher.joint_log_likelihood(readings)
    return float(np.exp(logs[rows[end]] - logs[rows[other]]))


def apart(matcher: Matcher, readings: list[Reading]) -> float:
    """As though the two aspects shared nothing."""
    kinds = [[r for r in readings if name in {m.value for m in r.measurands}] for name in ("seal", "mouth_diameter")]
    return float(np.prod([odds(matcher, some) for some in kinds]))


def test_a_mouth_that_fits_says_little_where_no_seal_is_ever_seen(matcher: Matcher) -> None:
    """Either port may have been drilled and tapped by hand. A seal that was seen makes the mouth count in full."""
    seen = [said("seal", "base_o_ring"), said("mouth_diameter", RING_MM)]
    unseen = [*METAL, said("mouth_diameter", RING_MM)]
    assert odds(matcher, seen) == pytest.approx(apart(matcher, seen), rel=0.1)
    assert 1 < odds(matcher, unseen) < apart(matcher, unseen) / 5


def test_only_a_port_that_is_cut_for_its_seal_can_lack_that(matcher: Matcher) -> None:
    readings = [*METAL, said("mouth_diameter", RING_MM)]
    together = matcher.joint_log_likelihood(readings)
    single = matcher.joint_log_likelihood(METAL) + matcher.joint_log_likelihood(readings[2:])
    for row, end in enumerate(matcher.ends):
        if end.gender is not Gender.PORT or end.seal not in (Seal.BASE_O_RING, Seal.WASHER):
            assert together[row] == pytest.approx(single[row]), end.id
    assert together[-1] == pytest.approx(single[-1])


def test_the_factor_is_that_of_pieces_drawn_one_by_one(matcher: Matcher, model: MeasurementModel) -> None:
    """Pieces drawn with the one doubt in common: how often metal is said twice and a mouth read, over the product."""
    random, drawn = np.random.default_rng(11), 4_000_000
    row = next(row for row, end in enumerate(matcher.ends) if end.id == "boss-g/8/port")
    seal, mouth = matcher.aspects["seal"], matcher.aspects["mouth"]
    metal = list(Seal).index(Seal.METAL)
    option = METAL[0].options[0]
    said_metal = np.broadcast_to(seal.probability(option, None), seal.log_states.shape)[seal.class_of[row]]
    states = np.exp(seal.log_states[seal.class_of[row]])
    state = random.choice(len(states), drawn, p=states / states.sum())
    uncut = (state == metal) & (random.random(drawn) < model.seal.port_uncut)
    twice = (random.random((2, drawn)) < said_metal[state]).all(axis=0)
    read = said("mouth_diameter", RING_MM)
    widths = mouth.probability(read.options[0], None)[mouth.class_of[row]]
    shares = np.exp(mouth.log_states[mouth.class_of[row]])
    as_cut = float(widths @ shares)
    reads = np.where(uncut, widths[-1], as_cut)  # the probability of that reading, piece by piece
    drawn_factor = float((twice * reads).mean() / (twice.mean() * as_cut))
    both = matcher.joint_log_likelihood([*METAL, read])[row]
    each = matcher.joint_log_likelihood(METAL)[row] + matcher.joint_log_likelihood([read])[row]
    assert float(np.exp(both - each)) == pytest.approx(drawn_factor, rel=0.03)
