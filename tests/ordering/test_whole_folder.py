"""A bad folder of tables: everything that is wrong in it, in one run, and nothing that follows from it."""

from __future__ import annotations

import pytest

from voicefit.catalogue.tables import merged
from voicefit.errors import BadTable, BadTables
from voicefit.ordering.whole import check_tables

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
    "mating-own.csv": "id,kind_a,kind_b,verdict,source,basis\n",
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
