"""PDF read back as text and as an image; codes read back by an independent decoder."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from tests.slips.joining import joined
from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.errors import BadInput
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.naming import end_name
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import OrderSlip
from voicefit.resources import data_folder, read_texts
from voicefit.slips.files import KINDS, write_slip
from voicefit.slips.label import CODE_MM, QUIET_ZONE, codes, sheets, to_labels
from voicefit.slips.pdf import to_pdf

DPI = 600
PIXELS_PER_MM = DPI / 25.4


@pytest.fixture(scope="module")
def ordering() -> Ordering:
    data = read_texts(data_folder(), ".csv", ".toml")
    return Ordering.build(load_catalogue(data), data)


def slip_of(ordering: Ordering, *ends: str, machine: str = "") -> OrderSlip:
    return job_slip(ordering, JobFacts(job="3f9c21ab-2", machine=machine, ends=tuple(map(EndFacts, ends))))


def page(pdf: bytes, number: int) -> NDArray[np.uint8]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return np.asarray(document[number].render(scale=DPI / 72).to_pil().convert("L"))
    finally:
        document.close()


def drawing_page(pdf: bytes) -> int:
    texts = [each.extract_text() for each in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return next(number for number, text in enumerate(texts) if "must measure 50 mm" in text)


def longest_dark_run(row: NDArray[np.bool_]) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def test_the_text_is_in_the_pdf(ordering: Ordering) -> None:
    reader = pypdf.PdfReader(io.BytesIO(to_pdf(slip_of(ordering, "orb/6/stud", "flare37/8/male"), ordering.catalogue)))
    text = " ".join(" ".join(each.extract_text() for each in reader.pages).split())
    for part in (
        "ORDER SLIP, job 3f9c21ab-2",
        "9/16-18 UNF",
        "906, 11.89 × 1.98 mm",
        "37° flare",
        "Scale 1:1",
        "2 items.",
    ):
        assert part in text
    assert (float(reader.pages[0].mediabox.width), float(reader.pages[0].mediabox.height)) == pytest.approx(
        (210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.1
    )


def test_a_flange_on_paper_has_head_and_bolts_from_memory(ordering: Ordering) -> None:
    """Code 61 dash 16 of SAE J518 (memory); M10 was read in a manual."""
    slip = slip_of(ordering, "flange61/16/male")
    for pdf in (to_pdf(slip, ordering.catalogue), to_labels(slip)):
        text = " ".join(" ".join(each.extract_text() for each in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())
        for part in (
            "Head: 44.45 mm across, 8 mm thick, from memory",
            "Bolt centres: 52.39 × 26.19 mm, on a circle of 58.57 mm, from memory",
            "Bolts: 4 of M10; or, as it is tapped, 4 of 3/8-16, from memory; length and strength class by",
        ):
            assert part in text, text
    drawn = pypdf.PdfReader(io.BytesIO(to_pdf(slip, ordering.catalogue))).pages[-1].extract_text()
    assert "Not to scale: the bore. From memory: head, bolt centres." in " ".join(drawn.split())


@pytest.mark.parametrize(
    "machine",
    ["Förderband Ж 7 €", "Кран «Ураган» № 3", "Żuraw Łódź", "Γερανός Δ2", "Vinç İğdır 4", "Grue à flèche nº 9"],
)
def test_machines_of_other_languages_are_in_print(machine: str, ordering: Ordering) -> None:
    slip = slip_of(ordering, "orb/6/stud", machine=machine)
    reader = pypdf.PdfReader(io.BytesIO(to_pdf(slip, ordering.catalogue)))
    assert f"Machine: {machine}" in reader.pages[0].extract_text()
    fonts = reader.pages[0]["/Resources"]["/Font"]
    assert all("/Type0" in font.get_object()["/Subtype"] for font in fonts.values()), "embedded, not the reader's own"


def test_letters_that_the_font_lacks_cost_no_slip(ordering: Ordering) -> None:
    pdf = to_pdf(slip_of(ordering, "orb/6/stud", machine="起重机 7"), ordering.catalogue)
    assert "Machine: ??? 7" in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    assert len(pdf) < 100_000, "only the letters that are used are embedded"


def test_the_bar_measures_50_mm(ordering: Ordering) -> None:
    pdf = to_pdf(slip_of(ordering, "flare37/8/male"), ordering.catalogue)
    dark = page(pdf, drawing_page(pdf)) < 128
    longest = max(map(longest_dark_run, dark))
    assert longest / PIXELS_PER_MM == pytest.approx(50, abs=0.2)


@pytest.mark.parametrize(
    ("end", "across_mm", "crests_mm"),
    [
        # across the crests: ISO 228-1 G1/2 20.955; ASME B1.1 3/4-16 19.05; ISO 724 M22 22.0
        ("bspp-cone60/8/male", None, 20.955),
        ("flare37/8/male", None, 19.05),
        ("iso6149/22/stud", None, 22.0),
        # JIS B 8363: the nut of size 9 is 22 across the flats
        ("flare30-g/6/female", 22.0, None),
    ],
)
def test_the_outline_is_true_to_scale_on_paper(
    end: str, across_mm: float | None, crests_mm: float | None, ordering: Ordering
) -> None:
    pdf = to_pdf(slip_of(ordering, end), ordering.catalogue)
    image = page(pdf, drawing_page(pdf))
    bar = int(np.argmax([longest_dark_run(row) for row in image < 128]))
    image = image[
        bar + int(PIXELS_PER_MM) :, : int(105 * PIXELS_PER_MM)
    ]  # below are the drawings, and right of this one its mate
    metal = np.abs(image.astype(int) - 205) < 3  # the grey of cut metal
    rows_of_metal = np.flatnonzero([longest_dark_run(row) > 3 * PIXELS_PER_MM for row in metal])  # not letters
    metal = metal[rows_of_metal.min() : rows_of_metal.max() + 1]
    heights = []
    for column in metal.T:
        rows = np.flatnonzero(column)
        heights.append((rows.max() - rows.min()) / PIXELS_PER_MM if len(rows) > 10 else 0.0)
    tall = np.array(heights)
    if across_mm is not None:
        assert tall.max() == pytest.approx(across_mm, abs=0.3)
    if crests_mm is not None:
        # the body is taller: of the columns before it the crests are the tallest
        body = int(np.argmax(tall > tall.max() - 0.2))
        assert tall[: body - int(3 * PIXELS_PER_MM)].max() == pytest.approx(crests_mm, abs=0.3)


def test_one_end_and_its_mate_are_on_one_page(ordering: Ordering) -> None:
    pages = {
        end: len(pypdf.PdfReader(io.BytesIO(to_pdf(slip_of(ordering, end), ordering.catalogue))).pages)
        for end in ("flare37/6/female", "orb/6/stud", "bspp-cone60/8/male", "din24-l/12/male", "iso6149/22/stud")
    }
    assert set(pages.values()) == {1}, pages


def test_the_mate_is_drawn_beside_the_end(ordering: Ordering) -> None:
    pdf = to_pdf(slip_of(ordering, "flare37/8/male"), ordering.catalogue)
    text = " ".join(pypdf.PdfReader(io.BytesIO(pdf)).pages[drawing_page(pdf)].extract_text().split())
    mate = ordering.follow_up(ordering.end("flare37/8/male")).mating.mates[0]
    assert f"Mates with: {end_name(mate)}" in text and text.count("Scale 1:1") == 2
    metal = np.abs(page(pdf, drawing_page(pdf)).astype(int) - 205) < 3
    halves = np.array_split(metal, 2, axis=1)
    assert all(half.sum() > 1000 for half in halves), "one in each half of the page"


def test_what_does_not_fit_the_page_says_so(ordering: Ordering) -> None:
    pdf = to_pdf(slip_of(ordering, "flange61/80/male", "flange-square/48/port"), ordering.catalogue)
    text = " ".join(each.extract_text() for each in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    assert (text.count("Scale 1:"), text.count("NOT full size")) == (4, 2), "two ends and their mates"


def test_codes_carry_the_same_json(ordering: Ordering) -> None:
    slip = slip_of(ordering, "flare30-g/6/female", "orb/6/stud", "din24-l/15/male", machine="Förderband Ж 7")
    document = pypdfium2.PdfDocument(to_labels(slip))
    found = []
    for number in range(len(document)):
        picture = document[number].render(scale=300 / 72).to_pil()
        (code,) = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        assert code.format == zxingcpp.BarcodeFormat.QRCode
        found.append(code.text)
    document.close()
    assert found == [sheet.to_json() for sheet in sheets(slip)]
    assert joined(OrderSlip.model_validate_json(text) for text in found) == slip
    for drawn, sheet in zip(codes(slip), sheets(slip), strict=True):
        drawn.save(png := io.BytesIO(), kind="png", scale=4, border=QUIET_ZONE)
        (code,) = zxingcpp.read_barcodes(Image.open(png))
        assert code.text == sheet.to_json()


def test_a_label_is_read_from_a_blurred_picture(ordering: Ordering) -> None:
    """A telephone that is not quite in focus: 300 dpi, and a blur of a quarter of a millimetre."""
    every = [end.id for end in ordering.catalogue.ends[::150]]
    slip = slip_of(ordering, *every)
    document = pypdfium2.PdfDocument(to_labels(slip))
    for number, sheet in enumerate(sheets(slip)):
        picture = document[number].render(scale=300 / 72).to_pil().convert("L").filter(ImageFilter.GaussianBlur(3))
        found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        assert [code.text for code in found] == [sheet.to_json()]
    document.close()


def test_modules_of_a_label_are_large_enough_to_scan(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends[::47]:
        for code in codes(slip_of(ordering, end.id)):
            assert CODE_MM / (len(code.matrix) + 2 * QUIET_ZONE) > 0.5


def test_files(ordering: Ordering, tmp_path: Path) -> None:
    slip = slip_of(ordering, "orb/6/stud")
    paths = write_slip(slip, ordering.catalogue, tmp_path / "out")
    assert [path.name for path in paths] == [
        "slip-3f9c21ab-2.txt",
        "slip-3f9c21ab-2.csv",
        "slip-3f9c21ab-2.json",
        "slip-3f9c21ab-2.pdf",
        "slip-3f9c21ab-2-label.pdf",
    ]
    assert {path.stat().st_mode & 0o777 for path in paths} == {0o600}
    assert OrderSlip.model_validate_json(paths[2].read_text()) == slip
    assert len(KINDS) == len(paths)
    with pytest.raises(BadInput, match="written as text, csv, json, pdf, label"):
        write_slip(slip, ordering.catalogue, tmp_path, ["docx"])


def test_an_end_of_yesterday_is_left_without_an_outline(ordering: Ordering) -> None:
    slip = slip_of(ordering, "orb/6/stud")
    gone = slip.model_copy(update={"ends": (slip.ends[0].model_copy(update={"id": "orb/7/stud"}),)})
    catalogue: Catalogue = ordering.catalogue
    assert len(pypdf.PdfReader(io.BytesIO(to_pdf(gone, catalogue))).pages) == 1
