"""A bad folder of tables: everything that is wrong in it, in one run, and nothing that follows from it."""

from __future__ import annotations

import pytest

from voicefit.catalogue.tables import merged
from voicefit.errors import BadTable, BadTables
from voicefit.ordering.room import check_tables

OWN = {
    "sources-own.csv": "id,title\nworks-7,Works standard 7 of a tram depot\n",
    "series-own.csv": "id,name,spoken_name,standard,shape,source,basis\ntram,Tram,tram,works,egg,works-7,standard\n",
    "kinds-own.csv": (
        "id,series,gender,name,seat_half_angle_deg,seat_form,seal,source,basis\n"
        "tram/male,tram,male,male,25,recessed,metal,works-7,standard\n"
        "orb/nut,orb,female,nut,95,convex,glue,works-7,standard\n"
    ),
    "threads-own.csv": (
        "id,system,size,pitch_mm,tolerance_class,source,basis\n"
        "M40×1,M,40,2,6g/6H,works-7,standard\nM50×1,M,50,1,6g/6H,works-9,standard\n"
    ),
    "ends-own.csv": (
        "id,series,nominal,dash,thread,source,basis\n"
        "tram/40,tram,40,,M40×1,works-7,standard\n"
        "flare37/9,flare37,,9,M49×1,works-7,standard\n"
        "flare37/11,flare37,11\n"
    ),
    "torques-own.csv": (
        "id,series,dash,low,high,unit,seal,source,basis\n"
        "a,flare37,6,30,20,N·m,metal,works-7,standard\nb,flare37,7,20,30,N·m,wax,works-7,standard\n"
        "c,tram,7,20,30,N·m,metal,works-7,standard\n"
    ),
    "adapters-own.csv": (
        "id,end_a,end_b,sizes,source,basis\na,tram/male,flare37/male,40:16,works-7,standard\n"
        "b,orb/hen,flare37/male,twice,works-7,standard\n"
    ),
    "mating-own.csv": "id,kind_a,kind_b,verdict,seal,source,basis\n",
    "endings.csv": "id\n",
}
WRONG = """
series-own.csv 2 shape
kinds-own.csv 3 seat_half_angle_deg
kinds-own.csv 3 seal
threads-own.csv 2 id
threads-own.csv 3 source
ends-own.csv 3 thread
ends-own.csv 3 dash
ends-own.csv 4 None
torques-own.csv 2 high
torques-own.csv 3 seal
adapters-own.csv 3 end_a
adapters-own.csv 3 sizes
mating-own.csv 1 condition
endings.csv None None
prior.toml None none.share
"""


def test_all_that_is_wrong_is_told_at_once(data: dict[str, str]) -> None:
    with pytest.raises(BadTables) as caught:
        check_tables(merged(data, OWN | {"prior.toml": "[none]\nshare = 2\n"}))
    found = [f"{error.file.removeprefix('added/')} {error.row} {error.column}" for error in caught.value.errors]
    assert sorted(found) == sorted(WRONG.split("\n")[1:-1])
    assert all(error.reason for error in caught.value.errors)
    assert len(str(caught.value).splitlines()) == len(found)  # each on a line of its own


def test_one_fault_is_one_error(data: dict[str, str]) -> None:
    with pytest.raises(BadTable) as caught:
        check_tables(merged(data, {"sources-own.csv": "id,title\nworks-7,\n"}))
    assert type(caught.value) is BadTable and caught.value.column == "title"


def test_our_own_folder_is_whole(data: dict[str, str]) -> None:
    check_tables(data)


def test_every_wrong_number_of_a_file_is_told(data: dict[str, str]) -> None:
    number = '{ value = 2, source = "our shop", basis = "memory" }'
    weights = (
        f"[none]\nshare = {number}\n[series]\norb = {number.replace('2', '-1')}\norfs = {number.replace('2', '-3')}\n"
    )
    with pytest.raises(BadTables) as caught:
        check_tables(merged(data, {"prior.toml": weights}))
    assert [error.column for error in caught.value.errors] == ["none.share", "series.orb", "series.orfs"]


SIZES = "id,series,dash,thread,source,basis\n"
GOOD = "flare37/7,flare37,7,11/16-16 UN,sae-j514,memory\n"
# What people do to a table, each with what it must be told by: file, row, column, and words of the reason.
DAMAGES = {
    "empty": ("ends-own.csv", "", "None None empty"),
    "semicolons": ("ends-own.csv", (SIZES + GOOD).replace(",", ";"), "1 None separated by ;"),
    "tabs": ("ends-own.csv", (SIZES + GOOD).replace(",", "\t"), "1 None separated by tabs"),
    "another alphabet's bytes": ("ends-own.csv", SIZES + "flare37/7,flare37,7,M14\ufffd1,x,memory\n", "2 None UTF-8"),
    "a column too many": ("ends-own.csv", "colour," + SIZES + "red," + GOOD, "1 colour no such column"),
    "a column lost": ("ends-own.csv", "id,series,dash,source,basis\n", "1 thread is missing"),
    "a column twice": ("ends-own.csv", "dash," + SIZES + "7," + GOOD, "1 dash appears twice"),
    "a comma in a name": (
        "ends-own.csv",
        SIZES + "flare37/7,flare37,7,11/16-16 UN,sae-j514,memory,,x\n",
        "2 None 8 cells",
    ),
    "a row cut off": ("ends-own.csv", SIZES + "flare37/7,flare37\n", "2 None 2 cells"),
    "an open quote": ("ends-own.csv", SIZES + '"flare37/7,flare37\n', "2 None not CSV"),
    "an id of ours": ("ends-own.csv", SIZES + GOOD.replace("flare37/7", "flare37/6"), "2 id already in"),
    "a row twice": ("ends-own.csv", SIZES + GOOD + GOOD, "3 id already in"),
    "a word for a number": ("ends-own.csv", SIZES + GOOD.replace(",7,", ",seven,"), "2 dash 'seven'"),
    "a dash that is none": ("ends-own.csv", SIZES + GOOD.replace(",7,", ",9,"), "2 dash not in dashes.csv"),
    "a thread that is none": ("ends-own.csv", SIZES + GOOD.replace("11/16-16", "11/16-15"), "2 thread in no table"),
    "a source that is none": (
        "ends-own.csv",
        SIZES + GOOD.replace("sae-j514", "hearsay"),
        "2 source not in sources.csv",
    ),
    "a guessed basis": ("ends-own.csv", SIZES + GOOD.replace("memory", "guessed"), "2 basis 'guessed'"),
    "a series that is none": ("ends-own.csv", SIZES + GOOD.replace("flare37", "flare38"), "2 series not in series.csv"),
    "a misspelt file": ("edns-own.csv", SIZES + GOOD, "None None no such table"),
    "a file of no use": ("prioor.toml", "", "None None takes the place of nothing"),
    "a broken file of weights": ("harm.toml", "[harm\n", "None None not TOML"),
    "a washer too wide": (
        "washers-own.csv",
        "id,thread,make,inside_diameter_mm,outside_diameter_mm,thickness_mm,source,basis\n"
        "x,G1/4,copper washer,18,22,1,din-7603,memory\n",
        "2 inside_diameter_mm does not go over",
    ),
    "a pressure twice": (
        "pressures-own.csv",
        "id,series,dash,pressure_psi,pressure_bar,source,basis\nx,flare37,6,9,9,sae-j514,memory\n",
        "2 pressure_bar either",
    ),
    "a cell of nowhere": (
        "provenance-own.csv",
        "id,table,row,column,source,basis\nx,ends,flare37/77,thread,sae-j514,memory\n",
        "2 row in no table",
    ),
}


def as_told(error: BadTable) -> str:
    return f"{error.row} {error.column} {error.reason}"


def matches(error: BadTable, file: str, expected: str) -> bool:
    row, column, words = expected.split(" ", 2)
    named = error.file.removeprefix("added/")
    return (named, str(error.row), str(error.column)) == (file, row, column) and words in error.reason


@pytest.mark.parametrize(("file", "text", "expected"), DAMAGES.values(), ids=DAMAGES)
def test_each_damage_names_its_place(file: str, text: str, expected: str, data: dict[str, str]) -> None:
    with pytest.raises(BadTable) as caught:
        check_tables(merged(data, {file: text}))
    errors = caught.value.errors if isinstance(caught.value, BadTables) else (caught.value,)
    assert [error for error in errors if matches(error, file, expected)], [as_told(error) for error in errors]
    assert len(errors) == 1, [as_told(error) for error in errors]  # and nothing that follows from it


def test_all_damages_at_once_are_all_told(data: dict[str, str]) -> None:
    """Each in a file of its own; what stands twice over them all is told too."""
    files = {
        file if not file.endswith("-own.csv") else file.replace("-own", f"-own{number}"): text
        for number, (file, text, _) in enumerate(DAMAGES.values())
    }
    with pytest.raises(BadTables) as caught:
        check_tables(merged(data, files))
    for file, (_, _, expected) in zip(files, DAMAGES.values(), strict=True):
        assert [each for each in caught.value.errors if matches(each, file, expected)], (file, expected)
