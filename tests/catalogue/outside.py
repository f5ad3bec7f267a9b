"""Every row that something outside the project also has, beside what that has: open tables and the standards' formulas.

``python -m tests.catalogue.outside`` writes the counts into ``data/README.md``. What differs is found by
:mod:`tests.catalogue.test_outside`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from fluids.piping import nearest_pipe

from tests.catalogue.conftest import warehouse_table
from tests.catalogue.planes import diameters_at
from voicefit.catalogue import Catalogue, Thread, load_catalogue
from voicefit.catalogue.rows import ThreadRow
from voicefit.catalogue.tables import read_family
from voicefit.quantities import exact
from voicefit.resources import data_folder, read_data

INCH = 25.4
BEGIN, END = "<!-- outside: made by python -m tests.catalogue.outside -->", "<!-- end of outside -->"


class Pair(NamedTuple):
    """One number of ours beside theirs, both in mm; they may differ by ``within``."""

    row: str
    what: str
    ours: float
    theirs: float
    within: float


class Comparison(NamedTuple):
    """``of`` : how many rows of ours there are of that kind."""

    rows: str
    against: str
    of: int
    pairs: list[Pair]

    @property
    def compared(self) -> int:
        return len({pair.row for pair in self.pairs})


def threads_of(catalogue: Catalogue, *systems: str) -> list[Thread]:
    return [thread for thread in catalogue.threads.values() if thread.system in systems]


def parallel_pipe(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """To the micrometre. The table's minor diameters come from a rounded thread height."""
    threads, table = threads_of(catalogue, "G"), _iso_228_1()

    def pairs() -> Iterator[Pair]:
        for thread in threads:
            if (row := table.get(thread.size)) is None:
                continue
            name = thread.designation
            yield Pair(name, "tpi", float(thread.tpi or 0), float(row["tpi"]), 0)
            yield Pair(name, "major", thread.major_diameter_mm, float(row["major_diameter"]), 0.0006)
            yield Pair(name, "pitch", thread.pitch_diameter_mm, float(row["pitch_diameter"]), 0.0006)
            yield Pair(name, "minor", thread.minor_diameter_mm, float(row["minor_diameter"]), 0.0012)
            (low, high), (least, greatest) = thread.external_major_mm, thread.internal_minor_mm
            yield Pair(name, "crest tolerance", high - low, float(row["external_major_tolerance"]), 0.0002)
            yield Pair(name, "bore tolerance", greatest - least, float(row["internal_minor_tolerance"]), 0.0002)

    return Comparison("parallel pipe threads G", "ISO 228-1 in bd_warehouse", len(threads), list(pairs()))


def taper_pipe(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """ISO 7-1: the diameters of ISO 228-1 at the gauge plane, and 1 in 16 on the diameter away from it."""
    threads, table = threads_of(catalogue, "R"), _iso_228_1()

    def pairs() -> Iterator[Pair]:
        for thread in threads:
            if (row := table.get(thread.size)) is None:
                continue
            for away in (-4.0, 0.0, 4.0):
                found, grown = diameters_at(thread, (thread.gauge_length_mm or 0) + away), away / 16
                what = f"{away:g} mm from the gauge plane"
                yield Pair(
                    thread.designation, f"major, {what}", found.major_mm, float(row["major_diameter"]) + grown, 0.0006
                )
                yield Pair(
                    thread.designation, f"minor, {what}", found.minor_mm, float(row["minor_diameter"]) + grown, 0.0012
                )

    return Comparison(
        "taper pipe threads R, Rc", "ISO 228-1 in bd_warehouse, taper of ISO 7-1", len(threads), list(pairs())
    )


def _basic_profile(name: str, nominal_mm: float, pitch_mm: float, found: Thread | tuple[float, ...]) -> Iterator[Pair]:
    """ISO 68-1 and ASME B1.1 share it: D2 = D - 2 (3/8) H, D1 = D - 2 (5/8) H, H = P cos 30 degrees."""
    if isinstance(found, Thread):
        found = (found.major_diameter_mm, found.pitch_diameter_mm, found.minor_diameter_mm)
    triangle = pitch_mm * math.cos(math.radians(30))
    for what, ours, eighths in zip(("major", "pitch", "minor"), found, (0, 3, 5), strict=True):
        yield Pair(name, what, ours, nominal_mm - 2 * eighths / 8 * triangle, 0.001)


def unified(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    threads = threads_of(catalogue, "UN")
    pairs = [
        pair
        for thread in threads
        for pair in _basic_profile(
            thread.designation, float(exact(thread.size)) * INCH, INCH / float(thread.tpi or 1), thread
        )
    ]
    return Comparison("unified threads", "profile formulas of ASME B1.1", len(threads), pairs)


def metric(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    threads = threads_of(catalogue, "M")
    pairs = [
        pair
        for thread in threads
        for pair in _basic_profile(thread.designation, float(exact(thread.size)), thread.pitch_mm, thread)
    ]
    return Comparison("metric threads", "profile formulas of ISO 724", len(threads), pairs)


def metric_taper(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """DIN 158: the basic profile at the gauge plane, 1 in 16 away from it. Where that plane lies is recalled."""
    threads = threads_of(catalogue, "M-taper")

    def pairs() -> Iterator[Pair]:
        for thread in threads:
            for away in (0.0, 2.0):
                found = diameters_at(thread, (thread.gauge_length_mm or 0) + away)
                yield from _basic_profile(
                    thread.designation, float(exact(thread.size)) + away / 16, thread.pitch_mm, tuple(found)
                )

    return Comparison("metric taper threads", "profile of ISO 724, taper of DIN 158", len(threads), list(pairs()))


AMERICAN_TAPER = {  # ASME B1.20.1 table of basic dimensions (memory): E0, E1, L2, E2 in inches
    "1/16": (0.27118, 0.28118, 0.2611, 0.28750),
    "1/8": (0.36351, 0.37360, 0.2639, 0.38000),
    "1/4": (0.47739, 0.49163, 0.4018, 0.50250),
    "3/8": (0.61201, 0.62701, 0.4078, 0.63750),
    "1/2": (0.75843, 0.77843, 0.5337, 0.79179),
    "3/4": (0.96768, 0.98887, 0.5457, 1.00179),
    "1": (1.21363, 1.23863, 0.6828, 1.25630),
    "1-1/4": (1.55713, 1.58338, 0.7068, 1.60130),
    "1-1/2": (1.79609, 1.82234, 0.7235, 1.84130),
    "2": (2.26902, 2.29627, 0.7565, 2.31630),
    "2-1/2": (2.71953, 2.76216, 1.1375, 2.79062),
    "3": (3.34062, 3.38850, 1.2000, 3.41562),
}


def american_taper(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """Pitch diameters at the end (E0), at the gauge plane (E1), at the last effective thread (E2)."""
    threads = threads_of(catalogue, "NPT")

    def pairs() -> Iterator[Pair]:
        for thread in threads:
            if thread.size not in AMERICAN_TAPER:
                continue
            at_end, at_gauge, length, at_length = (value * INCH for value in AMERICAN_TAPER[thread.size])
            name, gauge, whole = thread.designation, thread.gauge_length_mm or 0, thread.thread_length_mm or 0
            yield Pair(name, "E0", diameters_at(thread, 0).pitch_mm, at_end, 0.0006)
            yield Pair(name, "E1", diameters_at(thread, gauge).pitch_mm, at_gauge, 0.0006)
            yield Pair(name, "L2", whole, length, 0.003)
            yield Pair(name, "E2", diameters_at(thread, whole).pitch_mm, at_length, 0.001)

    return Comparison("American taper threads NPT", "table and formulas of ASME B1.20.1", len(threads), list(pairs()))


def american_straight(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """NPSM has the pitch diameter E1 of the taper; its crests by the formula of B1.1 on that."""
    threads = threads_of(catalogue, "NPSM")
    pairs = [
        Pair(thread.designation, "pitch", thread.pitch_diameter_mm, AMERICAN_TAPER[thread.size][1] * INCH, 0.0006)
        for thread in threads
        if thread.size in AMERICAN_TAPER
    ]
    return Comparison("American straight threads NPSM", "E1 of ASME B1.20.1", len(threads), pairs)


def pipes(_: Catalogue, texts: Mapping[str, str]) -> Comparison:
    """The pipe that an American pipe thread is cut on, ASME B36.10, in two open tables."""
    rows = [row for row in read_family(texts, "threads", ThreadRow) if row.pipe_outside_diameter_in is not None]
    table = {
        row["nps"].replace(" ", "-"): float(row["od"])
        for row in warehouse_table("pipe.csv")
        if (row["material"], row["identifier"]) == ("steel", "40")
    }

    def pairs() -> Iterator[Pair]:
        for row in rows:
            if row.size not in table:  # no pipe is made for the thread of 1/16
                continue
            ours = float(row.need("pipe_outside_diameter_in")) * INCH
            yield Pair(row.id, "bd_warehouse", ours, table[row.size] * INCH, 0.012)
            _, _, outside_m, _ = nearest_pipe(NPS=float(exact(row.size)), schedule="40")
            yield Pair(row.id, "fluids", ours, outside_m * 1000, 0.06)

    return Comparison("outside diameters of pipes", "bd_warehouse and fluids", len(rows), list(pairs()))


def inch_tubes(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """Inch tubes that copper tube comes in as well: named by another size there, of the same outside diameter."""
    sizes = {end.id.rpartition("/")[0]: end for end in catalogue.ends if end.dash is not None and end.tube_od_mm}
    copper = {float(row["od"]) for row in warehouse_table("pipe.csv") if row["material"] == "copper"}
    pairs = []
    for size, end in sizes.items():
        inches = float(Fraction(end.dash or 0, 16))
        if inches in copper:
            pairs.append(Pair(size, "outside", end.tube_od_mm or 0, inches * INCH, 0.001))
    return Comparison("inch tubes of flares and face seals", "copper tube in bd_warehouse", len(sizes), pairs)


GAS_TUBES = {  # French gas tube: the pipe of the same bore
    "13.25": "1/4",
    "16.75": "3/8",
    "21.25": "1/2",
    "26.75": "3/4",
    "33.5": "1",
    "42.25": "1-1/4",
    "48.25": "1-1/2",
}


def gas_tubes(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """They are thin-walled pipe: within 0.7 mm of it."""
    sizes = {end.nominal: end for end in catalogue.ends if end.series == "gaz24" and "gas tube" in end.notes}

    def pairs() -> Iterator[Pair]:
        for nominal, end in sizes.items():
            _, _, outside_m, _ = nearest_pipe(NPS=float(exact(GAS_TUBES[nominal])), schedule="40")
            yield Pair(nominal, "outside", end.tube_od_mm or 0, outside_m * 1000, 0.7)

    return Comparison("French gas tubes", "pipe in fluids", len(sizes), list(pairs()))


def rings(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    table = {row["Size"]: row for row in warehouse_table("data/o-ring_parameters.csv")}

    def pairs() -> Iterator[Pair]:
        for ring in catalogue.orings.values():
            if ring.as568 is not None and (row := table.get(ring.as568)) is not None:
                yield Pair(ring.id, "inside", ring.inside_diameter_mm, float(row["iso3601:id"]), 0.011)
                yield Pair(ring.id, "section", ring.section_mm, float(row["iso3601:w"]), 0.011)

    return Comparison("O-rings", "ISO 3601-1 in bd_warehouse", len(catalogue.orings), list(pairs()))


def flange_screws(catalogue: Catalogue, _: Mapping[str, str]) -> Comparison:
    """Every screw that a flange names is a size of ISO 4762 or ASME B18.3."""
    sizes = [row["Size"] for row in warehouse_table("data/socket_head_cap_parameters.csv")]
    known = {*sizes, *(size.partition("-")[0] for size in sizes if size.startswith("M"))}
    pairs = []
    for flange in catalogue.flanges:
        named = [flange.head.bolt_inch or "", *(flange.head.bolt_metric or "").split(" or ")]
        pairs += [Pair(flange.id, screw, 1, float(screw in known), 0) for screw in named if screw]
    return Comparison("flanges: screws", "ISO 4762 and ASME B18.3 in bd_warehouse", len(catalogue.flanges), pairs)


COMPARISONS: tuple[Callable[[Catalogue, Mapping[str, str]], Comparison], ...] = (
    *(parallel_pipe, taper_pipe, american_taper, american_straight, unified, metric, metric_taper),
    *(pipes, inch_tubes, gas_tubes, rings, flange_screws),
)


def table_of(catalogue: Catalogue, texts: Mapping[str, str]) -> str:
    """How many rows were compared, in Markdown."""
    lines = ["| rows | against | compared |", "| --- | --- | ---: |"]
    for compare in COMPARISONS:
        done = compare(catalogue, texts)
        lines.append(f"| {done.rows} | {done.against} | {done.compared} of {done.of} |")
    return "\n".join(lines)


def _iso_228_1() -> dict[str, dict[str, str]]:
    return {row["size"].replace(" ", "-"): row for row in warehouse_table("data/iso_228_1.csv")}


def main() -> None:
    readme, texts = data_folder() / "README.md", read_data()
    before, _, rest = readme.read_text(encoding="utf-8").partition(BEGIN)
    table = table_of(load_catalogue(texts), texts)
    readme.write_text(f"{before}{BEGIN}\n{table}\n{END}{rest.partition(END)[2]}", encoding="utf-8")


if __name__ == "__main__":
    main()
