"""Published figures: order and spread over the sources."""

from __future__ import annotations

import csv
import io
import re
from collections import defaultdict
from collections.abc import Mapping
from fractions import Fraction

import pytest

from tests.catalogue.conftest import span
from voicefit.catalogue import Catalogue, figures
from voicefit.catalogue.conditions import ConditionRow, Duty
from voicefit.catalogue.ends import Basis, Figure
from voicefit.catalogue.figures import Figures, look_up
from voicefit.catalogue.tables import Row, belongs
from voicefit.errors import BadTable


@pytest.fixture(scope="module")
def known(texts: dict[str, str]) -> Figures:
    return figures.parse(texts)


def rows(texts: Mapping[str, str], family: str) -> list[dict[str, str]]:
    files = (text for path, text in texts.items() if belongs(path, family))
    return [row for text in files for row in csv.DictReader(io.StringIO(text))]


def size_of(row: Mapping[str, str]) -> float:
    """A number that grows with the size, within one series."""
    if row.get("thread"):
        digits = re.sub(r"^[GMR]", "", row["thread"]).partition("×")[0]
        whole, _, part = digits.rpartition("-")
        return float(Fraction(part) + (int(whole) if whole else 0))
    return float(row["dash"] or row.get("tube_mm") or 0)


def kind_of(row: Mapping[str, str]) -> str:
    """Of recalled rows which recollection it is; its size left out."""
    size = row.get("thread") or row.get("dash") or row.get("tube_mm") or "all"
    return row["id"].removeprefix(f"{row['series']}/{size}/") if row["source"] == "recalled" else ""


CONDITIONS = [name for name in ConditionRow.model_fields if name not in Row.model_fields and name != "remark"]


def duty_of(figure: Figure) -> Duty | None:
    return figure.holds_for.duty if figure.holds_for else None


def runs(texts: Mapping[str, str], name: str, value: str) -> dict[tuple[str, ...], list[tuple[float, float]]]:
    """(size, value) of each series, source, edition and condition, by size; screw sizes left out of the conditions."""
    found = defaultdict(list)
    for row in rows(texts, name):
        if row.get(value):
            screw = {"screw": row.get("screw", "")[:1] == "M"}  # inch screws and metric ones each for themselves
            condition = str({name: row.get(name, "") for name in CONDITIONS} | screw)
            key = (
                row["series"],
                row["source"],
                row.get("edition", ""),
                kind_of(row),
                condition,
                row.get("unit", value),
            )
            found[key].append((size_of(row), float(Fraction(row[value]))))
    return {key: sorted(values) for key, values in found.items()}


@pytest.mark.parametrize("column", ["low", "high"])
def test_torque_grows_with_the_size(texts: dict[str, str], column: str) -> None:
    """Within one source. SAE J518 falls at code 61 dash 56, where the working pressure drops to 500 psi."""
    found = runs(texts, "torques", column)
    assert len(found) > 25
    for key, values in found.items():
        torques = [torque for size, torque in values if not (key[0] == "flange61" and size >= 56)]
        assert torques == sorted(torques), key


@pytest.mark.parametrize("column", ["pressure_psi", "pressure_bar"])
def test_pressure_falls_with_the_size(texts: dict[str, str], column: str) -> None:
    for key, values in runs(texts, "pressures", column).items():
        pressures = [pressure for _, pressure in values]
        assert pressures == sorted(pressures, reverse=True), key


def test_pressures_of_the_24_degree_cone_are_the_classes_of_its_standard(known: Figures) -> None:
    """ISO 8434-1 and DIN 2353: PN 100, 160, 250, 400 and 630 bar."""
    for series, classes in (("din24-ll", {100}), ("din24-l", {100, 160, 250}), ("din24-s", {250, 400, 630})):
        found = {figure.low for tube in range(4, 43) for figure in look_up(known.pressures, series, tube_mm=tube)}
        assert found == classes


def test_heavy_holds_more_than_light_on_the_same_tube(known: Figures) -> None:
    for tube in (6, 8, 10, 12):
        light, heavy = (
            look_up(known.pressures, "din24-l", tube_mm=tube),
            look_up(known.pressures, "din24-s", tube_mm=tube),
        )
        assert light and heavy
        assert max(figure.high for figure in light) < min(figure.low for figure in heavy)


def test_a_metric_stud_of_unknown_duty_counts_as_light(known: Figures) -> None:
    """ISO 6149-3 (light duty) has the ports of ISO 6149-2 (heavy duty) and lower pressures; figures from memory."""
    for row in look_up(known.pressures, "iso6149", thread="M18×1.5"):
        assert row.basis is Basis.MEMORY
    for thread in ("M12×1.5", "M18×1.5", "M27×2", "M42×2"):
        pressures = look_up(known.pressures, "iso6149", thread=thread)
        light, heavy = (min(f.low for f in pressures if duty_of(f) == duty) for duty in (Duty.LIGHT, Duty.HEAVY))
        assert light < heavy
        assert light == min(f.low for f in pressures)


# Stud threads of the 24° cone fittings by their tube in mm, parallel pipe then metric: DIN 2353 with DIN 3852 (memory).
LIGHT_STUDS = """
    6 G1/8 M10×1, 8 G1/4 M12×1.5, 10 G1/4 M14×1.5, 12 G3/8 M16×1.5, 15 G1/2 M18×1.5, 18 G1/2 M22×1.5, 22 G3/4 M26×1.5,
    28 G1 M33×2, 35 G1-1/4 M42×2, 42 G1-1/2 M48×2
"""
HEAVY_STUDS = """
    6 G1/4 M12×1.5, 8 G1/4 M14×1.5, 10 G3/8 M16×1.5, 12 G3/8 M18×1.5, 16 G1/2 M22×1.5, 20 G3/4 M27×2, 25 G1 M33×2,
    30 G1-1/4 M42×2, 38 G1-1/2 M48×2
"""


@pytest.mark.parametrize(
    ("duty", "cone", "studs"), [(Duty.LIGHT, "din24-l", LIGHT_STUDS), (Duty.HEAVY, "din24-s", HEAVY_STUDS)]
)
def test_a_stud_holds_what_its_cone_holds(known: Figures, duty: Duty, cone: str, studs: str) -> None:
    """A fitting has one nominal pressure, of the weakest tube where a thread serves two: DIN 2353 (memory)."""
    least: dict[tuple[str, str], float] = {}
    for tube, *threads in (stud.split() for stud in studs.split(",")):
        (cone_bar,) = {f.low for f in look_up(known.pressures, cone, tube_mm=int(tube)) if f.source == "din-2353"}
        for series, thread in zip(("bspp-port", "metric-port"), threads, strict=True):
            least[series, thread] = min(cone_bar, least.get((series, thread), cone_bar))
    for (series, thread), bar in least.items():
        found = [figure for figure in look_up(known.pressures, series, thread=thread) if duty_of(figure) == duty]
        assert [figure.low for figure in found] == [bar], (series, thread)


def test_a_stud_of_unknown_duty_counts_as_light(known: Figures) -> None:
    for series, threads in (("bspp-port", ("G3/8", "G1")), ("metric-port", ("M16×1.5", "M33×2"))):
        for thread in threads:
            pressures = look_up(known.pressures, series, thread=thread)
            light, heavy = (min(f.low for f in pressures if duty_of(f) == duty) for duty in (Duty.LIGHT, Duty.HEAVY))
            assert light < heavy and light == min(f.low for f in pressures)


def test_what_was_taken_low_says_so(texts: dict[str, str]) -> None:
    """The preferred number R10 (ISO 3) that is at least a tenth under what memory has, which the note tells."""
    r10 = [63, 80, 100, 125, 160, 200, 250, 315, 400]
    low = [row for row in rows(texts, "pressures") if row["taken"]]
    assert {row["series"] for row in low} == {"bspp-cone60", "coupler-a", "coupler-b", "coupler-flat", "test-point"}
    for row in low:
        recalled = re.match(r"recalled as (\d+) bar; here is the next R10", row["note"])
        assert recalled, row["id"]
        assert int(row["pressure_bar"]) == max(step for step in r10 if step <= 0.9 * int(recalled[1])), row["id"]


def test_boss_torques_of_the_standard_are_the_least_of_the_handbooks(known: Figures) -> None:
    """ISO 11926-2 (heavy) and -3 (light), recalled by themselves, lie at the low end of a handbook's ranges."""
    for dash in (4, 6, 8, 10, 12, 14, 16, 20, 24):
        found = look_up(known.torques, "orb", dash=dash)
        heavy, light = (
            next(f.low for f in found if f.source == "iso-11926" and duty_of(f) == duty)
            for duty in (Duty.HEAVY, Duty.LIGHT)
        )
        assert light < heavy
        above = next(f for f in found if "above 4000 psi" in f.condition)
        assert heavy == pytest.approx(above.low, rel=0.08), dash


def test_code_62_holds_more_than_code_61(known: Figures) -> None:
    for dash in (8, 12, 16, 20, 24, 32):
        low, high = look_up(known.pressures, "flange61", dash=dash), look_up(known.pressures, "flange62", dash=dash)
        assert max(figure.high for figure in low) < min(figure.low for figure in high)


@pytest.mark.parametrize(
    ("series", "dash", "bar"),
    [  # as printed, values from memory
        ("flange61", 8, (345, 350)),  # SAE J518, ISO 6162-1
        ("flange61", 24, (207, 210)),
        ("flange62", 16, (414, 420)),  # SAE J518, ISO 6162-2
        ("flare37", 8, (276, 310)),  # SAE J514, swivel and straight male; ISO 8434-2
        ("orfs", 24, (276, 280)),  # SAE J1453, ISO 8434-3
    ],
)
def test_pressures_as_printed(known: Figures, series: str, dash: int, bar: tuple[float, float]) -> None:
    found = span(look_up(known.pressures, series, dash=dash))
    assert found == pytest.approx(bar, abs=1)


def test_torques_as_printed(known: Figures) -> None:
    """In the unit they are printed in elsewhere: 37 degree flare dash 8, 34 to 38 lbf·ft, is 46 to 52 N·m (memory)."""
    first = next(f for f in look_up(known.torques, "flare37", dash=8) if f.recalled)
    assert (first.low, first.high) == pytest.approx((46, 52), abs=0.6)
    assert first.unit == "N·m"
    assert figures.TORQUE_NM["lbf·ft"] == pytest.approx(1.3558179483, rel=1e-9)  # NIST SP 811
    assert figures.TORQUE_NM["lbf·in"] == pytest.approx(0.1129848290, rel=1e-9)


def test_published_torques_of_a_size_differ_but_not_without_bound(known: Figures) -> None:
    """Common practice, no source: up to about a factor of two between makers and editions. More would be a slip.

    Of the boss an older harvest-header manual (169558) and a tractor manual (OMN300488) print a third of others.
    """
    spreads = {}
    for series in ("flare37", "orb", "orfs", "bspp-cone60", "flare30-g"):
        for dash in (4, 6, 8, 10, 12, 16, 20, 24):
            found = [f for f in look_up(known.torques, series, dash=dash) if f.holds_for and not f.holds_for.use]
            if len({figure.source for figure in found}) > 1:
                low, high = span(found)
                spreads[series, dash] = high / low
    assert len(spreads) > 25
    assert max(spread for (series, _), spread in spreads.items() if series != "orb") < 2.5
    assert max(spreads.values()) < 3.5
    assert max(spreads.values()) > 1.8
    assert all(spread > 1.0 for spread in spreads.values())


@pytest.mark.parametrize(
    "series",
    [
        *("flare37", "flare45", "orb", "orfs", "npt", "bspt", "bspp-cone60", "bspp-port", "flare30-g", "flare30-m"),
        *("cone60-g", "din24-l", "din24-s", "din60", "iso6149", "metric-port", "flange61", "flange62"),
    ],
)
def test_the_usual_sizes_of_a_series_say_how_tight(catalogue: Catalogue, series: str) -> None:
    ends = [end for end in catalogue.ends if end.series == series]
    told = [end for end in ends if end.torque or end.turns]
    assert len(told) > 0.4 * len(ends)
    for end in told:
        assert {figure.unit for figure in end.torque} <= {"N·m"}
        assert {figure.unit for figure in end.turns} <= {"turn", "flat"}
        assert all(figure.condition.startswith("past ") for figure in end.turns)


def test_a_taper_takes_turns_and_a_cutting_ring_too(known: Figures) -> None:
    """Two to three turns past finger tight for NPT to 3/4 (memory); 1½ and ½ turn, DIN 3859 (memory)."""
    taper = look_up(known.turns, "npt", dash=8)
    assert span(figure for figure in taper if figure.recalled) == (2.0, 3.0)
    assert span(taper) == (0.5, 3.0)  # manual P1512161 has less
    ring = {figure.condition: figure.low for figure in look_up(known.turns, "din24-l", tube_mm=12)}
    assert ring["past finger tight; cutting ring made up in the fitting"] == 1.5
    assert ring["past wrench resistance; cutting ring made up beforehand"] == 0.5


def test_what_is_not_known_is_empty(known: Figures) -> None:
    assert look_up(known.torques, "flare37", dash=17) == ()
    assert look_up(known.pressures, "staple", dash=8) == ()


TORQUES = "id,series,dash,tube_mm,thread,low,high,unit,source,basis\n"
TURNS = "id,series,dash,low,high,unit,past,source,basis\n"
PRESSURES = "id,series,dash,pressure_psi,pressure_bar,source,basis\n"


@pytest.mark.parametrize(
    ("file", "text", "column", "reason"),
    [
        ("torques.csv", TORQUES + "a,orb,8,,,60,50,N·m,s,memory\n", "high", "50 is less than low, 60"),
        ("torques.csv", TORQUES + "a,orb,8,12,,50,60,N·m,s,memory\n", "tube_mm", "already given by dash"),
        ("torques.csv", TORQUES + "a,orb,8,,M14×1.5,50,60,N·m,s,memory\n", "thread", "already given by dash"),
        ("torques.csv", TORQUES + "a,orb,8,,,50,60,ft lb,s,memory\n", "unit", "lbf·ft"),
        ("torques.csv", TORQUES + "a,orb,8,,,,60,N·m,s,memory\n", "low", "must not be empty"),
        ("torques.csv", TORQUES + "a,orb,8,,,50,60,N·m,t,memory\n", "source", "'t' is not in sources.csv"),
        ("turns.csv", TURNS + "a,npt,8,2,3,turn,hand tight,s,memory\n", "past", "finger tight"),
        ("pressures.csv", PRESSURES + "a,orb,8,5000,345,s,memory\n", "pressure_bar", "give either"),
        ("pressures.csv", PRESSURES + "a,orb,8,,,s,memory\n", "pressure_bar", "give either"),
        ("pressures.csv", PRESSURES + "a,orb,eight,5000,,s,memory\n", "dash", "integer"),
    ],
)
def test_a_bad_row_names_its_place(file: str, text: str, column: str, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        figures.parse({file: text}, {"s": None})
    assert (caught.value.file, caught.value.row, caught.value.column) == (file, 2, column)


def test_the_same_row_twice_is_refused() -> None:
    row = "a,orb,8,,,50,60,N·m,s,memory\n"
    with pytest.raises(BadTable, match=r"'a' is already in torques\.csv, row 2"):
        figures.parse({"torques.csv": TORQUES + row + row})
