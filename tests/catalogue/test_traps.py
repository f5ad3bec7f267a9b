"""What the trade knows to go wrong, one test each. Sources are named; where the value was recalled, it says memory."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue
from voicefit.records import Gender, Seal, SeatForm


def thread(catalogue: Catalogue, end: str) -> str:
    found = catalogue.by_id[end].thread
    assert found is not None
    return found.designation


def test_dash_6_of_the_two_american_flares(catalogue: Catalogue) -> None:
    """SAE J514 and SAE J512 (memory)."""
    assert thread(catalogue, "flare37/6/male") == "9/16-18 UNF"
    assert thread(catalogue, "flare45/6/male") == "5/8-18 UNF"


def test_the_six_sizes_at_which_both_flares_share_a_thread(catalogue: Catalogue) -> None:
    """SAE J514 and SAE J512 (memory): only the seat angle tells them apart."""
    dashes = {end.dash for end in catalogue.ends if end.series == "flare37"} & {
        end.dash for end in catalogue.ends if end.series == "flare45"
    }
    shared = {d for d in dashes if thread(catalogue, f"flare37/{d}/male") == thread(catalogue, f"flare45/{d}/male")}
    assert shared == {2, 3, 4, 5, 8, 10}


def test_dash_12_differs_in_pitch_alone(catalogue: Catalogue) -> None:
    """SAE J514 and SAE J512 (memory)."""
    assert thread(catalogue, "flare37/12/male") == "1-1/16-12 UN"
    assert thread(catalogue, "flare45/12/male") == "1-1/16-14 UNS"


def test_one_thread_under_two_names(catalogue: Catalogue) -> None:
    """11/16-16 is face seal dash 6 and 45 degree flare dash 7: SAE J1453 and J512 (memory)."""
    assert thread(catalogue, "orfs/6/male") == thread(catalogue, "flare45/7/male") == "11/16-16 UN"


def test_there_is_no_taper_five_eighths(catalogue: Catalogue) -> None:
    """ISO 7-1 goes from 1/2 to 3/4; ISO 228-1 has G5/8."""
    assert not {"R5/8", "Rc5/8"} & set(catalogue.threads)
    assert "G5/8" in catalogue.threads
    assert not [end for end in catalogue.ends if end.series in ("bspt", "npt") and end.dash == 10]


def test_boss_and_flare_share_every_thread(catalogue: Catalogue) -> None:
    """SAE J514 (memory): cone nose and O-ring tell a 37 degree male from a boss stud."""
    for end in catalogue.ends:
        if end.series == "orb" and end.gender is Gender.STUD:
            flare = catalogue.by_id[f"flare37/{end.dash}/male"]
            assert flare.thread == end.thread
            assert (flare.seat_form, end.seat_form) == (SeatForm.CONVEX, SeatForm.SHOULDER)
            assert end.seal is Seal.BASE_O_RING


def test_boss_dash_14(catalogue: Catalogue) -> None:
    """ISO 11926 (memory); a manual or two prints 1-3/8-12, which the row notes."""
    assert thread(catalogue, "orb/14/port") == "1-3/16-12 UN"
    assert "1-3/8-12" in catalogue.by_id["orb/14/port"].notes


def test_face_seal_threads(catalogue: Catalogue) -> None:
    """SAE J1453 (memory)."""
    found = {d: thread(catalogue, f"orfs/{d}/male") for d in (4, 6, 8, 10, 12, 16, 20, 24)}
    assert list(found.values()) == [
        *("9/16-18 UNF", "11/16-16 UN", "13/16-16 UN", "1-14 UNS", "1-3/16-12 UN", "1-7/16-12 UN", "1-11/16-12 UN"),
        "2-12 UN",
    ]


def test_24_and_60_degree_cones_share_threads_up_to_18_mm(catalogue: Catalogue) -> None:
    """ISO 8434-1 and DIN 7631 (memory). From 22 mm the pitch or the diameter differs."""
    tubes = ("6", "8", "10", "12", "15", "18", "22", "28", "35", "42")
    shared = [t for t in tubes if thread(catalogue, f"din24-l/{t}/male") == thread(catalogue, f"din60/{t}/male")]
    assert shared == ["6", "8", "10", "12", "15", "18"]
    universal = [end for end in catalogue.ends if end.id.endswith("female-universal")]
    assert [end.nominal for end in universal] == shared
    assert all({end.seat_half_angle_deg, *end.also_seats_deg} == {12.0, 30.0} for end in universal)


@pytest.mark.parametrize(
    ("light", "heavy", "common"),
    [
        ("8", "6", "M14×1.5"),
        ("10", "8", "M16×1.5"),
        ("12", "10", "M18×1.5"),
        ("15", "14", "M22×1.5"),
        ("22", "20", "M30×2"),
        ("28", "25", "M36×2"),
        ("42", "38", "M52×2"),
    ],
)
def test_light_and_heavy_share_threads_but_not_tubes(catalogue: Catalogue, light: str, heavy: str, common: str) -> None:
    """ISO 8434-1 (memory)."""
    assert thread(catalogue, f"din24-l/{light}/male") == thread(catalogue, f"din24-s/{heavy}/male") == common


def test_30_degree_flare_and_60_degree_cone_differ_by_form_alone(catalogue: Catalogue) -> None:
    """JIS B 8363 and ISO 8434-6 (memory): same thread and half angle; convex or recessed tells."""
    for dash in (4, 6, 8, 10, 12, 16, 20, 24, 32):
        flare, cone = catalogue.by_id[f"flare30-g/{dash}/male"], catalogue.by_id[f"bspp-cone60/{dash}/male"]
        assert flare.thread == cone.thread
        assert flare.seat_half_angle_deg == cone.seat_half_angle_deg == 30
        assert (flare.seat_form, cone.seat_form) == (SeatForm.CONVEX, SeatForm.RECESSED)
        females = [catalogue.by_id[f"{series}/{dash}/female"] for series in ("flare30-g", "bspp-cone60")]
        assert [end.seat_form for end in females] == [SeatForm.RECESSED, SeatForm.CONVEX]


def test_30_degree_flares_on_pipe_and_metric_thread_are_close(catalogue: Catalogue) -> None:
    """Dash 6: 16.66 mm at 19 tpi against 18 mm at 1.5 mm. Common practice, no source."""
    pipe, metric = catalogue.by_id["flare30-g/6/male"].thread, catalogue.by_id["flare30-m/6/male"].thread
    assert pipe is not None and metric is not None
    assert pipe.major_diameter_mm == pytest.approx(16.66, abs=0.01) and metric.major_diameter_mm == 18
    assert abs(pipe.pitch_mm - metric.pitch_mm) < 0.17


def test_15_mm_hose_comes_on_two_pipe_threads(catalogue: Catalogue) -> None:
    """30 degree flare dash 10: G5/8 with some, G3/4 with others. Common practice, no source."""
    ends = [end for end in catalogue.ends if end.series == "flare30-g" and end.dash == 10 and end.gender is Gender.MALE]
    assert {end.thread.designation for end in ends if end.thread} == {"G5/8", "G3/4"}
    assert catalogue.by_id["flare30-g/10-g34/male"].part == "flare30-g/12/male"


def test_japanese_cone_is_ordered_as_the_british(catalogue: Catalogue) -> None:
    """The recessed 60 degree seat on pipe thread mates with the British cone. Common practice, no source."""
    for end in catalogue.ends:
        if end.series == "cone60-g":
            assert end.part == f"bspp-cone60/{end.dash}/{end.gender}"


def test_american_and_british_taper_share_two_pitches(catalogue: Catalogue) -> None:
    """ASME B1.20.1 and ISO 7-1: 14 tpi at 1/2 and 3/4, else 27 to 28, 18 to 19, 11.5 to 11."""
    shared = set()
    for dash in (2, 4, 6, 8, 12, 16, 20, 24, 32):
        american, british = catalogue.by_id[f"npt/{dash}/male"].thread, catalogue.by_id[f"bspt/{dash}/male"].thread
        assert american is not None and british is not None
        assert (american.flank_angle_deg, british.flank_angle_deg) == (60, 55)
        if american.tpi == british.tpi:
            shared.add(dash)
    assert shared == {8, 12}


def test_inside_of_three_eighths_pipe_reads_as_nineteen_thirty_seconds(catalogue: Catalogue) -> None:
    """ISO 228-1: the minor diameter is 14.950 mm; 19/32 in is 15.08 mm, within the female's limits."""
    low, high = catalogue.threads["G3/8"].internal_minor_mm
    assert low == pytest.approx(14.95, abs=0.001) and low < 19 / 32 * 25.4 < high
    assert not [
        t
        for t in catalogue.threads.values()
        if t.tpi == 19 and t.external_major_mm[0] - 0.3 < 15.08 < t.external_major_mm[1]
    ]


@pytest.mark.parametrize(
    ("metric", "inch", "apart_mm"),
    [
        ("M22×1.5", "7/8-14 UNF", 0.3),
        ("M14×1.5", "9/16-18 UNF", 0.3),
        ("M16×1.5", "5/8-18 UNF", 0.2),
        ("M27×2", "1-1/16-12 UN", 0.1),
        ("M33×2", "G1", 0.3),
        ("M33×2", "1-5/16-12 UN", 0.4),
    ],
)
def test_near_misses_are_near(catalogue: Catalogue, metric: str, inch: str, apart_mm: float) -> None:
    """Pairs that screw together by hand. Common practice, no source; the diameters are the standards'."""
    pair = catalogue.threads[metric], catalogue.threads[inch]
    assert abs(pair[0].major_diameter_mm - pair[1].major_diameter_mm) < apart_mm
    assert abs(pair[0].pitch_mm - pair[1].pitch_mm) < 0.32


def test_inverted_flare_is_recessed_in_the_male(catalogue: Catalogue) -> None:
    """SAE J512 (memory): the flared tube is the recess, the seat in the bore stands out."""
    male, female = catalogue.by_id["inverted-flare/6/male"], catalogue.by_id["inverted-flare/6/female"]
    assert (male.seat_form, female.seat_form) == (SeatForm.RECESSED, SeatForm.CONVEX)
    assert thread(catalogue, "inverted-flare/6/male") == "5/8-18 UNF"
    assert {thread(catalogue, f"inverted-flare/{d}/male").split("-")[-1].split()[0] for d in (4, 5, 6, 8, 10)} == {
        "24",
        "20",
        "18",
    }


def test_metric_taper_goes_into_a_parallel_port(catalogue: Catalogue) -> None:
    """DIN 3852 form C and DIN 3852-1 form Z (memory)."""
    male, port = catalogue.by_id["metric-taper/22/male"].thread, catalogue.by_id["metric-taper/22/port"].thread
    assert male is not None and port is not None
    assert (male.designation, port.designation) == ("M22×1.5 keg", "M22×1.5")
    assert male.taper and not port.taper
