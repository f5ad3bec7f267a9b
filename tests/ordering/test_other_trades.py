"""Ends that are not hydraulic: recognised in order to be refused, never mated, never in an order, never in stock.

What they are is from memory: SAE practice of refrigerant lines, ISO 4038 (bubble flare), DIN 477-1 (cylinder outlets).
"""

from __future__ import annotations

import pytest

from tests.matching.saying import said
from voicefit.catalogue.ends import Trade
from voicefit.errors import BadInput
from voicefit.matching import Advisor, Matcher, load_checks, load_model, load_prior
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.mating import Reason
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
    posterior = advisor.matcher.posterior([said(*each) for each in readings.items()])
    row, share = posterior.best()[0]
    assert advisor.matcher.ends[row].id == end and share > 0.5


def test_nothing_of_theirs_is_ordered_or_mated(ordering: Ordering) -> None:
    theirs = [end for end in ordering.catalogue.ends if end.trade is not None]
    assert {end.trade for end in theirs} == {Trade.AIR_CONDITIONING, Trade.BRAKE_LINE, Trade.COMPRESSED_GAS}
    for end in theirs:
        mating = ordering.rules.of(end)
        assert not mating.mates and not mating.conditional
        assert all(refusal.reason is Reason.TRADE and refusal.end.trade is None for refusal in mating.refusals)
        slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end.id, ("fourteen per inch",)),)))
        (item,) = slip.ends
        assert item.id is None and item.name.startswith("not ordered: ") and item.readings == ("fourteen per inch",)
        assert not (item.torque or item.pressure or item.seals or item.mates)
        assert end.id not in to_csv(slip)
        assert not end.torque and not end.pressure
        assert ordering.chain_to_series(end, "flare37") is None


def test_a_hydraulic_end_is_warned_of_them(ordering: Ordering) -> None:
    refused = {each.end.id: each.reason for each in ordering.rules.of(ordering.end("flare37/10/male")).refusals}
    assert refused["ac-o-ring/10/female"] is Reason.TRADE  # both 7/8-14
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


@pytest.mark.parametrize(
    ("end", "trade"),
    [
        ("metric-port/16/stud", Trade.AIR_BRAKE),  # ISO 4039-1: tapped holes with a facial seal, as ISO 9974 (memory)
        ("metric-port/22/port", Trade.AIR_BRAKE),
        ("din60/6/female", Trade.FUEL_INJECTION),  # ISO 2974: 60 degree cone on M12x1.5 (memory)
        ("din60/8/male", Trade.FUEL_INJECTION),  # and on M14x1.5
        ("bspp-cone60/6/male", Trade.COMPRESSED_GAS),  # EN 560: welding hoses on G1/4 and G3/8 (memory)
    ],
)
def test_what_no_check_can_tell_from_another_trades_is_marked(end: str, trade: Trade, ordering: Ordering) -> None:
    assert ordering.end(end).also_used_for is trade
