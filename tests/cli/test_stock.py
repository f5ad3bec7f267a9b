"""The command stock: import, find, and 50 000 rows."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.journal.stock_file import load_stock


@pytest.fixture
def shop_list(tmp_path: Path) -> Path:
    path = tmp_path / "list.csv"
    path.write_text(
        "Part no,Description,Shelf,Qty\nA1,JIC female swivel -6,14,2\nA2,bracket,3,1\nA3,JIC female -6,15,7\n"
        "A4,JIC male -6 x BSPP male 3/8,16,1\n",
        encoding="utf-8",
    )
    return path


def test_import_and_find(voicefit, shop_list: Path, tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    left = tmp_path / "left.csv"
    ran = voicefit("stock", "import", str(shop_list), "--folder", str(folder), "--unmatched", str(left), "--json")
    assert ran.code == 0
    assert ran.document == {
        "matched": 3,
        "parts": 2,
        "columns": {"designation": "Description", "part_number": "Part no", "bin": "Shelf", "quantity": "Qty"},
        "unmatched": [{"row": 3, "text": "bracket", "reason": "no series named"}],
    }
    assert (folder / "stock.csv").stat().st_mode & 0o777 == 0o600
    with left.open(encoding="utf-8", newline="") as file:
        assert list(csv.reader(file)) == [["row", "text", "reason"], ["3", "bracket", "no series named"]]
    ran = voicefit("stock", "find", "flare37/6/female", "--folder", str(folder))
    assert (ran.code, ran.out) == (0, "A3: bin 15, 7 left\nA1: bin 14, 2 left\n")
    ran = voicefit("stock", "find", "BSPP male 3/8 x JIC male -6", "--folder", str(folder), "--json")
    assert ran.document["stock"] == [{"part_number": "A4", "bin": "16", "quantity": 1}]
    ran = voicefit("stock", "find", "JIC male -8", "--folder", str(folder))
    assert (ran.code, ran.out) == (1, "")


def test_a_list_of_which_nothing_fits_keeps_the_old_stock(voicefit, shop_list: Path, tmp_path: Path) -> None:
    assert voicefit("stock", "import", str(shop_list), "--folder", str(tmp_path)).code == 0
    other = tmp_path / "other.csv"
    other.write_text("Description\nbracket\n")
    ran = voicefit("stock", "import", str(other), "--folder", str(tmp_path))
    assert ran.code == 1 and "the old stock is kept" in ran.err
    assert len(load_stock(tmp_path).lines) == 3


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (None, "cannot read"),
        (b"", "empty"),
        (b"a,b\n1,2\n", "no column with a designation"),
        (b"\x00\x01\x02", "binary data"),
    ],
)
def test_bad_lists(content: bytes | None, reason: str, voicefit, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    if content is not None:
        path.write_bytes(content)
    ran = voicefit("stock", "import", str(path), "--folder", str(tmp_path))
    assert ran.code == 2 and reason in ran.err and ran.out == ""


def test_columns_by_hand(voicefit, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Text 1,Text 2\nJIC male -6,14\n")
    ran = voicefit(
        "stock",
        "import",
        str(path),
        "--folder",
        str(tmp_path),
        "--column",
        "designation=Text 1",
        "--column",
        "bin=text 2",
    )
    assert ran.code == 0
    assert load_stock(tmp_path).of("flare37/6/male")[0].bin == "14"
    assert voicefit("stock", "import", str(path), "--column", "designation").code == 2


def test_a_large_list_comes_in_whole(voicefit, tmp_path: Path) -> None:
    dashes, kinds = (4, 6, 8, 10, 12, 16), ("JIC male", "JIC female", "ORFS male", "ORB stud")
    path = tmp_path / "list.csv"
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(("Part", "Description", "Bin", "Qty"))
        for n in range(50_000):
            text = "bracket" if n % 1000 == 999 else f"{kinds[n % 4]} -{dashes[n // 4 % 6]} lot {n}"
            writer.writerow((f"P{n}", text, n % 97, n % 5))
    ran = voicefit("stock", "import", str(path), "--folder", str(tmp_path), "--json")
    assert ran.code == 0
    assert (ran.document["matched"], ran.document["parts"], len(ran.document["unmatched"])) == (49_950, 24, 50)
    assert len(load_stock(tmp_path).lines) == 49_950


@pytest.mark.parametrize(
    "text",
    [
        "part\n",
        "part,part_number,bin,quantity,designation\na,b,c\n",
        "part,part_number,bin,quantity,designation\na,b,c,x,d\n",
    ],
)
def test_a_damaged_stock_file_is_named(text: str, tmp_path: Path) -> None:
    (tmp_path / "stock.csv").write_text(text)
    with pytest.raises(BadInput, match=r"stock\.csv.*import the list again"):
        load_stock(tmp_path)
