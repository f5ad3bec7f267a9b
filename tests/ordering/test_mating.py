"""What mates and what only screws on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from voicefit.catalogue import Catalogue
from voicefit.errors import BadTable
from voicefit.ordering.engagement import same_thread, screw_together
from voicefit.ordering.mating import MatingRules, Obstacle
from voicefit.ordering.room import Ordering


def mates(ordering: Ordering, end: str) -> list[str]:
    """What seals on it: those that hold what it holds, then those that hold less."""
    mating = ordering.rules.of(ordering.end(end))
    return [mate.id for mate in (*mating.mates, *(each.end for each in mating.conditional if each.of_pressure))]


def refused(ordering: Ordering, end: str) -> dict[str, Obstacle]:
    return {each.end.id: each.reason for each in ordering.rules.of(ordering.end(end)).refusals}


@pytest.mark.parametrize(
    ("end", "expected"),
    [
        ("flare37/6/male", ["flare37/6/female"]),  # SAE J514, figure of the flared connection
        ("orb/6/port", ["orb/6/stud"]),  # SAE J1926 / ISO 11926: port part 1, stud ends parts 2 and 3
        ("orfs/8/female", ["orfs/8/male"]),  # SAE J1453
        ("flange61/16/male", ["flange61/16/port"]),  # SAE J518
        ("iso6149/18/port", ["iso6149/18/stud"]),  # ISO 6149-1 and -2
        ("flare30-g/6/female", ["flare30-g/6/male"]),  # JIS B 8363
        # ISO 8434-1: one 24 degree body takes cutting ring, O-ring nose; DIN 3863: and the universal nose
        ("din24-l/15/male", ["din24-l/15/female", "din24-l/15/female-o-ring", "din24-l/15/female-universal"]),
        # DIN 3863: the universal nose seats on both cones
        ("din24-l/18/female-universal", ["din24-l/18/male", "din60/18/male"]),
        # ISO 8434-6 and JIS B 8363: the recessed 60 degree cone on pipe thread is one
        ("bspp-cone60/6/male", ["bspp-cone60/6/female", "bspp-cone60/6/female-o-ring", "cone60-g/6/female"]),
        # SAE J514: a pipe male with inner chamfer takes the straight pipe swivel; ASME B1.20.1: and any taper female
        ("npt/8/male-seat", ["npt/8/female", "npsm/8/female"]),
        # common practice, no source: a British taper male with inner cone takes the parallel swivel
        (
            "bspt/8/male-seat",
            ["bspt/8/female", "bspp-cone60/8/female", "bspp-cone60/8/female-o-ring", "cone60-g/8/female"],
        ),
        # DIN 3852-1: the taper stud goes into a parallel port of form Z
        ("metric-taper/18/male", ["metric-taper/18/port"]),
        # DIN 7643: the bolt passes the eye; DIN 3852: into a flat-shoulder port
        ("banjo/14/male", ["banjo/14/female", "metric-port/14/port"]),
        ("coupler-a/8/male", ["coupler-a/8/female"]),  # ISO 7241
        ("staple/8/female", ["staple/8/male"]),  # SAE J1467
    ],
)
def test_mates(end: str, expected: list[str], ordering: Ordering) -> None:
    found = mates(ordering, end)
    assert [each for each in found if not each.startswith("gaz24")] == expected


@pytest.mark.parametrize(
    ("end", "other", "reason"),
    [
        # 37 and 45 degree flares share the thread at dash 2, 3, 4, 5, 8, 10: SAE J514, J512
        *((f"flare37/{dash}/male", f"flare45/{dash}/female", Obstacle.SEAT_ANGLE) for dash in (2, 3, 4, 5, 8, 10)),
        # the same half angle on the same thread, one standing out, one going in: JIS B 8363 against ISO 8434-6
        ("flare30-g/6/female", "bspp-cone60/6/male", Obstacle.SEAT_FORM),
        ("flare30-g/8/male", "bspp-cone60/8/female", Obstacle.SEAT_FORM),
        # 24 degree light 12 mm and heavy 10 mm: both M18x1.5, ISO 8434-1
        ("din24-l/12/male", "din24-s/10/female", Obstacle.TUBE),
        # 24 against 60 degree on one metric thread: ISO 8434-1, DIN 7631
        ("din24-l/12/male", "din60/12/female", Obstacle.SEAT_ANGLE),
        # the same UN thread with a cone, or with an O-ring at its base: SAE J514, J1926
        ("flare37/8/male", "orb/8/port", Obstacle.SEALING),
        # one metric thread, two standards of port: ISO 6149, ISO 9974
        ("iso6149/22/stud", "metric-port/22/port", Obstacle.STANDARD),
        # American against British taper: 14 per inch at both halves and three quarters, ASME B1.20.1, ISO 7-1
        ("npt/8/male", "bspt/8/female", Obstacle.THREAD),
        ("npt/12/male", "bspt/12/female", Obstacle.THREAD),
        # 18 against 19, 27 against 28 per inch
        ("npt/4/male", "bspt/4/female", Obstacle.THREAD),
        ("npt/2/male", "bspt/2/female", Obstacle.THREAD),
        # a taper male in a parallel port of the same nominal size: common practice, no source
        ("bspt/8/male", "bspp-port/8/port", Obstacle.SEALING),
        # M14x1.5 male in 9/16-18: common practice, no source
        ("iso6149/14/stud", "orb/6/port", Obstacle.THREAD),
        # M27x2 against 1-1/16-12, M33x2 against 1-5/16-12: common practice, no source
        ("iso6149/27/stud", "orb/12/port", Obstacle.THREAD),
        ("iso6149/33/stud", "orb/16/port", Obstacle.THREAD),
        # code 61 and 62 at half an inch: SAE J518
        ("flange61/8/male", "flange62/8/port", Obstacle.STANDARD),
    ],
)
def test_screws_on_and_must_not(end: str, other: str, reason: Obstacle, ordering: Ordering) -> None:
    assert refused(ordering, end).get(other) is reason
    assert refused(ordering, other).get(end) is reason


@pytest.mark.parametrize(
    ("male", "female"),
    [("M22×1.5", "7/8-14 UNF"), ("G3/8", "M22×1.5"), ("M18×1.5", "9/16-18 UNF"), ("G1/2", "G3/8"), ("G1/4", "M18×1.5")],
)
def test_threads_that_do_not_go_together(male: str, female: str, catalogue: Catalogue) -> None:
    assert screw_together(catalogue.threads[male], catalogue.threads[female]) is None


@pytest.mark.parametrize(
    ("male", "female", "goes_on"),
    [
        # Pitch: 1.5 mm against 18 per inch is 6 % off and takes hold; 12 against 11 per inch is 8 % off and binds.
        ("M14×1.5", "9/16-18 UNF", True),
        ("1-7/8-12 UN", "G1-1/2", False),
        # Diameter: an eighth-inch straight pipe male is 0.14 mm too large for M10x1 and goes in; 3/4 British is 0.16 mm
        # too large for the mouth of an American taper and does not start.
        ("1/8-27 NPSM", "M10×1", True),
        ("G3/4", "3/4-14 NPT", False),
        # Depth: a quarter-inch British male holds in 9/16-18 by 26 % of the thread; M30x2 in 1-1/4-12, by 24 %, drops
        # out.
        ("G1/4", "9/16-18 UNF", True),
        ("M30×2", "1-1/4-12 UNF", False),
    ],
)
def test_where_two_threads_begin_to_hold(male: str, female: str, goes_on: bool, catalogue: Catalogue) -> None:
    """Near the limits of pitch, interference and depth. By the formulas of the threads; the limits: common practice."""
    assert (screw_together(catalogue.threads[male], catalogue.threads[female]) is not None) == goes_on


@pytest.mark.parametrize(("over_mm", "goes_in"), [(0.0, True), (1.0, True), (1.2, False), (-0.1, False)])
def test_an_eye_takes_a_bolt_up_to_a_millimetre_under_its_bore(
    over_mm: float, goes_in: bool, ordering: Ordering
) -> None:
    """Common practice, no source. Beyond it the washers do not cover the gap, or the bolt does not go in."""
    eye, bolt = ordering.end("banjo/14/female"), ordering.end("banjo/14/male")
    assert bolt.thread is not None
    bored = replace(eye, profile_mm=(("eye bore", bolt.thread.major_diameter_mm + over_mm),))
    assert ordering.rules.mate(bored, bolt) == goes_in


def test_flanges_are_taken_for_each_other_where_they_are_within_three_millimetres(ordering: Ordering) -> None:
    """SAE J518: at dash 8 heads and bolts of the two codes are within 2.4 mm, at dash 12 bolts lie 3.2 mm apart."""
    assert "flange62/8/port" in refused(ordering, "flange61/8/male")
    assert "flange62/12/port" not in refused(ordering, "flange61/12/male")


def test_mating_is_mutual_and_nothing_is_both(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        mating = ordering.rules.of(end)
        groups = [
            {each.id for each in mating.mates},
            {each.end.id for each in mating.conditional},
            {each.end.id for each in mating.refusals},
        ]
        assert len(set.union(*groups)) == sum(map(len, groups)), end.id
        assert end.id not in set.union(*groups)
        for mate in mating.mates:
            assert end.id in mates(ordering, mate.id), (end.id, mate.id)
            assert ordering.rules.mate(end, mate)
        for refusal in mating.refusals:
            assert end.id in refused(ordering, refusal.end.id), (end.id, refusal.end.id)


def test_every_end_has_a_mate(ordering: Ordering) -> None:
    alone = [e.id for e in ordering.catalogue.ends if e.trade is None and not mates(ordering, e.id)]
    assert alone == [f"flange62/{dash}-thick/male" for dash in (12, 16, 20, 24, 32)]
    for each in alone:  # a machine maker's own head: only with that maker's clamps
        (condition,) = ordering.rules.of(ordering.end(each)).conditional
        assert condition.end.id == each.replace("-thick/male", "/port")


def test_mates_have_equal_bores_or_threads(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        for mate in ordering.rules.of(end).mates:
            if end.thread is not None and mate.thread is not None:
                assert same_thread(end.thread, mate.thread), (end.id, mate.id)
                assert end.external != mate.external
            else:
                assert end.series == mate.series


def test_a_parallel_male_in_a_parallel_port_is_conditional(ordering: Ordering) -> None:
    (condition,) = ordering.rules.of(ordering.end("bspp-cone60/8/male")).conditional
    assert (condition.end.id, condition.condition) == (
        "bspp-port/8/port",
        "the male has a machined shoulder for a bonded washer",
    )


HEADER = "id,kind_a,kind_b,verdict,condition,seal,source,basis\n"


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        (
            "a,flare37/male,flare37/mail,only if,x,metal,common-practice,common practice",
            "kind_b",
            "'flare37/mail' is no kind",
        ),
        ("a,flare37/male,orb/port,always,x,metal,common-practice,common practice", "verdict", "only if"),
        ("a,flare37/male,orb/port,only if,x,metal,a-book,memory", "source", "not in sources.csv"),
        ("a,flare37/male,orb/port,only if,x,cone_o_ring,common-practice,common practice", "seal", "not 'cone_o_ring'"),
    ],
)
def test_a_bad_row_is_named(row: str, column: str, reason: str, catalogue: Catalogue) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        MatingRules.build(catalogue, {"mating.csv": HEADER + row + "\n"})
    assert (caught.value.row, caught.value.column) == (2, column)
