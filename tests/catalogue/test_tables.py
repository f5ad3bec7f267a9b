"""The reader of tables: whatever is wrong is named by file, row, column and reason."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.catalogue.tables import Exact, Number, Row, SeveralExact, Text, positive, read_family, read_table, unique
from voicefit.errors import BadTable


class Leaf(Row):
    id: Text
    pitch_mm: Exact = positive(10)
    width_mm: Number | None = positive(default=None)
    teeth: SeveralExact = ()


HEADER = "id,pitch_mm,width_mm,teeth,source,basis\n"


@pytest.mark.parametrize(
    ("text", "row", "column", "reason"),
    [
        (HEADER + "a,-1.5,,,s,memory\n", 2, "pitch_mm", "is not a number|greater than 0"),
        (HEADER + "a,0,,,s,memory\n", 2, "pitch_mm", "greater than 0"),
        (HEADER + "a,11,,,s,memory\n", 2, "pitch_mm", "less than or equal to 10"),
        (HEADER + "a,,,,s,memory\n", 2, "pitch_mm", "must not be empty"),
        (HEADER + "a,1/0,,,s,memory\n", 2, "pitch_mm", "'1/0' is not a number"),
        (HEADER + "a,nan,,,s,memory\n", 2, "pitch_mm", "'nan' is not a number"),
        (HEADER + "a,1,inf,,s,memory\n", 2, "width_mm", "'inf' is not a number"),
        (HEADER + "a,1,,,s,guess\n", 2, "basis", "'guess'"),
        (HEADER + "a,1,,,,memory\n", 2, "source", "must not be empty"),
        (HEADER + "a,1,,1;x,s,memory\n", 2, "teeth", "'x' is not a number"),
        (HEADER + "\n\na,1,2mm,,s,memory\n", 4, "width_mm", "'2mm' is not a number"),
        (HEADER + "a,1,,,s\n", 2, None, "5 cells where the header has 6"),
        (HEADER + "a,1,,,s,memory,more\n", 2, None, "7 cells where the header has 6"),
        (HEADER + '"a,1,,,s,memory\n', 2, None, "not CSV"),
        ("id,pitch_mm,source,basis,size_mm\n", 1, "size_mm", "no such column"),
        ("id,pitch_mm,pitch_mm,source,basis\n", 1, "pitch_mm", "appears twice"),
        ("id,source,basis\n", 1, "pitch_mm", "column is missing"),
        ("", None, None, "empty"),
        ("\n\n", None, None, "empty"),
    ],
)
def test_what_is_wrong_is_named(text: str, row: int | None, column: str | None, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        read_table("leaves.csv", text, Leaf)
    assert (caught.value.file, caught.value.row, caught.value.column) == ("leaves.csv", row, column)


def test_line_numbers_count_lines_of_the_file() -> None:
    first, second = read_table("leaves.csv", HEADER + 'a,1,,,s,memory\n\nb,1-1/4,13/16,1;3/4,"s",memory\n', Leaf)
    assert (first.line, second.line) == (2, 4)
    assert (second.pitch_mm, second.width_mm, second.teeth) == (Fraction(5, 4), 0.8125, (1, Fraction(3, 4)))
    assert first.teeth == () and first.width_mm is None


def test_a_byte_order_mark_and_other_line_ends_do_not_matter() -> None:
    (row,) = read_table("leaves.csv", "\ufeff" + (HEADER + "a,1,,,s,memory\n").replace("\n", "\r\n"), Leaf)
    assert row.id == "a" and row.note == ""


def test_a_second_id_is_refused_with_the_place_of_the_first() -> None:
    texts = {"leaves.csv": HEADER + "a,1,,,s,memory\n", "leaves-more.csv": HEADER + "b,1,,,s,memory\na,2,,,s,memory\n"}
    with pytest.raises(BadTable, match=r"'a' is already in leaves-more.csv, row 3") as caught:
        unique(read_family(texts, "leaves", Leaf))
    assert (caught.value.file, caught.value.row, caught.value.column) == ("leaves.csv", 2, "id")


def test_a_family_is_its_own_files_only() -> None:
    one = HEADER + "{},1,,,s,memory\n"
    texts = {"leaves.csv": one.format("a"), "leaves-b.csv": one.format("b"), "leavesx.csv": "no table"}
    assert [row.id for row in read_family(texts, "leaves", Leaf)] == ["b", "a"]


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_rows_or_a_bad_table(text: str) -> None:
    try:
        rows = read_table("any.csv", text, Leaf)
    except BadTable as error:
        assert error.file == "any.csv" and error.reason
    else:
        assert all(isinstance(row, Leaf) for row in rows)
