"""The reader of tables: whatever is wrong is named by file, row, column and reason."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.catalogue.faults import Faults
from voicefit.catalogue.tables import Exact, Number, Row, SeveralExact, Text, positive, read_family, read_table, unique
from voicefit.errors import BadTable, BadTables


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


@pytest.mark.parametrize(
    ("text", "places", "read"),
    [
        # Each wrong cell of a row once; the rows beside it are read.
        (
            "a,1,,,s,memory\nb,-1,2mm,1;x;y,s,guess\nc,,,,,memory\nd,2,,,s,memory\n",
            ["3 basis", "3 pitch_mm", "3 width_mm", "3 teeth", "4 source", "4 pitch_mm"],
            ["a", "d"],
        ),
        ("a,1,,,s\nb,1,,,s,memory,more\nc,1,,,s,memory\n", ["2 None", "3 None"], ["c"]),
        ('a,1,,,s,memory\n"b,1,,,s,memory\n', ["3 None"], ["a"]),
    ],
)
def test_all_that_is_wrong_is_noted_and_the_rest_is_read(text: str, places: list[str], read: list[str]) -> None:
    faults = Faults()
    rows = read_table("leaves.csv", HEADER + text, Leaf, faults)
    assert [row.id for row in rows] == read
    assert [f"{error.row} {error.column}" for error in faults.found] == places


@pytest.mark.parametrize(
    ("header", "places"),
    [
        ("id,pitch_mm,colour,source,basis", ["1 colour", "2 pitch_mm"]),  # what else is wrong is told too
        ("id,pitch_mm,pitch_mm,source,basis", ["1 pitch_mm"]),  # which of the two is wrong is not known
        ("id,colour,size,source,basis", ["1 colour", "1 size", "1 pitch_mm"]),
        ("id,pitch_mm,,source,basis", ["1 3", "2 pitch_mm"]),  # a column without a name by its number
        ("id;pitch_mm;source;basis", ["1 None"]),
    ],
)
def test_what_is_wrong_in_a_header_stops_only_what_cannot_be_read(header: str, places: list[str]) -> None:
    faults = Faults()
    row = ",".join(["a", "-1", "x", "s", "memory"])
    assert read_table("leaves.csv", f"{header}\n{row}\n", Leaf, faults) == ()
    assert [f"{error.row} {error.column}" for error in faults.found] == places


def test_whoever_names_a_broken_row_is_not_blamed_too() -> None:
    faults = Faults()
    faults.note(BadTable("ends.csv", 2, "thread", "none"), "orb/6", "kinds of orb")
    for key, broken in (
        ("orb/6", True),
        ("orb/6/stud", True),
        ("orb/8", False),
        ("orb", False),
        ("kinds of orb", True),
    ):
        assert faults.broken(key) == broken and faults.lacks(key, ()) != broken
    assert not faults.lacks("orb/8", {"orb/8"})
    faults.note(BadTable("ends.csv", 1, "id", "first"))
    faults.note(BadTable("ends.csv", 2, "thread", "none"))  # the same again
    faults.note(BadTable("a.csv", 9, "id", "of a file that was read later"))
    with pytest.raises(BadTables) as caught:
        faults.raise_all()
    assert [(error.file, error.row) for error in caught.value.errors] == [
        ("ends.csv", 1),
        ("ends.csv", 2),
        ("a.csv", 9),
    ]
    Faults().raise_all()  # nothing is wrong


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
