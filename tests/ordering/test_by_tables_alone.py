"""A series that no code knows, added by tables alone, goes the whole way: identified, mated, ordered, drawn, in stock.

The two series are invented: a ball-nosed cone named by its half angle, and a hollow bolt with its eye.
"""

from __future__ import annotations

import pytest

from tests.matching.saying import likeliest, said
from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.dialogue.names import Names
from voicefit.matching import Matcher, Posterior, load_checks, load_model, load_prior
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.outline import outline
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip_text import to_text
from voicefit.ordering.stock import StockMatcher
from voicefit.resources import grammar_folder, read_texts

TABLES = {
    "sources-own.csv": "id,title\nworks-7,Works standard 7 of a tram depot\n",
    "series-own.csv": (
        "id,name,spoken_name,standard,words,shape,angle_named,written,tube_letter,source,basis\n"
        "tram,Tram cone,tram cone,works standard 7,tram cone,,half,trm,,works-7,standard\n"
        "yoke,Yoke joint,yoke,works standard 7,yoke,banjo,,,,works-7,standard\n"
    ),
    "kinds-own.csv": (
        "id,series,gender,name,spoken_name,seat_half_angle_deg,seat_form,seal,carries_seal,threaded,ball_nose_share,"
        "seals_a_joint,source,basis\n"
        "tram/male,tram,male,male,,25,recessed,metal,,,,,works-7,standard\n"
        "tram/female,tram,female,nut with ball nose,,25,convex,metal,,,1,,works-7,standard\n"
        "yoke/male,yoke,male,hollow bolt,bolt,,shoulder,washer,yes,yes,,2,works-7,standard\n"
        "yoke/female,yoke,female,eye,eye,,shoulder,washer,yes,no,,2,works-7,standard\n"
    ),
    "threads-own.csv": (
        "id,system,size,pitch_mm,tolerance_class,source,basis\nM40×1,M,40,1,6g/6H,works-7,standard\n"
        "M17×1,M,17,1,6g/6H,works-7,standard\n"
    ),
    "ends-own.csv": (
        "id,series,nominal,thread,eye_bore_mm,source,basis\ntram/40,tram,40,M40×1,,works-7,standard\n"
        "yoke/m17,yoke,17,M17×1,17.3,works-7,standard\n"
    ),
    "torques-own.csv": (
        "id,series,thread,low,high,unit,source,basis\ntram/40,tram,M40×1,90,100,N·m,works-7,standard\n"
    ),
    "pressures-own.csv": ("id,series,thread,pressure_bar,source,basis\ntram/40,tram,M40×1,25,works-7,standard\n"),
}


@pytest.fixture(scope="module")
def own(data: dict[str, str]) -> Catalogue:
    return load_catalogue(data, extra=TABLES)


@pytest.fixture(scope="module")
def joints(own: Catalogue, data: dict[str, str]) -> Ordering:
    return Ordering.build(own, data)


def test_it_is_identified(own: Catalogue, data: dict[str, str]) -> None:
    matcher = Matcher(own, load_prior(data), load_model(data), load_checks(read_texts(grammar_folder(), ".toml")))
    readings = [
        said("inside_diameter", "39.1 mm"),
        said("pitch", "1 mm"),
        said("nose", "ball"),
        said("seat_angle", "25 deg"),
    ]
    row, share = likeliest(Posterior(matcher, readings))
    assert own.ends[row].id == "tram/40/female" and share > 0.9


def test_it_mates_with_its_own(joints: Ordering) -> None:
    assert [mate.id for mate in joints.follow_up("tram/40/female").mating.mates] == ["tram/40/male"]
    bolt = joints.follow_up("yoke/m17/male")
    assert [mate.id for mate in bolt.mating.mates] == ["yoke/m17/female"]
    assert [seal.count for seal in bolt.seals] == [2]  # one on either side of the eye


def test_it_is_on_the_slip_with_its_figures(joints: Ordering) -> None:
    text = to_text(job_slip(joints, JobFacts("1", ends=(EndFacts("tram/40/female"), EndFacts("yoke/m17/female")))))
    for part in (
        "Tram cone, nut with ball nose",
        "90 to 100 N·m",
        "25 bar",
        "Yoke joint, eye",
        "to order, 2: bonded washer",
    ):
        assert part in text


def test_it_is_drawn_named_and_found_in_stock(own: Catalogue, joints: Ordering) -> None:
    for end in ("tram/40/male", "tram/40/female", "yoke/m17/male", "yoke/m17/female"):
        assert outline(joints.end(end), own.orings).width_mm > 0
    assert Names(own).end(own.by_id["yoke/m17/female"]) == "M seventeen yoke eye, female"
    assert StockMatcher(own).part_of("TRM female M40x1") == "tram/40/female"
