"""The pairs that an expert never trusts without a second check, as readings: what both share, then what tells.

The pairs are common practice of the trade, no source; the values are basic ones of ASME B1.1 and B1.20.1, ISO 228-1,
ISO 7-1, ISO 724 and SAE J518.
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.matching.saying import said
from voicefit.records import Reading


@dataclass(frozen=True)
class Pair:
    """``shared`` : what fits both; ``telling`` : what then speaks for ``true`` alone."""

    true: str
    other: str
    shared: tuple[Reading, ...]
    telling: tuple[Reading, ...]


def un(diameter: str, pitch: str, *more: Reading) -> tuple[Reading, ...]:
    return (said("outside_diameter", f"{diameter} in"), said("pitch", f"{pitch} tpi"), *more)


def metric(diameter: str, pitch: str, *more: Reading) -> tuple[Reading, ...]:
    return (said("outside_diameter", f"{diameter} mm"), said("pitch", f"{pitch} mm"), *more)


OUT, IN, METAL = said("seat_form", "convex"), said("seat_form", "recessed"), said("seal", "metal")
MALE, FEMALE = said("gender", "male"), said("gender", "female")
SHOULDER, STUD = said("seat_form", "shoulder"), said("gender", "stud")
ANGLE_30 = said("seat_angle", "30 deg")

FLARES = [
    Pair(f"flare45/{dash}/male", f"flare37/{dash}/male", un(d, p, OUT, METAL, MALE), (said("seat_angle", "45 deg"),))
    for dash, d, p in (
        (2, "0.3125", "24"),
        (3, "0.375", "24"),
        (4, "0.4375", "20"),
        (5, "0.5", "20"),
        (8, "0.75", "16"),
        (10, "0.875", "14"),
    )
]
# Crests of ISO 228-1 and ISO 724 (basic), a little under: dash, G diameter and pitch, metric diameter.
FLARES_30 = [
    Pair(f"flare30-{true}/{dash}/male", f"flare30-{other}/{dash}/male", (ANGLE_30, OUT, METAL, MALE), telling)
    for dash, g, tpi, m in (
        (4, "13.1", "19", "13.9"),
        (6, "16.6", "19", "17.9"),
        (8, "20.9", "14", "21.9"),
        (12, "26.4", "14", "29.9"),
        (16, "33.2", "11", "32.9"),
    )
    for true, other, telling in (
        ("g", "m", (said("outside_diameter", f"{g} mm"), said("pitch", f"{tpi} tpi"))),
        ("m", "g", (said("outside_diameter", f"{m} mm"), said("pitch", "1.5 mm"))),
    )
]
PORTS = [  # straight threads with a ring at the base, in the port: inch, pipe and metric
    Pair(
        f"{true}/port",
        f"{other}/port",
        (said("gender", "port"), SHOULDER, said("taper", "parallel")),
        (said("inside_diameter", f"{inside} mm"), said("pitch", pitch), said("seal", seal)),
    )
    for true, other, inside, pitch, seal in (
        ("orb/8", "bspp-port/6", "17.5", "16 tpi", "base_o_ring"),
        ("bspp-port/8", "iso6149/22", "18.9", "14 tpi", "washer"),
        ("iso6149/18", "bspp-port/6", "16.5", "1.5 mm", "base_o_ring"),
        ("orb/10", "iso6149/22", "20.5", "14 tpi", "base_o_ring"),
    )
]
TAPERS = [  # American against British taper at each size: the pitch, the flanks, where only they tell
    Pair(
        f"{true}/{dash}/male",
        f"{other}/{dash}/male",
        (said("taper", "tapered"), said("seal", "thread"), MALE, said("seat_form", "none")),
        (
            said("outside_diameter", f"{diameter} mm"),
            said("pitch", f"{tpi} tpi"),
            said("flank_angle", f"{flank} deg"),
            said("first_thread_diameter", f"{first} mm"),
        ),
    )
    for true, other, dash, diameter, first, tpi, flank in (
        ("npt", "bspt", 4, "13.5", "13.2", "18", "60"),
        ("bspt", "npt", 4, "13.1", "12.8", "19", "55"),
        ("npt", "bspt", 12, "26.6", "26.1", "14", "60"),
        ("bspt", "npt", 12, "26.4", "25.8", "14", "55"),
        ("npt", "bspt", 2, "10.2", "10.0", "27", "60"),
    )
]
PAIRS = [
    *FLARES,
    *FLARES_30,
    *PORTS,
    *TAPERS,
    Pair(
        "flare37/6/male",
        "flare30-g/6/male",
        (OUT, METAL, MALE),
        (said("outside_diameter", "14.2 mm"), said("pitch", "18 tpi"), said("seat_angle", "37 deg")),
    ),
    Pair(
        "flare30-m/6/male",
        "flare37/8/male",
        (OUT, METAL, MALE),
        (said("outside_diameter", "17.9 mm"), said("pitch", "1.5 mm"), ANGLE_30),
    ),
    Pair(
        "npsm/8/female",
        "bspp-cone60/8/female",
        (said("pitch", "14 tpi"), OUT, METAL, FEMALE, said("seat_angle", "60 deg")),
        (said("inside_diameter", "19.2 mm"), said("flank_angle", "60 deg"), said("flank_angle", "60 deg")),
    ),
    Pair(
        "flare30-g/8/female",
        "npsm/8/female",
        (said("inside_diameter", "18.9 mm"), said("pitch", "14 tpi"), METAL, FEMALE),
        (IN, ANGLE_30, said("flank_angle", "55 deg")),
    ),
    Pair(
        "din24-l/10/male",
        "flare45/6/male",
        (said("outside_diameter", "15.8 mm"), MALE, METAL),
        (said("pitch", "1.5 mm"), IN, said("seat_angle", "24 deg"), said("tube_outside_diameter", "10.0 mm")),
    ),
    # a universal female seats on both cones: the round nose tells it from both
    Pair(
        "din24-l/12/female-universal",
        "din60/12/female",
        (said("inside_diameter", "16.5 mm"), said("pitch", "1.5 mm"), OUT, FEMALE, METAL),
        (said("nose", "ball"), said("seat_angle", "24 deg")),
    ),
    Pair(
        "din60/12/female",
        "din24-l/12/female-universal",
        (said("inside_diameter", "16.5 mm"), said("pitch", "1.5 mm"), OUT, FEMALE, METAL),
        (said("nose", "straight"), said("seat_angle", "60 deg")),
    ),
    Pair(
        "flange62/8/male",
        "flange61/8/male",
        (said("flange_head_diameter", "31.0 mm"), said("shape", "flange"), said("seal", "flange_o_ring"), MALE),
        (said("flange_head_thickness", "7.8 mm"), said("bolt_long", "40.5 mm"), said("bolt_short", "18.2 mm")),
    ),
    # 37 against 30 degree flare: three threads that look alike by eye
    Pair(
        "flare37/6/male",
        "flare30-m/4/male",
        (said("outside_diameter", "14.0 mm"), OUT, METAL, MALE),
        (said("pitch", "18 tpi"), said("seat_angle", "37 deg")),
    ),
    # 30 degree flare against 60 degree recess: a half angle of 30 either way
    Pair(
        "flare30-g/6/female",
        "bspp-cone60/6/female",
        (said("inside_diameter", "15.0 mm"), said("pitch", "19 tpi"), said("seat_angle", "30 deg"), METAL, FEMALE),
        (IN,),
    ),
    Pair(
        "bspp-cone60/6/female",
        "flare30-g/6/female",
        (said("inside_diameter", "15.0 mm"), said("pitch", "19 tpi"), said("seat_angle", "30 deg"), METAL, FEMALE),
        (OUT,),
    ),
    # straight threads with a ring or washer at the base: boss, British, metric
    Pair(
        "orb/10/stud",
        "iso6149/22/stud",
        (said("outside_diameter", "22.0 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "14 tpi"),),
    ),
    Pair(
        "iso6149/22/stud",
        "orb/10/stud",
        (said("outside_diameter", "22.0 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "1.5 mm"),),
    ),
    Pair(
        "iso6149/22/stud", "metric-port/22/stud", metric("22.0", "1.5", SHOULDER, STUD), (said("seal", "base_o_ring"),)
    ),
    Pair(
        "bspp-port/16/stud",
        "iso6149/33/stud",
        (said("outside_diameter", "33.2 mm"), SHOULDER, STUD),
        (said("seal", "washer"), said("pitch", "11 tpi")),
    ),
    # flare male against boss stud: same UN thread
    Pair("flare37/8/male", "orb/8/stud", un("0.75", "16"), (OUT, said("seat_angle", "37 deg"), METAL)),
    Pair("orb/8/stud", "flare37/8/male", un("0.75", "16"), (SHOULDER, said("seal", "base_o_ring"), STUD)),
    # NPT against British taper
    Pair(
        "npt/8/male",
        "bspt/8/male",
        (
            said("outside_diameter", "21.1 mm"),
            said("pitch", "14 tpi"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
        ),
        (said("flank_angle", "60 deg"), said("last_thread_diameter", "21.5 mm")),
    ),
    Pair(
        "bspt/6/male",
        "npt/6/male",
        (
            said("outside_diameter", "16.8 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "19 tpi"), said("flank_angle", "55 deg")),
    ),
    Pair(
        "npt/16/male",
        "bspt/16/male",
        (
            said("outside_diameter", "33.1 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "11.5 tpi"), said("flank_angle", "60 deg")),
    ),
    Pair(
        "bspt/2/male",
        "npt/2/male",
        (
            said("outside_diameter", "9.8 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "28 tpi"), said("flank_angle", "55 deg")),
    ),
    # NPSM against British and Japanese G-thread females
    Pair(
        "npsm/6/female",
        "bspp-cone60/6/female",
        (said("inside_diameter", "15.3 mm"), OUT, METAL, FEMALE, said("seat_angle", "60 deg")),
        (said("pitch", "18 tpi"), said("flank_angle", "60 deg")),
    ),
    # near threads
    Pair(
        "flare37/10/male",
        "flare30-m/8/male",
        (said("outside_diameter", "22.1 mm"), OUT, METAL, MALE),
        (said("pitch", "14 tpi"), said("seat_angle", "37 deg")),
    ),
    Pair(
        "din24-l/8/male",
        "flareless24/6/male",
        (said("outside_diameter", "14.1 mm"), IN, MALE, said("seat_angle", "24 deg")),
        (said("pitch", "1.5 mm"), said("tube_outside_diameter", "8.0 mm")),
    ),
    Pair(
        "din24-l/10/male",
        "flareless24/6/male",
        (IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("outside_diameter", "15.9 mm"), said("pitch", "1.5 mm"), said("tube_outside_diameter", "10.0 mm")),
    ),
    Pair(
        "iso6149/27/stud",
        "orb/12/stud",
        (said("outside_diameter", "26.9 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "2 mm"),),
    ),
    Pair(
        "orb/16/stud",
        "iso6149/33/stud",
        (said("outside_diameter", "33.2 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "12 tpi"),),
    ),
    # one thread, two tubes
    Pair(
        "din24-l/12/male",
        "din24-s/10/male",
        metric("17.9", "1.5", IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("tube_outside_diameter", "12.0 mm"),),
    ),
    Pair(
        "din24-s/10/male",
        "din24-l/12/male",
        metric("17.9", "1.5", IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("tube_outside_diameter", "10.0 mm"),),
    ),
    # 24 against 60 degree cone, metric
    Pair(
        "din60/12/male",
        "din24-l/12/male",
        metric("17.9", "1.5", IN, MALE, said("tube_outside_diameter", "12.0 mm")),
        (said("seat_angle", "60 deg"), METAL),
    ),
    # code 61 against 62 at dash 8: head diameters 30.2 and 31.8
    Pair(
        "flange61/8/male",
        "flange62/8/male",
        (said("flange_head_diameter", "31.0 mm"), said("shape", "flange"), said("seal", "flange_o_ring"), MALE),
        (said("flange_head_thickness", "6.7 mm"), said("bolt_long", "38.1 mm"), said("bolt_short", "17.5 mm")),
    ),
    # square against split flange
    Pair(
        "flange61/16/male",
        "flange-square/16/male",
        (said("shape", "flange"), said("seal", "flange_o_ring"), MALE),
        (said("flange_head_diameter", "44.4 mm"), said("bolt_long", "52.4 mm"), said("bolt_short", "26.2 mm")),
    ),
]
