"""The user's own tables: merged in the same format, with the same errors naming file, row and column."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.errors import BadTable

SERIES = (
    "id,name,spoken_name,standard,words,source,basis\ntram,Tram cone,tram cone,works standard 7,tram,works-7,standard\n"
)
SOURCES = "id,title\nworks-7,Works standard 7: cones of the tram depot\n"
KINDS = (
    "id,series,gender,name,seat_half_angle_deg,seat_form,seal,source,basis\n"
    "tram/male,tram,male,male,30,recessed,metal,works-7,standard\n"
    "tram/female,tram,female,nut,30,convex,metal,works-7,standard\n"
)
THREADS = "id,system,size,pitch_mm,tolerance_class,source,basis\nM20×1,M,20,1,6g/6H,works-7,standard\n"
ENDS = "id,series,nominal,thread,female_hex_mm,source,basis\ntram/20,tram,20,M20×1,27,works-7,standard\n"
OWN = {
    "series-own.csv": SERIES,
    "sources-own.csv": SOURCES,
    "kinds-own.csv": KINDS,
    "threads-own.csv": THREADS,
    "ends-own.csv": ENDS,
}


def test_a_series_of_ones_own(texts: dict[str, str], catalogue: Catalogue) -> None:
    more = load_catalogue(texts, extra=OWN)
    assert more.ends[: len(catalogue.ends)] != () and len(more.ends) == len(catalogue.ends) + 2
    female = more.by_id["tram/20/female"]
    assert female.thread is not None
    assert female.thread.minor_diameter_mm == pytest.approx(20 - 1.0825, abs=0.001)
    assert (female.name, female.hex_mm, more.series["tram"].words) == ("Tram cone, nut", (27.0,), ("tram",))
    assert more.digest != catalogue.digest


def test_a_further_size_of_a_known_series(texts: dict[str, str]) -> None:
    size = "id,series,dash,thread,source,basis\nflare37/18,flare37,18,1-1/2-12 UN,common-practice,memory\n"
    thread = (
        "id,system,size,tpi,form,tolerance_class,source,basis\n1-1/2-12 UN,UN,1-1/2,12,UN,2A/2B,asme-b1.1,computed\n"
    )
    dash = "dash,dn,bore_mm,source,basis\n18,28,28.6,common-practice,memory\n"
    more = load_catalogue(texts, extra={"ends-x.csv": size, "threads-x.csv": thread, "dashes.csv": dash})
    end = more.by_id["flare37/18/male"]
    assert (end.dash, end.nominal, end.dn, end.seat_half_angle_deg) == (18, "1-1/8", 28, 37)


@pytest.mark.parametrize(
    ("file", "text", "row", "column", "reason"),
    [
        ("ends-own.csv", ENDS.replace("27,", "27mm,"), 2, "female_hex_mm", "'27mm' is not a number"),
        ("ends-own.csv", ENDS.replace("M20×1,", "M20×2,"), 2, "thread", "'M20×2' is in no table of threads"),
        ("ends-own.csv", ENDS.replace("tram/20,tram", "tram/20,train"), 2, "series", "'train' is not in series.csv"),
        ("ends-own.csv", ENDS.replace("tram/20,", "20,"), 2, "id", "must be tram/"),
        ("ends-own.csv", ENDS.replace(",20,M20", ",,M20"), 2, "nominal", "must not be empty"),
        ("ends-own.csv", ENDS.replace("works-7,", "works-8,"), 2, "source", "'works-8' is not in sources.csv"),
        ("ends-own.csv", ENDS.replace("standard", "sure"), 2, "basis", "'sure'"),
        ("ends-own.csv", ENDS.replace("tram/20,tram", "flare37/6,flare37"), 2, "id", "'flare37/6' is already in ends-"),
        ("ends-own.csv", ENDS + "tram/22,tram,22,M22×1.5,30\n", 3, None, "5 cells where the header has 7"),
        ("threads-own.csv", THREADS.replace(",1,", ",1.25,"), 2, "id", "make it M20×1.25"),
        ("kinds-own.csv", KINDS.replace("tram/male", "tram/stud"), 2, "id", "must begin with its gender, male"),
        ("kinds-own.csv", KINDS.replace(",30,recessed", ",,recessed"), 2, "seat_half_angle_deg", "needs it"),
        ("kinds-own.csv", KINDS.replace(",30,recessed", ",30,flat"), 2, "seat_half_angle_deg", "flat has none"),
        ("kinds-own.csv", KINDS.replace("30,recessed", "95,recessed"), 2, "seat_half_angle_deg", "less than 90"),
        ("kinds-own.csv", KINDS.replace("recessed", "inward"), 2, "seat_form", "'inward'"),
        ("kinds-own.csv", KINDS.replace("metal", "glue"), 2, "seal", "'glue'"),
        ("kinds-own.csv", KINDS.replace("tram/male,tram", "tram/male,train"), 2, "series", "'train' is not in"),
        ("series-own.csv", SERIES.replace("tram,Tram", "orb,Tram"), 2, "id", "'orb' is already in series.csv"),
        ("tramway.csv", ENDS, None, None, "no such table"),
    ],
)
def test_what_is_wrong_in_ones_own_table_is_named(
    texts: dict[str, str], file: str, text: str, row: int | None, column: str | None, reason: str
) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        load_catalogue(texts, extra=OWN | {file: text})
    assert (caught.value.file, caught.value.row, caught.value.column) == (f"added/{file}", row, column)


@pytest.mark.parametrize(
    ("header", "row", "column", "reason"),
    [
        ("id,series,dash,thread,source,basis", "flare37/9,flare37,9,G3/8,s,memory", "dash", "9 is not in dashes.csv"),
        (
            "id,series,dash,thread,source,basis",
            "flare37/0,flare37,0,G3/8,s,memory",
            "dash",
            "greater than or equal to 1",
        ),
        (
            "id,series,nominal,variants,thread,source,basis",
            "flare37/x,flare37,x,male;port,G3/8,s,memory",
            "variants",
            "'port' is no kind of flare37",
        ),
        (
            "id,series,tube_od_mm,tube_od_in,thread,source,basis",
            "flare37/x,flare37,6,1/4,G3/8,s,memory",
            "tube_od_mm",
            "in inches or in millimetres, not both",
        ),
        (
            "id,series,tube_od_mm,tube_wall_max_mm,thread,source,basis",
            "flare37/x,flare37,6,3,G3/8,s,memory",
            "tube_wall_max_mm",
            "twice the wall must be less",
        ),
        (
            "id,series,tube_od_mm,tube_wall_min_mm,tube_wall_max_mm,thread,source,basis",
            "flare37/x,flare37,6,2,1,G3/8,s,memory",
            "tube_wall_max_mm",
            "less than the least wall",
        ),
        (
            "id,series,nominal,thread,ordered_as,source,basis",
            "flare37/x,flare37,x,G3/8,flare37/99/male,s,memory",
            "ordered_as",
            "'flare37/99/male' is no end",
        ),
        ("id,series,nominal,thread,source,basis", "banjo/x,banjo,x,G3/8,s,memory", "eye_bore_mm", "has no thread"),
    ],
)
def test_sizes_that_contradict_themselves(
    texts: dict[str, str], header: str, row: str, column: str, reason: str
) -> None:
    own = f"{header}\n{row.replace(',s,', ',common-practice,')}\n"
    with pytest.raises(BadTable, match=reason) as caught:
        load_catalogue(texts, extra={"ends-own.csv": own})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("added/ends-own.csv", 2, column)


SIZE = "id,series,dash,thread,o_ring,tube_od_mm,male_hex_mm,female_hex_in,source,basis\n"
FLANGE = (
    "id,series,dash,nominal,form,head_diameter_mm,head_thickness_mm,bolt_long_mm,bolt_short_mm,o_ring,source,basis\n"
)

COUPLER = "id,series,dash,nominal,probe_diameter_mm,source,basis\n"
TORQUE = "id,series,dash,low,high,unit,source,basis\n"
PRESSURE = "id,series,thread,pressure_bar,source,basis\n"
ORIGIN = "id,country,series,odds,source,basis\n"


@pytest.mark.parametrize(
    ("file", "text", "column", "reason"),
    [
        ("ends-own.csv", SIZE + "orb/7,orb,7,G3/8,999,,,,s,memory\n", "o_ring", "'999' is in no table of O-rings"),
        ("ends-own.csv", SIZE + "orb/7,orb,7,G3/8,912,,,,s,memory\n", "o_ring", "912 does not go with G3/8"),
        ("ends-own.csv", SIZE + "orb/7,orb,7,G3/8,903,,,,s,memory\n", "o_ring", "903 does not go with G3/8"),
        ("ends-own.csv", SIZE + "orfs/7,orfs,7,G3/8,016,,,,s,memory\n", "o_ring", "016 does not go with G3/8"),
        ("ends-own.csv", SIZE + "npsm/7,npsm,7,G3/8,,,,5/8,s,memory\n", "female_hex_in", "15.875 mm across flats"),
        ("ends-own.csv", SIZE + "npsm/7,npsm,7,G3/8,,,220,,s,memory\n", "male_hex_mm", "220 mm across flats"),
        ("ends-own.csv", SIZE + "din60/7,din60,7,G3/8,,16,,,s,memory\n", "tube_od_mm", "a tube of 16 mm does not pass"),
        ("ends-own.csv", SIZE + "din60/7,din70,7,G3/8,,,,,s,memory\n", "series", "'din70' is not in series.csv"),
        ("ends-own.csv", SIZE + "bare/7,bare,7,G3/8,,,,,s,memory\n", "series", "kinds.csv has no kind of 'bare'"),
        ("flanges-own.csv", FLANGE + "bare/8,bare,8,1/2,head,30,7,38,17,,s,memory\n", "series", "no kind of 'bare'"),
        ("flanges-own.csv", FLANGE + "flange61/9,flange61,9,9/16,head,30,7,38,17,999,s,memory\n", "o_ring", "'999'"),
        ("flanges-own.csv", FLANGE + "flange61/8,flange61,8,1/2,head,30,7,38,17,,s,memory\n", "id", "is already in"),
        ("couplers-own.csv", COUPLER + "train/6,train,6,3/8,19,s,memory\n", "series", "'train' is not in series.csv"),
        ("torques-own.csv", TORQUE + "x,train,6,1,2,N·m,s,memory\n", "series", "'train' has no end"),
        ("torques-own.csv", TORQUE + "x,orb,7,1,2,N·m,s,memory\n", "dash", "orb has no end of 7"),
        ("pressures-own.csv", PRESSURE + "x,bspp-port,G5/8,250,s,memory\n", "thread", "bspp-port has no end of G5/8"),
        ("origins-own.csv", ORIGIN + "x,japan,train,2,s,memory\n", "series", "'train' is not in series.csv"),
    ],
)
def test_what_contradicts_other_tables_is_named(
    texts: dict[str, str], file: str, text: str, column: str, reason: str
) -> None:
    bare = "id,name,spoken_name,standard,source,basis\nbare,bare,bare,none,common-practice,memory\n"
    own = {"series-own.csv": bare, file: text.replace(",s,memory", ",common-practice,memory")}
    with pytest.raises(BadTable, match=reason) as caught:
        load_catalogue(texts, extra=own)
    assert (caught.value.file, caught.value.row, caught.value.column) == (f"added/{file}", 2, column)


def test_no_tables_at_all() -> None:
    with pytest.raises(BadTable, match="there is no table of ends"):
        load_catalogue({})
