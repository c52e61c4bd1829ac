"""The papers: whole PDFs that say what the result says, whatever users write into them."""

import csv
import io
import struct
import zlib
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pikepdf
import pytest
from conftest import SAMPLE_DAY, sample_jobs, sample_lists
from pypdf import PdfReader

from estimator import usecases
from estimator.documents.every_document import every_document
from estimator.documents.pdf import PDF_KINDS, Letterhead, PdfKind, Sheet, write_pdf
from estimator.documents.records import FullEstimate
from estimator.finding import Finding, InputRefused

FOOT_PT = 0.85 * 72
JOBS = ("six_circuit_block", "transfer_subpanel", "automatic_switch", "interlock_30a")


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


# A picture of one point, after the PNG specification (ISO/IEC 15948).
ONE_POINT = (
    b"\x89PNG\r\n\x1a\n"
    + chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0))
    + chunk(b"IDAT", zlib.compress(b"\0\x1d\x4f\x5c"))
    + chunk(b"IEND", b"")
)


def estimate_of(name: str) -> FullEstimate:
    job = next(path for path in sample_jobs() if path.stem == name)
    lists = [(path.name, path.read_bytes()) for path in sample_lists()]
    return usecases.estimate_files(
        (job.name, job.read_bytes()), lists, today=SAMPLE_DAY, by_year=True
    )


ESTIMATES = {name: estimate_of(name) for name in JOBS}
SIX = ESTIMATES["six_circuit_block"]
each_paper = pytest.mark.parametrize(
    ("job", "kind"), [(job, kind) for job in JOBS for kind in PDF_KINDS]
)


def text_of(data: bytes) -> str:
    pages = PdfReader(io.BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@each_paper
def test_a_paper_is_a_sound_tagged_pdf_with_its_fonts(job: str, kind: PdfKind) -> None:
    """ISO 14289-1 (PDF/UA-1): tags, a title, a language; ISO 32000: fonts in the file."""
    with pikepdf.open(io.BytesIO(write_pdf(kind, ESTIMATES[job]))) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert ESTIMATES[job].job.name in str(pdf.docinfo["/Title"])
        fonts = [
            font
            for page in pdf.pages
            for font in page.Resources.get("/Font", pikepdf.Dictionary()).values()
        ]
        assert fonts
        for font in fonts:
            inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inner.FontDescriptor.keys())


@each_paper
def test_every_paper_defers_to_code_and_warns(job: str, kind: PdfKind) -> None:
    text = text_of(write_pdf(kind, ESTIMATES[job]))

    if kind == "credit_memo":
        assert "not tax advice" in text
    else:
        assert "licensed electrician" in text
        assert "DANGER" in text


@pytest.mark.parametrize("job", JOBS)
def test_totals_on_paper_are_those_of_the_result(job: str) -> None:
    price = ESTIMATES[job].price

    quote = text_of(write_pdf("quote", ESTIMATES[job]))
    whole = text_of(write_pdf("estimate", ESTIMATES[job]))

    assert f"Total ${price.total:,.2f}" in quote
    assert f"Total ${price.total:,.2f}" in whole
    assert (f"Deposit on acceptance: ${price.deposit:,.2f}" in quote) == (price.deposit > 0)
    for group in price.groups:
        if group.net:
            assert f"${group.net + group.discount:,.2f}" in quote
    amounts = [line.amount for line in price.lines if line.amount is not None]
    buying = text_of(write_pdf("buying_list", ESTIMATES[job]))
    for amount in amounts:
        assert f"${amount:,.2f}" in whole
        assert f"${amount:,.2f}" in buying


def test_the_quote_does_not_show_what_the_contractor_earns() -> None:
    quote = text_of(write_pdf("quote", SIX)).lower()

    for word in ("markup", "margin", "overhead", "contingency", "profit"):
        assert word not in quote


def test_an_error_stands_on_the_quote() -> None:
    finding = Finding(
        "error", "INVENTED", "The wire is too thin.", "/runs/0", "arithmetic", "Take a larger one."
    )
    quote = text_of(write_pdf("quote", replace(SIX, findings=(finding,))))

    assert "Not buildable as described" in quote
    assert "The wire is too thin." in quote
    assert "Take a larger one." in quote


def test_an_incomplete_total_says_so() -> None:
    job = next(path for path in sample_jobs() if path.stem == "six_circuit_block")
    bare = usecases.estimate_files((job.name, job.read_bytes()), [], today=SAMPLE_DAY)

    assert f"incomplete: {bare.price.unpriced} parts have no price" in text_of(
        write_pdf("quote", bare)
    )
    assert "No price list has these" in text_of(write_pdf("buying_list", bare))


def test_each_circuit_has_its_expected_watts_on_the_start_up_sheet() -> None:
    text = text_of(write_pdf("start_up", SIX))

    for circuit in SIX.job.circuits:
        assert f"{circuit.name}" in text
        assert f"{circuit.running_w:,.0f}" in text


def test_each_sign_of_the_parts_list_that_has_words_is_printed() -> None:
    signs = {
        value for part in SIX.take_off.parts if part.kind == "sign" for _, value in part.attributes
    }
    text = text_of(write_pdf("directory", SIX))

    assert {"standby source sign", "inlet source-type sign", "operating instruction card"} <= signs
    assert "OPTIONAL STANDBY SOURCE" in text
    assert "non-separately derived system" in text
    assert "ON THE SUPPLY AND BACK" in text


@pytest.mark.parametrize("kind", PDF_KINDS)
def test_names_of_users_are_set_as_they_are_and_run_nothing(kind: PdfKind) -> None:
    nasty = '#eval("1+1") $x^2$ *b* <tag> \\ "quoted" =cmd|x \x07' + "\u5bb6\u0628\U0001f50c"
    hostile = replace(SIX, job=replace(SIX.job, name=nasty + "n" * 500))

    text = text_of(write_pdf(kind, hostile, Sheet(customer=(nasty,))))

    assert '#eval("1+1") $x^2$ *b* <tag> \\ "quoted" =cmd|x' in text


@pytest.mark.parametrize("kind", PDF_KINDS)
def test_a_name_without_blanks_is_broken_before_the_edge_of_the_page(kind: PdfKind) -> None:
    hostile = replace(SIX, job=replace(SIX.job, name="n" * 150))
    reader = PdfReader(io.BytesIO(write_pdf(kind, hostile)))
    longest = 0

    def look(text: str, *_: object) -> None:
        nonlocal longest
        longest = max(longest, *(line.count("n") for line in text.splitlines() or [""]))

    for page in reader.pages:
        page.extract_text(visitor_text=look)
    # 13 points a letter at most, on 6.8 inches between the margins.
    assert 10 < longest <= 90


def below_the_margin(data: bytes) -> list[str]:
    """Texts that stand lower than the lower margin of 0.85 inches."""
    found: list[str] = []

    def look(text: str, matrix: list[float], *_: object) -> None:
        if text.strip() and matrix[5] < FOOT_PT:
            found.append(text.strip())

    for page in PdfReader(io.BytesIO(data)).pages:
        page.extract_text(visitor_text=look)
    return found


@pytest.mark.parametrize("path", sample_jobs(), ids=lambda path: path.stem)
def test_nothing_runs_into_the_foot_of_a_page(path: Path) -> None:
    estimate = estimate_of(path.stem)

    for kind in PDF_KINDS:
        data = write_pdf(kind, estimate)
        count = len(PdfReader(io.BytesIO(data)).pages)
        low = below_the_margin(data)
        assert low[1::2] == [f"page {page} of {count}" for page in range(1, count + 1)]
        assert len(set(low[0::2])) == 1
        assert estimate.job.name in low[0]


def test_a_thousand_parts_still_make_a_paper() -> None:
    lines = tuple(
        replace(SIX.price.lines[0], description=f"part {place} " + "w" * 480)
        for place in range(1000)
    )
    many = replace(SIX, price=replace(SIX.price, lines=lines))

    text = text_of(write_pdf("buying_list", many))

    assert "part 0 " in text
    assert "part 999 " in text


def test_paper_and_locale_are_the_readers() -> None:
    letter, a4 = (
        pikepdf.open(io.BytesIO(write_pdf("quote", SIX, Sheet(paper=paper, locale=locale))))
        for paper, locale in (("us-letter", "en_US"), ("a4", "en_GB"))
    )

    assert [float(side) for side in letter.pages[0].mediabox] == [0, 0, 612, 792]
    # ISO 216: 210 x 297 mm.
    assert [round(float(side)) for side in a4.pages[0].mediabox] == [0, 0, 595, 842]
    british = text_of(write_pdf("quote", SIX, Sheet(locale="en_GB")))
    assert "1 October 2025" in british
    assert "US$" in british


@pytest.mark.parametrize(
    ("logo", "wrong"),
    [
        (b"no picture", "is no PNG"),
        (b"%PDF-1.7", "is no PNG"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 3_000_000, "at most 2,097,152"),
        (ONE_POINT[:16] + b"\x00\x01\x00\x00" * 2 + ONE_POINT[24:], "65536 x 65536"),
        (ONE_POINT[:30], "cannot be drawn"),
    ],
)
def test_a_logo_that_is_no_picture_is_refused(logo: bytes, wrong: str) -> None:
    with pytest.raises(InputRefused) as refused:
        write_pdf("quote", SIX, Sheet(Letterhead("Mill Lane (invented)", (), logo)))

    assert wrong in refused.value.faults[0].message


@pytest.mark.parametrize(
    "logo",
    [
        ONE_POINT,
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"/></svg>',
    ],
)
def test_a_logo_stands_in_the_head(logo: bytes) -> None:
    head = Letterhead("Mill Lane (invented)", ("12 Mill Lane",), logo)

    text = text_of(write_pdf("quote", SIX, Sheet(head)))

    assert "Mill Lane (invented)" in text
    assert "12 Mill Lane" in text


def test_every_document_is_written_once() -> None:
    made = dict(every_document(SIX, Sheet()))

    assert {Path(name).suffix for name in made} == {".pdf", ".xlsx", ".json", ".svg", ".csv"}
    assert all(made.values())
    assert len(made) == len(PDF_KINDS) + 2 + 5 + 4


def test_amounts_of_the_lists_are_those_of_the_result() -> None:
    made = dict(every_document(SIX, Sheet()))
    rows = made["purchase.csv"].decode().splitlines()

    assert len(rows) == 1 + len(SIX.price.lines)
    total = sum((line.amount for line in SIX.price.lines if line.amount is not None), Decimal(0))
    read = list(csv.DictReader(rows))
    assert sum(Decimal(row["amount"]) for row in read if row["amount"]) == total


def test_texts_that_a_spreadsheet_would_run_are_defused_in_lists() -> None:
    parts = (replace(SIX.take_off.parts[0], description="=1+1"), *SIX.take_off.parts[1:])
    hostile = replace(SIX, take_off=replace(SIX.take_off, parts=parts))

    made = dict(every_document(hostile, Sheet()))

    assert "'=1+1" in made["parts.csv"].decode()
