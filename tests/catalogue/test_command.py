"""The command ``voicefit catalogue`` and its document."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from voicefit.catalogue import Catalogue
from voicefit.catalogue.public import EndDocument, end_document
from voicefit.cli import Globals
from voicefit.cli.catalogue import register

OF_THE_CONTRACT = {
    *("series", "gender", "dash", "nominal", "dn", "tube_od_mm", "thread", "pitch_mm", "tpi", "major_diameter_mm"),
    *("minor_diameter_mm", "taper", "seat_half_angle_deg", "seat_form", "seal", "o_ring", "hex_mm", "torque_nm"),
    *("pressure_bar", "source", "basis"),
}


@pytest.fixture(scope="module")
def app() -> typer.Typer:
    program = typer.Typer()

    @program.callback()
    def _globals(context: typer.Context, catalogue: Path | None = typer.Option(None, "--catalogue")) -> None:
        context.obj = Globals(catalogue=catalogue)

    register(program)
    return program


def test_json_is_one_document_of_all_ends(app: typer.Typer, catalogue: Catalogue) -> None:
    result = CliRunner().invoke(app, ["catalogue", "--json"])
    assert result.exit_code == 0
    documents = json.loads(result.stdout)
    assert [document["id"] for document in documents] == [end.id for end in catalogue.ends]
    for document, end in zip(documents, catalogue.ends, strict=True):
        assert set(document) >= OF_THE_CONTRACT
        assert EndDocument.model_validate(document) == end_document(end, catalogue.sources)


def test_filters(app: typer.Typer) -> None:
    def ids(*arguments: str) -> list[str]:
        result = CliRunner().invoke(app, ["catalogue", *arguments, "--json"])
        return [document["id"] for document in json.loads(result.stdout)]

    assert ids("--series", "flare30-g", "--dash", "6") == ["flare30-g/6/male", "flare30-g/6/female"]
    assert ids("--series", "din24-s", "--tube", "12", "--gender", "male") == ["din24-s/12/male"]
    assert set(ids("--thread", "m22x1,5", "--seat", "convex")) >= {"flare30-m/8/male", "din60/15/female"}
    assert "metric-taper/22/male" in ids("--thread", "M22×1.5keg")
    assert all("3/8" in end or "/6/" in end for end in ids("--thread", "G3/8", "--series", "bspp-cone60"))
    assert {end.rpartition("/")[0] for end in ids("--thread", "G3")} == {"bspp-port/48"}  # three inches, not G3/8
    assert "flare37/6/male" in ids("--tube", "9.5") and "flare37/6/male" in ids("--tube", "10")  # 3/8 in, or metric


def test_every_published_figure_has_source_and_basis_and_an_edition_only_if_opened(
    app: typer.Typer, catalogue: Catalogue
) -> None:
    documents = json.loads(CliRunner().invoke(app, ["catalogue", "--json"]).stdout)
    figures = [figure for end in documents for figure in (end["pressure_bar"] or {}).get("figures", ())]
    assert len(figures) > 400
    for figure in figures:
        assert figure["source"] in catalogue.sources and figure["basis"] in ("memory", "handbook")
        assert not figure["edition"] or figure["basis"] == "handbook", figure
    assert documents[0]["torque_nm"] is None or documents[0]["torque_nm"]["figures"]


@pytest.mark.parametrize("arguments", [["--thread", "G7"], ["--dash", "9"], ["--tube", "13"]])
def test_nothing_fits(app: typer.Typer, arguments: list[str]) -> None:
    result = CliRunner().invoke(app, ["catalogue", *arguments])
    assert result.exit_code == 1
    assert "no end of the catalogue" in result.stderr and not result.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--series", "flair"], "--series flair: no such series"),
        (["--gender", "neuter"], "--gender neuter: give one of male, female, port, stud"),
        (["--seat", "round"], "--seat round: give one of convex"),
        (["--dash", "0"], "Invalid value for '--dash'"),
        (["--tube", "-6"], "Invalid value for '--tube'"),
    ],
)
def test_bad_usage_is_named(app: typer.Typer, arguments: list[str], said: str) -> None:
    result = CliRunner().invoke(app, ["catalogue", *arguments, "--json"])
    assert result.exit_code == 2
    assert said in result.stderr and not result.stdout


def test_plain_lines_say_what_it_is(app: typer.Typer) -> None:
    result = CliRunner().invoke(app, ["catalogue", "--series", "din24-l", "--tube", "12", "--plain"])
    assert result.exit_code == 0
    first = result.stdout.splitlines()[1]
    assert (
        first == "din24-l/12/male; 24° cone, light, male; 12 mm tube; male; M18×1.5; recessed 12°; cutting ring; memory"
    )


def test_the_users_own_folder(app: typer.Typer, tmp_path: Path) -> None:
    (tmp_path / "ends-own.csv").write_text(
        "id,series,dash,thread,source,basis\nflare37/7,flare37,7,11/16-16 UN,common-practice,memory\n", encoding="utf-8"
    )
    result = CliRunner().invoke(
        app, ["--catalogue", str(tmp_path), "catalogue", "--series", "flare37", "--dash", "7", "--json"]
    )
    assert [document["id"] for document in json.loads(result.stdout)] == ["flare37/7/male", "flare37/7/female"]
    (tmp_path / "ends-own.csv").write_text(
        "id,series,dash,thread,source,basis\nflare37/7,flare37,7,7/7-16 UN,common-practice,memory\n", encoding="utf-8"
    )
    result = CliRunner().invoke(app, ["--catalogue", str(tmp_path), "catalogue"])
    assert result.exit_code == 2
    assert "added/ends-own.csv, row 2, column thread: '7/7-16 UN'" in result.stderr
    result = CliRunner().invoke(app, ["--catalogue", str(tmp_path / "none"), "catalogue"])
    assert result.exit_code == 2 and "is not a folder of tables" in result.stderr
