"""Ends that are not hydraulic: recognised in order to be refused, never mated, never in an order, never in stock.

What they are is from memory: SAE practice of refrigerant lines, ISO 4038 (bubble flare), DIN 477-1 (cylinder outlets).
"""

from __future__ import annotations

import pytest

from tests.matching.saying import Piece, identify, likeliest, said
from tests.ordering.conftest import chain_to_series
from voicefit.catalogue.ends import CandidateEnd, Trade
from voicefit.errors import BadInput
from voicefit.matching import Advisor, Matcher, Posterior, load_checks, load_model, load_prior
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.mating import Obstacle
from voicefit.ordering.naming import end_name
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.stock import StockMatcher
from voicefit.resources import grammar_folder, read_texts


@pytest.fixture(scope="module")
def advisor(ordering: Ordering, data: dict[str, str]) -> Advisor:
    checks = load_checks(read_texts(grammar_folder(), ".toml"))
    return Advisor(Matcher(ordering.catalogue, load_prior(data), load_model(data), checks), checks)


@pytest.mark.parametrize(
    ("readings", "end"),
    [
        # 3/4-16 nut with an O-ring on a pilot: by thread alone a 37 degree flare, a boss or a 45 degree flare
        (
            {"inside_diameter": "17.6 mm", "pitch": "16 tpi", "seat_form": "none", "seal": "bore_o_ring"},
            "ac-o-ring/8/female",
        ),
        # 3/4-16 male with the O-ring on its own pilot, in front of the thread; some call the pilot a nose
        *(
            (
                {"outside_diameter": "18.9 mm", "pitch": "16 tpi", "seat_form": form, "seal": seal},
                "ac-o-ring/8/male",
            )
            for form, seal in (("none", "bore_o_ring"), ("convex", "bore_o_ring"), ("none", "cone_o_ring"))
        ),
        # M10x1 bubble: by thread alone an extra light cone or a metric stud
        (
            {"outside_diameter": "9.9 mm", "pitch": "1 mm", "seat_form": "convex", "gender": "male", "body": "loose"},
            "brake-bubble/m10/male",
        ),
        # W21.8-14 with a flat face: by thread nearly 7/8-14 and M22
        (
            {"outside_diameter": "21.7 mm", "pitch": "14 tpi", "flank_angle": "55 deg", "seat_form": "flat"},
            "gas-cylinder/w21.8/male",
        ),
    ],
)
def test_they_are_recognised(readings: dict[str, str], end: str, advisor: Advisor) -> None:
    posterior = Posterior(advisor.matcher, [said(*each) for each in readings.items()])
    row, share = likeliest(posterior)
    assert advisor.matcher.ends[row].part == end and share > 0.4


def test_nothing_of_theirs_is_ordered_or_mated(ordering: Ordering) -> None:
    theirs = [end for end in ordering.catalogue.ends if end.trade is not None]
    assert {end.trade for end in theirs} == set(Trade)
    for end in theirs:
        mating = ordering.rules.of(end)
        assert not mating.mates and not mating.conditional
        assert all(refusal.reason is Obstacle.TRADE and refusal.end.trade is None for refusal in mating.refusals)
        slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end.id, ("fourteen per inch",)),)))
        (item,) = slip.ends
        assert item.id is None and item.name.endswith("not ordered, no hydraulic end") and item.count == 0
        assert item.readings == ("fourteen per inch",)
        assert not (item.torque or item.pressure or item.seals or item.mates)
        assert end.id not in to_csv(slip)
        assert not end.torque and not end.pressure
        assert chain_to_series(ordering, end, "flare37") is None


def test_a_hydraulic_end_is_warned_of_them(ordering: Ordering) -> None:
    refused = {each.end.id: each.reason for each in ordering.rules.of(ordering.end("flare37/10/male")).refusals}
    assert refused["ac-o-ring/10/female"] is Obstacle.TRADE  # both 7/8-14
    for end in ordering.catalogue.ends:
        assert not [mate.id for mate in ordering.rules.of(end).mates if mate.trade is not None]


def test_a_stock_list_has_none(ordering: Ordering) -> None:
    matcher = StockMatcher(ordering.catalogue)
    for end in ordering.catalogue.ends:
        if end.trade is not None:
            try:
                part = matcher.part_of(end_name(end))
            except BadInput:
                continue
            assert ordering.catalogue.by_id[part].trade is None


TWINS = [
    # ISO 4039-1: tapped holes with a facial seal, as ISO 9974 (memory)
    ("metric-port/16/stud", "air-brake/16/stud", {"outside_diameter": "16.0 mm", "pitch": "1.5 mm"}),
    ("metric-port/22/port", "air-brake/22/port", {"inside_diameter": "20.4 mm", "pitch": "1.5 mm"}),
    # ISO 2974: 60 degree cones on M12x1.5 and M14x1.5 (memory)
    ("din60/6/female", "injection/12/female", {"inside_diameter": "10.4 mm", "pitch": "1.5 mm", "nose": "straight"}),
    ("din60/8/male", "injection/14/male", {"outside_diameter": "13.9 mm", "pitch": "1.5 mm"}),
    # EN 560: welding hoses on G1/4 and G3/8 (memory)
    (
        "bspp-cone60/4/male",
        "gas-hose/4/male",
        {"outside_diameter": "13.1 mm", "pitch": "19 tpi", "flank_angle": "55 deg"},
    ),
    # SAE J512: refrigerant lines of buildings have the 45 degree flare, brake lines the inverted one (memory)
    ("flare45/8/male", "ac-flare/8/male", {"outside_diameter": "19.0 mm", "pitch": "16 tpi"}),
    ("inverted-flare/3/male", "brake-inverted/3/male", {"outside_diameter": "9.5 mm", "pitch": "24 tpi"}),
]


def told(end: CandidateEnd, readings: dict[str, str], line: str | None) -> Piece:
    """The piece in hand: what is seen of the end, and what its line carries, where that can be told."""
    half = end.seat_half_angle_deg
    says = {"gender": str(end.gender), "seat_form": str(end.seat_form), "taper": "parallel", "flank_angle": "60 deg"}
    says |= {"body": "housing" if end.gender == "port" else "loose", "seal": str(end.seal)}
    if half is not None:
        says["seat_angle"] = f"{half if end.named_by_half_angle else 2 * half:g} deg"
    piece = Piece(says | readings | ({"line": line} if line else {}))
    if line is None:
        del piece.says["line"]
    return piece


@pytest.mark.parametrize(("hydraulic", "other", "readings"), TWINS)
def test_a_twin_of_another_trade_is_told_by_its_line_alone(
    hydraulic: str, other: str, readings: dict[str, str], ordering: Ordering, advisor: Advisor
) -> None:
    """Neither is identified before it was asked what the line carries; who cannot tell gets the hydraulic one, on that
    condition, which is said with it."""
    matcher, end = advisor.matcher, ordering.end(hydraulic)
    first = said(*next(iter(readings.items())))
    for line, expected in (("hydraulic", hydraulic), (ordering.end(other).line, other), (None, hydraulic)):
        posterior, advice, asked = identify(advisor, told(end, readings, line), [first])
        assert "line" in [check.id for check in asked]
        assert advice.identified
        assert matcher.ends[posterior.best_parts(1)[0][0]].part == ordering.end(expected).part


def test_each_end_of_another_trade_is_recognised(ordering: Ordering, advisor: Advisor) -> None:
    """By its own sizes, and by what its line carries where it is cut like a hydraulic end."""
    theirs = [end for end in ordering.catalogue.ends if end.trade is not None]
    assert len(theirs) == 50
    for end in theirs:
        thread = end.thread
        assert thread is not None
        side, limits = ("outside", thread.external_major_mm) if end.external else ("inside", thread.internal_minor_mm)
        pitch = f"{thread.pitch_mm:g} mm" if thread.tpi is None else f"{float(thread.tpi):g} tpi"
        diameter = {f"{side}_diameter": f"{sum(limits) / 2:.1f} mm"}
        sizes = diameter | {"pitch": pitch, "flank_angle": f"{thread.flank_angle_deg:g} deg"}
        first = [said(*each) for each in diameter.items()]
        posterior, advice, _ = identify(advisor, told(end, sizes, end.line), first)
        found = advisor.matcher.ends[posterior.best_parts(1)[0][0]]
        assert advice.identified and found.part == end.part, end.id


def test_an_air_conditioning_nut_is_never_called_a_flare_or_a_boss(advisor: Advisor) -> None:
    """Nut on a pilot with an O-ring (memory), whatever is asked and in whatever order it is told."""
    threads = {"5/8": ("14.5 mm", "18 tpi"), "3/4": ("17.6 mm", "16 tpi"), "7/8": ("20.6 mm", "14 tpi")}
    identified = 0
    for size, (inside, pitch) in threads.items():
        says = {"gender": "female", "inside_diameter": inside, "pitch": pitch, "seat_form": "none", "taper": "parallel"}
        says |= {"seal": "bore_o_ring", "body": "loose", "flank_angle": "60 deg", "line": "air_conditioning"}
        for first in says:
            posterior, advice, _ = identify(advisor, Piece(says), [said(first, says[first])])
            leader = advisor.matcher.ends[posterior.best_parts(1)[0][0]]
            assert not advice.identified or leader.trade is Trade.AIR_CONDITIONING, (size, first, leader.id)
            identified += advice.identified
    assert identified > 0, "a test of what is never identified would tell nothing"
