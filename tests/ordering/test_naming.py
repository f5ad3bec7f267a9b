"""Ends and sources in writing, as a counter looks them up: size first, the pitch where the designation hides it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from voicefit.catalogue.ends import Basis, Figure
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.naming import end_name, hose_name, seat_name, source_name, sources_name
from voicefit.ordering.room import Ordering
from voicefit.slips.label import sheets


@pytest.mark.parametrize(
    ("end", "name", "seat"),
    [
        ("din24-l/12/male", "tube 12 mm 24° cone, light, male, M18×1.5", "recessed, 12° to the axis, 24° included"),
        ("gaz24/21.25/male", "tube 21.25 mm French 24° cone, male, M30×1.5", None),
        (
            "flare30-g/6/female",
            "3/8 30° flare on parallel pipe thread, female swivel, dash 6, G3/8 (19 per inch)",
            "recessed, 30° to the axis, 60° included",
        ),
        ("npt/8/male", "1/2 taper pipe NPT/NPTF, male, dash 8, 1/2-14 NPT", ""),
        ("iso6149/18/stud", "metric O-ring port, stud end, M18×1.5", ""),  # the thread is its size
        ("gas-cylinder/w21.8/male", "gas cylinder outlet with flat washer, outlet, W21.8-14", ""),
        ("flange-pump/40/male", "bolt circle 40 mm gear-pump flange, flange with O-ring groove", ""),
        ("coupler-a/8/male", "1/2 quick coupler, series A, male half, dash 8", ""),
    ],
)
def test_ends(end: str, name: str, seat: str | None, ordering: Ordering) -> None:
    assert end_name(ordering.end(end)) == name
    assert seat is None or seat_name(ordering.end(end)) == seat


def test_hoses(ordering: Ordering) -> None:
    hose = next(each for each in ordering.catalogue.hoses if each.id == "en-853-2sn/8")
    assert hose_name(hose) == "EN 853 2SN, dash 8, bore 12.7 mm"


@pytest.mark.parametrize(
    ("source", "edition", "quoted"),
    [
        ("sae-j514", "", "SAE J514"),
        ("sae-j514", "2012", "SAE J514:2012"),
        ("sae-j514", "revision B", "SAE J514 revision B"),
        ("en-857-2015", "", "EN 857:2015"),  # the edition of the bibliography
        ("en-857-2015", "2018", "EN 857:2018"),
        ("an929", "", "AN929 revision 13"),
        ("common-practice", "", "What is met in the trade; no published source"),
        ("no-such-source", "2012", "no-such-source"),
    ],
)
def test_sources(source: str, edition: str, quoted: str, ordering: Ordering) -> None:
    assert source_name(source, edition, ordering.catalogue.sources) == quoted


def test_all_sources_of_a_span_are_quoted_but_no_book_for_what_was_recalled_of_none(ordering: Ordering) -> None:
    sources = ordering.catalogue.sources
    span = Figure(1, 2, "N·m", "sae-j514", "2012", Basis.MEMORY, more_sources=("common-practice", "an929"))
    assert sources_name(span, sources) == "SAE J514:2012, AN929 revision 13"
    read = replace(span, basis=Basis.HANDBOOK)
    title = "What is met in the trade; no published source"
    assert sources_name(read, sources) == f"SAE J514:2012, {title}, AN929 revision 13"
    assert sources_name(Figure(1, 2, "N·m", "common-practice", "", Basis.MEMORY), sources) == ""


def test_a_slip_is_one_sheet_up_to_its_last_byte(ordering: Ordering) -> None:
    ends = tuple(EndFacts(each) for each in ("staple/8/male", "staple/12/male"))
    slip = job_slip(ordering, JobFacts("a-1", machine="press", ends=ends)).model_copy(update={"cautions": ()})
    size = len(slip.to_json())
    assert sheets(slip, size) == (slip,)
    first, second = sheets(slip, size - 1)
    assert (first.machine, second.machine) == ("press", "") and first.ends + second.ends == slip.ends
    assert [(sheet.sheet.number, sheet.sheet.of) for sheet in (first, second) if sheet.sheet] == [(1, 2), (2, 2)]
