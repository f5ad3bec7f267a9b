"""A shop's own words matched by meaning; what is not clear is named, never guessed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.errors import BadInput
from voicefit.ordering.naming import end_name, hose_name
from voicefit.ordering.room import Ordering
from voicefit.ordering.stock import Stock, StockLine, StockMatcher, Unmatched, adapter_key, ring_key
from voicefit.ordering.stock_hoses import hose_key
from voicefit.ordering.stock_list import columns_of, counting, decoded, table


@pytest.fixture(scope="module")
def matcher(ordering: Ordering) -> StockMatcher:
    return StockMatcher(ordering.catalogue)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("JIC female swivel -6", "flare37/6/female"),
        ("Female swivel, JIC, 9/16-18", "flare37/6/female"),
        ("37° flare male 9/16-18 UNF", "flare37/6/male"),
        ("JIC 1-1/16-12 male", "flare37/12/male"),
        ("JIC 3/4-16 male", "flare37/8/male"),
        ("7/8-14 JIC fem.", "flare37/10/female"),
        ("JIC male 7/16-20 UNF", "flare37/4/male"),
        ("3/8-24 JIC male", "flare37/3/male"),
        ("1 1/16-12 JIC male", "flare37/12/male"),
        ("SAE 45 flare female 5/8-18", "flare45/6/female"),
        ("ORFS male dash 8", "orfs/8/male"),
        ("O-ring face seal female size 12", "orfs/12/female"),
        ("ORB stud -8", "orb/8/stud"),
        ('BSPP female swivel 3/8"', "bspp-cone60/6/female"),
        ("BSPP fem. G 3/8", "bspp-cone60/6/female"),
        ("BSPT male 1/2", "bspt/8/male"),
        ("NPTF 3/4-14 female", "npt/12/female"),
        ("1/2 NPT male", "npt/8/male"),
        ("DIN 24° light 12L male M18x1.5", "din24-l/12/male"),
        ("DIN heavy 16S male", "din24-s/16/male"),
        ("L12 male M18x1.5", "din24-l/12/male"),  # the letter first
        ("S16 male", "din24-s/16/male"),
        ("12L female swivel o-ring nose", "din24-l/12/female-o-ring"),
        ("12L universal female", "din24-l/12/female-universal"),
        ("12L nut with cutting ring", "din24-l/12/female"),
        ("M22×1.5 ISO 6149 stud", "iso6149/22/stud"),
        ("code 61 flange head 1-1/4", "flange61/20/male"),
        ("C62 -16 head", "flange62/16/male"),
        ("JIS female G3/8 30 degree flare on pipe thread", "flare30-g/6/female"),
        ("metric 30 degree flare female M18x1.5", "flare30-m/6/female"),
        ("staple lock male 3/4", "staple/12/male"),
        ("series A coupler male 1/2", "coupler-a/8/male"),
        ("french 21.25 male", "gaz24/21.25/male"),
        ("DIN 24° leicht 12L Außengewinde M18x1,5", "din24-l/12/male"),
        ("BSPP 3/8 Innengewinde, Überwurfmutter", "bspp-cone60/6/female"),
        ("JIC mâle -6", "flare37/6/male"),
        ("o-ring 19,3 x 2,2 mm", ring_key("19.3×2.2")),
        ("orb/6/stud", "orb/6/stud"),
        ("O-ring AS568-012", ring_key("012")),
        ("o-ring 19.3 x 2.2 NBR 90", ring_key("19.3×2.2")),
    ],
)
def test_meaning(text: str, part: str, matcher: StockMatcher) -> None:
    assert matcher.part_of(text) == part


def test_adapters_are_found_either_way_round(matcher: StockMatcher, ordering: Ordering) -> None:
    key = adapter_key(ordering.end("bspp-cone60/6/male"), ordering.end("flare37/6/male"))
    assert matcher.part_of("JIC male -6 x BSPP male 3/8") == key
    assert matcher.part_of("BSPP male 3/8 to JIC male -6") == key


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("JIC -6", "female or male is not said"),
        ("JIC female", "no size given"),
        ("JIC male -7", "no dash 7 in flare37"),
        ("BSP male 1/2", "could be .* or "),
        ("JIS flare female -10", "could be .*G5/8.*G3/4"),  # both are met at dash 10
        ("bracket, galvanised", "no series named"),
        ("O-ring 2-999", "an O-ring of no size in the catalogue"),
        ("ISO 6149 stud M23x1.5", "no thread of 23 with pitch 1.50 mm in iso6149"),
        ("JIC male -6 x BSPP 3/8", "is not said"),
    ],
)
def test_what_is_not_clear_is_named(text: str, reason: str, matcher: StockMatcher) -> None:
    with pytest.raises(BadInput, match=reason):
        matcher.part_of(text)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("2SN -8 hydraulic hose", "hose/en-853-2sn/8"),
        ("Hose EN 853 2SN DN 12", "hose/en-853-2sn/8"),
        ("Hydraulikschlauch DIN EN 856 4SP DN20, 50 m", "hose/en-856-4sp/12"),
        ("4SH 1-1/4", "hose/en-856-4sh/20"),
        ("R2AT 1/2 hose", "hose/sae-r2/8"),
        ("SAE 100R2 -6", "hose/sae-r2/6"),
        ("hose SAE 100 R12 1 in", "hose/sae-r12/16"),
        ("EN 856 R12 -16 hose", "hose/en-856-r12/16"),
        ("hose ISO 18752 280 DC -10", "hose/iso-18752-dc-280/10"),
    ],
)
def test_hoses_by_the_metre(text: str, part: str, matcher: StockMatcher) -> None:
    assert matcher.part_of(text) == part


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("hose R12 -16", "could be EN 856 R12 or SAE 100R R12"),
        ("2SN hose", "no size given"),
        ("2SN hose -7", "no dash 7 in EN 853 2SN"),
        ("hose assembly 2SN -8 JIC female both ends", "an assembly"),
        ("ferrule 2SN -8", "no series named"),
        ("hose guard for 2SN -8", "no series named"),
    ],
)
def test_what_is_no_hose_by_the_metre_or_not_clear(text: str, reason: str, matcher: StockMatcher) -> None:
    with pytest.raises(BadInput, match=reason):
        matcher.part_of(text)


def test_a_thread_called_r_is_no_hose(matcher: StockMatcher) -> None:
    assert matcher.part_of("BSPT male R 2") == "bspt/32/male"


def test_our_own_hoses_mean_what_they_say(matcher: StockMatcher, ordering: Ordering) -> None:
    for hose in ordering.catalogue.hoses:
        assert matcher.part_of(f"hose {hose_name(hose)}") == hose_key(hose), hose_name(hose)


def test_our_own_names_mean_what_they_say(matcher: StockMatcher, ordering: Ordering) -> None:
    wrong, open_ = [], 0
    for end in ordering.catalogue.ends:
        if end.trade is not None:
            continue
        try:
            part = matcher.part_of(end_name(end))
        except BadInput:
            open_ += 1
            continue
        if part != end.part:
            wrong.append((end_name(end), part, end.part))
    assert wrong == []
    assert open_ / len(ordering.catalogue.ends) < 0.02


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=60))
def test_any_text_has_a_part_or_a_reason(text: str, matcher: StockMatcher) -> None:
    try:
        assert matcher.part_of(text)
    except BadInput as error:
        assert str(error)


# ---- columns and rows ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heading", "columns"),
    [
        (
            ["Designation", "Part number", "Bin", "Quantity"],
            {"designation": 0, "part_number": 1, "bin": 2, "quantity": 3},
        ),
        (["QTY.", "part_no", "DESCRIPTION", "Location"], {"designation": 2, "part_number": 1, "bin": 3, "quantity": 0}),
        (
            ["Artikel", "BEZEICHNUNG", "Lagerort", "Menge"],
            {"designation": 1, "part_number": 0, "bin": 2, "quantity": 3},
        ),
        (
            ["RÉFÉRENCE", "Libellé", "Emplacement", "Qté"],
            {"designation": 1, "part_number": 0, "bin": 2, "quantity": 3},
        ),
        (
            ["Código", "Descripción", "Ubicación", "Cantidad"],
            {"designation": 1, "part_number": 0, "bin": 2, "quantity": 3},
        ),
        (["Norm", "Größe", "Stückzahl"], {"series": 0, "size": 1, "quantity": 2}),
        (["Kod", "Nazwa", "Miejsce", "Ilość"], {"designation": 1, "part_number": 0, "bin": 2, "quantity": 3}),
        (["series", "size", "gender"], {"series": 0, "size": 1, "gender": 2}),
        (["size", "series"], {"series": 1, "size": 0}),  # no more is needed
    ],
)
def test_headings(heading: list[str], columns: dict[str, int]) -> None:
    assert columns_of(heading) == columns


@pytest.mark.parametrize(
    ("column", "counts"),
    [
        (["12", "1,250", "7"], [12, 1250, 7]),  # thousands: small figures stand without a sign
        (["12", "1.250", ""], [12, 1250, None]),
        (["1250", "1,500"], [1250, 1]),  # decimals: thousands stand without one
        (["2,0", "1,500", "3,25"], [2, 1, 3]),
        (["12,000", "0,000", "3,000"], [12, 0, 3]),  # three decimals, as some programs write every figure
        (["1.250,00", "3,00"], [1250, 3]),
        (["1'250", "1 250", "12 pcs", "5 Stk."], [1250, 1250, 12, 5]),
        (["1,250,000", "3"], [1250000, 3]),
    ],
)
def test_quantities_are_read_as_their_column_is_written(column: list[str], counts: list[int | None]) -> None:
    count = counting(column)
    assert [count(cell) for cell in column] == counts


@pytest.mark.parametrize("cell", ["many", "-3", "1.2.3", "1,2,3", ",5", "9" * 12, "12/3", "NaN"])
def test_what_is_no_quantity(cell: str) -> None:
    with pytest.raises(BadInput, match="is not a quantity"):
        counting(["12"])(cell)


def test_headings_the_user_names() -> None:
    assert columns_of(["a", "b"], {"designation": "B"}) == {"designation": 1}
    with pytest.raises(BadInput, match="there is no such column; there are: a, b"):
        columns_of(["a", "b"], {"designation": "c"})
    with pytest.raises(BadInput, match="fields of a stock list are designation"):
        columns_of(["a", "b"], {"colour": "a"})
    with pytest.raises(BadInput, match="no column with a designation"):
        columns_of(["a", "b"])


def test_a_bad_row_never_loses_its_neighbours(matcher: StockMatcher) -> None:
    text = (
        "Part;Description;Bin;Qty\n"
        "A1;JIC male -6;14;2\n"
        'A2;3/8" BSPP female;15;1\n'
        'A3;"unclosed JIC male -8;16;3\n'
        "A4;ORB stud -8\n"
        "A5;ORFS male -8;17;many\n"
        "\n"
        ";;;\n"
        'A6;"JIC female\n-8";18;4\n'
        "A7;JIC male -10;19;5;more;cells\n"
        "A8;ORFS male -6;20;1'250\n"
        "A9;;21;1\n"
    )
    heading, rows = table(text, "list.csv")
    results = list(matcher.match(rows, columns_of(heading)))
    lines = [each for each in results if isinstance(each, StockLine)]
    assert [(e.part_number, e.part, e.bin, e.quantity) for e in lines] == [
        ("A1", "flare37/6/male", "14", 2),
        ("A2", "bspp-cone60/6/female", "15", 1),
        ("A3", "flare37/8/male", "16", 3),
        ("A4", "orb/8/stud", "", None),
        ("A6", "flare37/8/female", "18", 4),
        ("A7", "flare37/10/male", "19", 5),
        ("A8", "orfs/6/male", "20", 1250),
    ]
    left = [each for each in results if isinstance(each, Unmatched)]
    assert [(each.row, each.reason) for each in left] == [
        (6, "'many' is not a quantity"),
        (13, "the row says nothing of what it is"),
    ]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_separators_and_encodings(separator: str, encoding: str) -> None:
    raw = separator.join(["Größe", "Description"]) + "\r\n" + separator.join(["½", "JIC 37° male -6"]) + "\r\n"
    heading, rows = table(decoded(raw.encode(encoding), "x.csv"), "x.csv")
    assert heading == ["Größe", "Description"]
    assert rows == [(2, ["½", "JIC 37° male -6"])]


@pytest.mark.parametrize(
    ("raw", "reason"), [(b"", "empty"), (b"\n \n", "empty"), (b"PK\x03\x04\x00\x00", "binary data")]
)
def test_what_is_no_list(raw: bytes, reason: str) -> None:
    with pytest.raises(BadInput, match=f"x.csv: {reason}"):
        table(decoded(raw, "x.csv"), "x.csv")


@settings(max_examples=100, deadline=None)
@given(st.lists(st.text(st.characters(blacklist_categories=["Cs"]), max_size=30), max_size=8))
def test_rows_of_anything_are_rows(lines: list[str]) -> None:
    text = "Part,Description\n" + "\n".join(lines)
    _, rows = table(text, "x.csv")
    numbers = [number for number, _ in rows]
    assert numbers == sorted(set(numbers))


def test_look_up() -> None:
    stock = Stock(
        (
            StockLine("orb/6/stud", "A1", "14", 2, "x"),
            StockLine("orb/6/stud", "A2", "15", 9, "y"),
            StockLine("orb/8/stud", "A3", "", None, "z"),
        )
    )
    assert [(item.part_number, item.bin, item.quantity) for item in stock.of("orb/6/stud")] == [
        ("A2", "15", 9),
        ("A1", "14", 2),
    ]
    assert stock.of("orb/10/stud") == ()
