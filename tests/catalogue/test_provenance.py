"""Where single cells come from: a line in ``provenance.csv`` names a cell, or is refused with its place."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.catalogue.ends import Basis, Origin
from voicefit.catalogue.public import end_document
from voicefit.catalogue.rows import Source
from voicefit.errors import BadTable

HEADER = "id,table,row,column,source,basis\n"


def test_a_hexagon_that_was_read_and_a_ring_that_was_recalled(catalogue: Catalogue) -> None:
    """Nut hexagons of TM 55-1520-240-23-1; the ring of 24 degree noses from memory."""
    assert catalogue.by_id["flare37/6/female"].origin("hex") == Origin("tm-55-1520-240", Basis.HANDBOOK)
    assert catalogue.by_id["flare37/6/female"].basis is Basis.MEMORY
    assert catalogue.by_id["din24-l/12/female-o-ring"].origin("o_ring").recalled
    assert not catalogue.by_id["orb/6/stud"].origin("o_ring").recalled  # NAVEDTRA 14105: 900 and the tube's sixteenths


def test_the_public_document_tells_them_apart(catalogue: Catalogue) -> None:
    sources: dict[str, Source] = dict(catalogue.sources)
    document = end_document(catalogue.by_id["flare37/6/female"], sources)
    assert document.basis_of == {
        **dict.fromkeys(("thread", "tube", "hex"), "handbook"),
        "seat": "memory",
        "mouth": "common practice",
    }
    flange = end_document(catalogue.by_id["flange62/24/male"], sources).basis_of  # M16: manual of a shear attachment
    assert {what: flange[what] for what in ("head", "centres", "bolt_metric", "bolt_inch")} == {
        "head": "memory",
        "centres": "memory",
        "bolt_metric": "handbook",
        "bolt_inch": "memory",
    }
    assert end_document(catalogue.by_id["brake-bubble/m10/male"], sources).trade == "brake line"


@pytest.mark.parametrize(
    ("cells", "column", "reason"),
    [
        ("endings,orb/6,thread", "table", "'endings' is no family of tables"),
        ("ends,orb/6,colour", "column", "'colour' is no column of ends"),
        ("ends,orb/99,thread", "row", "'orb/99' is in no table of ends"),
        ("ends,orb/6;orb/99,thread;o_ring", "row", "'orb/99' is in no table of ends"),
    ],
)
def test_a_line_of_no_cell_is_refused(cells: str, column: str, reason: str, texts: dict[str, str]) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        load_catalogue(texts, extra={"provenance-own.csv": f"{HEADER}x,{cells},common-practice,memory\n"})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("added/provenance-own.csv", 2, column)


def test_a_female_of_another_thread_has_that_threads_origin(texts: dict[str, str]) -> None:
    own = f"{HEADER}x,ends,bspt/8,female_thread,iso-7-1,standard\n"
    ends = load_catalogue(texts, extra={"provenance-own.csv": own}).by_id
    assert ends["bspt/8/female"].origin("thread").basis is Basis.STANDARD
    assert ends["bspt/8/male"].origin("thread").basis is Basis.COMPUTED


def test_an_own_line_is_taken(texts: dict[str, str]) -> None:
    """One line, of each of its rows and columns."""
    own = f"{HEADER}x,ends,orfs/6;orfs/8,female_hex_in;thread,sae-j1453,standard\n"
    ends = load_catalogue(texts, extra={"provenance-own.csv": own}).by_id
    for end in (ends["orfs/6/female"], ends["orfs/8/female"]):
        assert end.origin("hex") == end.origin("thread") == Origin("sae-j1453", Basis.STANDARD)
        assert end.origin("o_ring").basis is Basis.MEMORY
