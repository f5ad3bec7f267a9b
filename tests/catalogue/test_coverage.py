"""What has no figure is said, with the reason, and nothing is said to be missing that is there."""

from __future__ import annotations

import pytest

from tools.coverage import Count, coverage, coverage_table, gap_table
from tools.gaps import Field, gaps_from
from voicefit.catalogue import Catalogue
from voicefit.errors import BadTable

HEADER = "id,field,series,why,source,basis\n"


def test_every_gap_has_its_reason_and_every_reason_its_gap(texts: dict[str, str], catalogue: Catalogue) -> None:
    said = [(row.field, series) for row in gaps_from(texts, catalogue) for series in row.series]
    assert len(said) == len(set(said))
    counts = coverage(catalogue.ends, catalogue.hoses)
    open_ = {(field, series) for series, of in counts.items() for field, count in of.items() if count.known < count.of}
    assert set(said) == open_


def test_what_is_counted(catalogue: Catalogue) -> None:
    counts = coverage(catalogue.ends, catalogue.hoses)
    assert counts["flare37"][Field.PRESSURE] == Count(26, 30)  # but for dash 28 and 40
    assert counts["orfs"][Field.O_RING] == Count(16, 18)  # dash 32, male and female
    assert Field.O_RING not in counts["flare37"] and Field.WALL not in counts["npt"]
    assert Field.TORQUE not in counts["staple"] and Field.TORQUE in counts["flange61"]
    assert counts["sae-r17"] == {Field.OUTSIDE: Count(0, 7)}
    assert counts["iso-18752"][Field.OUTSIDE].of == 7 * 9 * 10


def test_the_tables_count_ends(texts: dict[str, str], catalogue: Catalogue) -> None:
    lines = coverage_table(catalogue.ends).splitlines()
    assert len(lines) == 2 + len([series for series in catalogue.series.values() if series.trade is None])
    assert "| `orfs` | 18 | all | 16 of 18 |" in "\n".join(lines)
    assert "| o ring | `orfs` | 2 | not recalled: dash 32 |" in gap_table(
        gaps_from(texts, catalogue), catalogue.ends, catalogue.hoses
    )


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("x,torque,train,not recalled,common-practice,memory", "series", "'train' is neither a series nor a hose"),
        ("x,colour,orb,not recalled,common-practice,memory", "field", "'colour'"),
        ("x,whole,orb,not here,common-practice,memory", "series", "a whole is named by the note alone"),
        ("x,source,orb,no open source found,common-practice,memory", "series", "a source is named by the note alone"),
        ("x,torque,,not recalled,common-practice,memory", "series", "names what lacks the figure"),
        ("x,torque,orb,forgotten,common-practice,memory", "why", "'forgotten'"),
        ("dn/ports,torque,orb,not recalled,common-practice,memory", "id", "already in gaps.csv"),
        ("x,torque,orb,not recalled,a book,memory", "source", "'a book' is not in sources.csv"),
    ],
)
def test_a_bad_row_names_its_place(
    texts: dict[str, str], catalogue: Catalogue, row: str, column: str, reason: str
) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        gaps_from(texts | {"added/gaps-own.csv": HEADER + row + "\n"}, catalogue)
    assert (caught.value.file, caught.value.row, caught.value.column) == ("added/gaps-own.csv", 2, column)
