"""The commands hoses, orings and flanges as a user types them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Ran

Run = Callable[..., Ran]


def test_hoses_of_one_type_and_size_show_both_editions(voicefit: Run) -> None:
    ran = voicefit("hoses", "--type", "r2", "--dash", "8", "--json")
    assert ran.code == 0
    assert [(hose["edition"], round(hose["pressure_bar"])) for hose in ran.document] == [
        ("to 2005", 241),
        ("from 2006", 275),
    ]
    promised = {"standard", "type", "edition", "dash", "bore_mm", "outside_diameter_mm", "pressure_bar"}
    promised |= {"bend_radius_mm", "reinforcement", "source", "basis"}
    assert promised <= set(ran.document[0])
    assert ran.document[0]["reinforcement"] == "two wire braids"


def test_hoses_by_standard_and_pressure(voicefit: Run) -> None:
    ran = voicefit("hoses", "--standard", "en 856", "--dash", "16", "--pressure", "300", "--json")
    assert {hose["type"] for hose in ran.document} == {"4SH", "R13"}
    _, *lines = voicefit("hoses", "--standard", "iso", "--type", "280dc", "--dash", "8", "--plain").out.splitlines()
    assert lines == ["ISO 18752 280 DC; ISO 18752; 8; 12.7; not known; 280; 90; -40 to 120; free; memory"]


def test_a_measured_ring_is_found(voicefit: Run) -> None:
    ran = voicefit("orings", "--inside", "18.4", "--section", "3.4", "--json")
    assert [(ring["as568"], ring["used_on"]) for ring in ran.document] == [("210", ["flange61/8", "flange62/8"])]
    assert ran.document[0]["inside_diameter_mm"] == pytest.approx(18.64, abs=0.01)
    assert ran.document[0]["section_mm"] == pytest.approx(3.53, abs=0.01)


def test_rings_of_a_series(voicefit: Run) -> None:
    ran = voicefit("orings", "--series", "iso6149", "--json")
    assert len(ran.document) >= 13
    assert all(ring["as568"] is None for ring in ran.document)
    assert voicefit("orings", "--size", "9.3x2.2", "--plain").out == (
        "Size; Standard; Inside mm; Section mm; Used on; Basis\n9.3×2.2; ISO 6149-1; 9.30; 2.20; iso6149/12; memory\n"
    )
    used = voicefit("orings", "--used", "--json").document
    assert all(ring["used_on"] for ring in used)


def test_flanges_of_one_size(voicefit: Run) -> None:
    ran = voicefit("flanges", "--dash", "8", "--json")
    assert [flange["code"] for flange in ran.document] == ["61", "62", "square"]
    promised = {"code", "dash", "head_diameter_mm", "head_thickness_mm", "bolt_long_mm", "bolt_short_mm"}
    assert promised | {"bolt_metric", "bolt_inch", "o_ring"} <= set(ran.document[0])
    assert "61; head; 8 (1/2); 30.16; 6.73; 38.10 × 17.46; 5/16-18 / M8; 210; memory" in (
        voicefit("flanges", "--code", "61").out.splitlines()
    )


@pytest.mark.parametrize(
    "arguments",
    [("hoses", "--dash", "9"), ("orings", "--inside", "400"), ("flanges", "--code", "62", "--dash", "80")],
)
def test_nothing_like_that_says_so(voicefit: Run, arguments: tuple[str, ...]) -> None:
    ran = voicefit(*arguments)
    assert (ran.code, ran.out) == (1, "")
    assert "is like that" in ran.err
    assert voicefit(*arguments, "--json").document == []


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("flanges", "--code", "63"), "give one of 61, 62, square"),
        (("orings", "--series", "orx"), "no such series"),
        (("orings", "--inside", "-3"), "for '--inside'"),
        (("hoses", "--type", "3SN"), "--type 3SN: no such type; there are 1SN, 2SN, "),
        (("hoses", "--standard", "en 853", "--type", "4SP"), "--type 4SP: no such type; there are 1SN, 2SN"),
        (("hoses", "--standard", "DIN"), "--standard DIN: no such standard; there are EN 853, "),
        (("hoses", "--dash", "0"), "for '--dash'"),
        (("hoses", "--dash", "eight"), "Usage: voicefit hoses"),
    ],
)
def test_bad_usage_is_told(voicefit: Run, arguments: tuple[str, ...], words: str) -> None:
    ran = voicefit(*arguments)
    assert ran.code == 2
    assert words in ran.err


def test_a_users_own_hose_is_listed_and_a_bad_one_named(voicefit: Run, tmp_path: Path) -> None:
    header = "id,hose,edition,dash,bore_in,pressure_bar,bend_radius_mm,source,basis\n"
    own = tmp_path / "hoses-own.csv"
    own.write_text(header + "own/8,en-853-2sn,own,8,1/2,300,150,common-practice,common practice\n", encoding="utf-8")
    ran = voicefit("--catalogue", str(tmp_path), "hoses", "--type", "2SN", "--dash", "8", "--json")
    assert [hose["id"] for hose in ran.document] == ["en-853-2sn/8", "own/8"]
    own.write_text(header + "own/8,en-853-2sn,own,8,1/2,strong,150,common-practice,common practice\n", encoding="utf-8")
    ran = voicefit("--catalogue", str(tmp_path), "hoses")
    assert ran.code == 2
    assert "added/hoses-own.csv, row 2, column pressure_bar: 'strong' is not a number" in ran.err


@pytest.mark.parametrize("name", ["flare37", "JIC", "jic", "thirty seven degree flare"])
def test_a_series_by_its_id_or_as_one_says_it(voicefit: Run, name: str) -> None:
    ran = voicefit("catalogue", "--series", name, "--dash", "6", "--json")
    assert ran.code == 0 and {end["id"] for end in ran.document} == {"flare37/6/male", "flare37/6/female"}


@pytest.mark.parametrize("name", ["", "nineteen pitch", "jic nonsense", "stop"])
def test_what_names_no_series_is_refused(voicefit: Run, name: str) -> None:
    for command in ("catalogue", "orings"):
        ran = voicefit(command, "--series", name)
        assert ran.code == 2 and "no such series; there are flare37" in ran.err


@pytest.mark.parametrize("command", ["catalogue", "hoses", "orings", "flanges"])
def test_a_table_that_is_piped_has_its_heading(voicefit: Run, command: str) -> None:
    heading, *rows = voicefit(command).out.splitlines()
    assert {row.count("; ") for row in rows} == {heading.count("; ")} and not any(c.isdigit() for c in heading)


def test_nothing_is_cut_at_80_columns(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    from voicefit.cli.screen import show_table

    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    row = ("straight-thread-O-ring-boss-adjustable-stud-end", "1-5/16-12 UN", "x" * 60, "a name of several words, long")
    show_table(("name", "thread", "code", "what"), [row], plain=False)
    shown = capsys.readouterr().out
    assert "…" not in shown and max(map(len, shown.splitlines())) <= 80
    for cell in row:
        letters = cell.replace(" ", "")
        assert sum(shown.count(letter) for letter in "xz-") >= sum(letters.count(letter) for letter in "xz-")
