"""A user's own folder of tables, given by ``--catalogue``: what it adds, and what is said of what is wrong in it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Ran
from voicefit.resources import data_folder

Run = Callable[..., Ran]

SOURCES = "id,title\nworks-7,Works standard 7: cones of the tram depot\n"
SERIES = (
    "id,name,spoken_name,standard,words,source,basis\ntram,tram cone,tram cone,works 7,tram cone,works-7,standard\n"
)
KINDS = (
    "id,series,gender,name,seat_half_angle_deg,seat_form,seal,source,basis\n"
    "tram/male,tram,male,male,25,recessed,metal,works-7,standard\n"
    "tram/female,tram,female,nut,25,convex,metal,works-7,standard\n"
)
THREADS = "id,system,size,pitch_mm,tolerance_class,source,basis\nM40×1,M,40,1,6g/6H,works-7,standard\n"
ENDS = "id,series,nominal,thread,source,basis\ntram/40,tram,40,M40×1,works-7,standard\n"
PRESSURES = "id,series,thread,pressure_bar,source,basis\ntram/40,tram,M40×1,25,works-7,standard\n"
ADAPTERS = "id,end_a,end_b,sizes,source,basis\ntram,tram/male,flare37/male,40:16,works-7,standard\n"
MATING = (
    "id,kind_a,kind_b,verdict,condition,source,basis\n"
    "tram,tram/male,din24-l/female,only if,the depot's ring is fitted,works-7,standard\n"
)
WHOLE = {
    "sources-own.csv": SOURCES,
    "series-own.csv": SERIES,
    "kinds-own.csv": KINDS,
    "threads-own.csv": THREADS,
    "ends-own.csv": ENDS,
    "pressures-own.csv": PRESSURES,
    "adapters-own.csv": ADAPTERS,
    "mating-own.csv": MATING,
}


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    for name, text in WHOLE.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_a_new_series_is_listed_identified_and_joined(voicefit: Run, own: Path) -> None:
    listed = voicefit("--catalogue", str(own), "catalogue", "--series", "tram", "--json").document
    assert [(end["id"], end["pressure_bar"]["low"]) for end in listed] == [("tram/40/male", 25), ("tram/40/female", 25)]
    said = "outside thirty nine point nine, one millimeter pitch, twenty five degrees, recessed"
    asked = voicefit("--catalogue", str(own), "ask", said, "--json").document
    assert asked["candidates"][0]["id"] == "tram/40/male"
    slip = voicefit("--catalogue", str(own), "slip", "--join", "tram/40/female:flare37/16/female", "--json")
    assert slip.code == 0 and "flare37/16/male" in slip.out


def test_the_settings_may_name_the_folder(
    voicefit: Run, own: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    settings = tmp_path / "voicefit" / "settings.toml"
    settings.parent.mkdir()
    settings.write_text(f'[catalogue]\nfolder = "{own.as_posix()}"\n', encoding="utf-8")
    assert len(voicefit("catalogue", "--series", "tram", "--json").document) == 2
    settings.write_text('[catalogue]\nfolder = "nowhere"\n', encoding="utf-8")
    ran = voicefit("catalogue")
    assert ran.code == 2 and "settings.toml: setting folder in [catalogue]: " in ran.err
    assert len(voicefit("--catalogue", str(own), "catalogue", "--series", "tram", "--json").document) == 2


def test_a_further_size_of_a_known_series_takes_part(voicefit: Run, own: Path) -> None:
    (own / "ends-more.csv").write_text(
        "id,series,dash,thread,source,basis\nflare37/7,flare37,7,11/16-16 UN,works-7,standard\n", encoding="utf-8"
    )
    found = voicefit("--catalogue", str(own), "catalogue", "--series", "flare37", "--dash", "7", "--json").document
    assert [end["id"] for end in found] == ["flare37/7/male", "flare37/7/female"]


def test_a_file_of_the_same_name_adds_and_does_not_replace(voicefit: Run, own: Path) -> None:
    (own / "adapters-own.csv").rename(own / "adapters.csv")
    joined = voicefit("--catalogue", str(own), "slip", "--join", "tram/40/female:flare37/16/female", "--json")
    assert joined.code == 0
    ours = voicefit("--catalogue", str(own), "slip", "--join", "npt/8/female:flare37/8/female", "--json")
    assert ours.code == 0 and "flare37/8/male" in ours.out


@pytest.mark.parametrize(
    ("file", "text", "said"),
    [
        ("ends-own.csv", ENDS.replace("M40×1", "M40×3"), "added/ends-own.csv, row 2, column thread: 'M40×3' is in no"),
        (
            "ends-own.csv",
            ENDS + ENDS.splitlines()[1],
            "added/ends-own.csv, row 3, column id: 'tram/40' is already in a",
        ),
        (
            "ends-own.csv",
            ENDS.replace(",thread,", ",tread,"),
            "added/ends-own.csv, row 1, column tread: no such column",
        ),
        ("ends-own.csv", ENDS + "tram/50,tram,50\n", "added/ends-own.csv, row 3: 3 cells where the header has 6"),
        ("ends-own.csv", ENDS.replace(",", ";"), "added/ends-own.csv, row 1: the cells are separated by ;"),
        ("ends-own.csv", ENDS.encode("cp1252"), "added/ends-own.csv, row 2: not text in UTF-8"),
        ("series-own.csv", SERIES.replace("\ntram,", "\norb,"), "added/series-own.csv, row 2, column id: 'orb' is al"),
        ("adapters-own.csv", ADAPTERS.replace("40:16", "40:17"), "added/adapters-own.csv, row 2, column sizes: there"),
        ("adapters-own.csv", ADAPTERS.replace("tram/male", "tram/port"), "row 2, column end_a: 'tram/port' is no kind"),
        (
            "mating-own.csv",
            MATING.replace("din24-l/female", "x/y"),
            "added/mating-own.csv, row 2, column kind_b: 'x/y'",
        ),
        ("mating-own.csv", MATING.replace("only if", "always"), "added/mating-own.csv, row 2, column verdict"),
        ("fluids-own.csv", "id,name\nx,X\n", "added/fluids-own.csv, row 1, column source: the column is missing"),
        ("endings.csv", ENDS, "added/endings.csv: no such table; names begin with one of adapters, "),
        ("prior.toml", "[none]\nshare = 2\n", "prior.toml, "),
        ("priors.toml", "", "added/priors.toml: takes the place of nothing; there are cautions.toml, "),
    ],
)
def test_what_is_wrong_is_named_before_anything_is_answered(
    voicefit: Run, own: Path, file: str, text: str | bytes, said: str
) -> None:
    (own / file).write_bytes(text if isinstance(text, bytes) else text.encode())
    ran = voicefit("--catalogue", str(own), "catalogue")
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize(
    "command",
    [("ask", "nineteen pitch"), ("hoses",), ("slip", "--join", "a:b"), ("explain", "orb/6/stud"), ("talk", "--typed")],
    ids=" ".join,
)
def test_whatever_is_asked_of_a_wrong_folder(voicefit: Run, home: Path, own: Path, command: tuple[str, ...]) -> None:
    (own / "ends-own.csv").write_text(ENDS.replace("M40×1", "M40×3"), encoding="utf-8")
    ran = voicefit("--catalogue", str(own), *command)
    assert (ran.code, ran.out) == (2, "")
    assert "added/ends-own.csv, row 2, column thread: 'M40×3' is in no" in ran.err


def test_a_prior_of_ones_own_takes_the_place(voicefit: Run, own: Path) -> None:
    """Thirty degrees fit many series; in a shop that meets one of them all day that one leads."""

    def leads() -> str:
        asked = voicefit("--catalogue", str(own), "ask", "thirty degrees", "--json").document
        return str(asked["candidates"][0]["series"])

    assert leads() != "din60"
    shipped = (data_folder() / "prior.toml").read_text(encoding="utf-8")
    often = shipped.replace("din60 = { value = 1.0,", "din60 = { value = 1000.0,", 1)
    assert often != shipped
    (own / "prior.toml").write_text(often, encoding="utf-8")
    assert leads() == "din60"


def test_a_name_in_capitals_counts_and_hidden_files_do_not(voicefit: Run, own: Path) -> None:
    (own / "ends-own.csv").rename(own / "ends-own.CSV")
    (own / "._ends-own.csv").write_bytes(b"\x00\x05\x16\x07")
    ran = voicefit("--catalogue", str(own), "catalogue", "--series", "tram", "--plain")
    assert len(ran.out.splitlines()) == 3, "a heading and two ends"


def test_a_folder_without_tables_or_none_at_all(voicefit: Run, tmp_path: Path) -> None:
    (tmp_path / "readme.txt").write_text("later", encoding="utf-8")
    ran = voicefit("--catalogue", str(tmp_path), "catalogue")
    assert ran.code == 2 and "there is no table in it; names end in .csv or .toml" in ran.err
    ran = voicefit("--catalogue", str(tmp_path / "none"), "hoses")
    assert ran.code == 2 and "is not a folder of tables" in ran.err


def test_jobs_are_searched_by_the_names_of_ones_own_series(voicefit: Run, own: Path, tmp_path: Path) -> None:
    (own / "ends-own.csv").write_text(ENDS.replace("M40×1", "M40×3"), encoding="utf-8")
    store = str(tmp_path / "shift.journal")
    ran = voicefit("--catalogue", str(own), "jobs", "search", "tram", "--store", store)
    assert ran.code == 2 and "added/ends-own.csv, row 2, column thread" in ran.err
