"""What users and suppliers write stays text in every page and document that shows it."""

import csv
import io
import json
import re
from html.parser import HTMLParser
from urllib.parse import urlencode

import pikepdf
import pytest
from conftest import SAMPLE_DAY, SAMPLES
from flask.testing import FlaskClient
from lxml import etree
from openpyxl import load_workbook
from payloads import MARK, PAYLOADS, hostile, hostile_job, hostile_list
from pypdf import PdfReader

from estimator import usecases
from estimator.documents.every_document import PICTURES
from estimator.documents.lists_csv import LISTS, list_csv
from estimator.documents.pdf import PDF_KINDS, Letterhead, PdfKind, Sheet, write_pdf
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook
from estimator.web.app import create_app

SOUND = (SAMPLES / "price_lists" / "north_counter.csv").read_text()
PROGRAMME = (SAMPLES / "programmes" / "utility_battery_rebate.toml").read_text()
HARMLESS = "Qwerty"
STARTS = ("=", "+", "-", "@", "\t", "\r", "|")
DRAWN = ("svg", "g", "title", "desc", "path", "line", "rect", "circle", "text", "tspan")
LOADS = ("href", "src", "action", "formaction", "data", "xlink:href", "hx-get", "hx-post")
# PDF readers act on these (ISO 32000-2, 12.6.4); none belongs on a paper of ours.
ACTIONS = ("/JavaScript", "/JS", "/Launch", "/SubmitForm", "/ImportData", "/RichMedia", "/AA")


def estimate_of(circuits: int) -> FullEstimate:
    programme = re.sub(
        r"^(programme|authority) = .*$",
        lambda line: f"{line[1]} = {json.dumps(hostile(PAYLOADS[0], line[1]))}",
        PROGRAMME,
        flags=re.MULTILINE,
    )
    return usecases.estimate_document(
        hostile_job(circuits),
        [("list.csv", hostile_list(SOUND).encode())],
        today=SAMPLE_DAY,
        programmes=[("programme.toml", programme.encode())],
        by_year=True,
    )


@pytest.fixture(scope="module")
def estimate() -> FullEstimate:
    return estimate_of(len(PAYLOADS))


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def squeezed(text: str) -> str:
    """Without blanks, which lines that are broken anew may lose, and quotes that may be curled."""
    return re.sub(r"[\s\u00ad\u200b\u2010-\u2014\u2018-\u201f'\"\u2212-]", "", text)


def not_in(text: str) -> list[str]:
    """The payloads that are not shown in a text word for word."""
    whole = squeezed(text)
    return [payload for payload in PAYLOADS if squeezed(payload) not in whole]


def test_a_workbook_holds_it_as_text_and_no_formula_takes_it_in(estimate: FullEstimate) -> None:
    book = load_workbook(io.BytesIO(write_workbook(estimate)))
    texts = []
    for sheet in book:
        for cell in (cell for row in sheet for cell in row if cell.value is not None):
            text = str(cell.value)
            if cell.data_type == "f":
                assert MARK not in text
                assert "cmd" not in text
            elif MARK in text:
                texts.append(text)
                assert cell.data_type == "s"
                assert cell.hyperlink is None
                if text.lstrip().startswith(STARTS):
                    assert cell.quotePrefix, (sheet.title, cell.coordinate)
    assert not_in("".join(texts)) == []
    assert all(MARK not in name.attr_text for name in book.defined_names.values())


def test_no_field_of_a_list_begins_a_formula(estimate: FullEstimate) -> None:
    everything = ""
    for name in LISTS:
        text = list_csv(name, estimate)
        everything += text
        for row in csv.reader(io.StringIO(text)):
            for field in row:
                if re.fullmatch(r"-?[0-9.]*", field) is None:
                    assert not field.lstrip(" ").startswith(STARTS), (name, field)
    assert len(not_in(everything)) < len(PAYLOADS) / 2


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_stay_pictures(estimate: FullEstimate, name: str) -> None:
    parser = etree.XMLParser(resolve_entities=False, no_network=True)
    tree = etree.fromstring(PICTURES[name](estimate).encode(), parser)
    for element in tree.iter():
        assert isinstance(element.tag, str)
        assert etree.QName(element).localname in DRAWN
        for attribute, value in element.attrib.items():
            assert not attribute.lower().startswith("on")
            assert "href" not in attribute
            assert MARK not in value or attribute == "aria-label"
    if name == "panel_schedule":
        assert len(not_in("".join(tree.itertext()))) < len(PAYLOADS)


@pytest.mark.parametrize("kind", PDF_KINDS)
def test_papers_say_it_and_do_nothing(kind: PdfKind) -> None:
    estimate = estimate_of(4)
    lines = tuple(hostile(payload, "line") for payload in PAYLOADS)
    head = Letterhead(name=hostile(PAYLOADS[0], "head"), lines=lines)
    data = write_pdf(kind, estimate, Sheet(letterhead=head, customer=lines, number=lines[1]))

    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    assert not_in(text) == []
    assert "root:" not in text
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for thing in pdf.objects:
            if isinstance(thing, pikepdf.Dictionary):
                assert not {str(key) for key in thing.keys()} & set(ACTIONS)  # noqa: SIM118
                assert str(thing.get("/S", "")) not in ACTIONS
                assert MARK not in str(thing.get("/URI", ""))


def test_the_result_and_the_report_hold_it_word_for_word(estimate: FullEstimate) -> None:
    result = json.loads(json.dumps(result_document(estimate)))
    report = text_report(estimate)

    assert result["job_name"] == hostile(PAYLOADS[0], "job")
    for circuit, payload in zip(result["estimate"]["circuits"], PAYLOADS, strict=True):
        assert circuit["name"] == hostile(payload, "circuit")
    assert len(not_in(report)) < len(PAYLOADS)
    assert all(letter.isprintable() or letter == "\n" for letter in report)


class Structure(HTMLParser):
    """Tags with the names of their attributes, in order; texts and values apart."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, ...]] = []
        self.texts: list[str] = []
        self.acting: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, *(name for name, _ in attrs)))
        for name, value in attrs:
            self.texts.append(value or "")
            runs = name in LOADS and (value or "").strip().lower().startswith("javascript:")
            if name.startswith("on") or runs:
                self.acting.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def page_of(client: FlaskClient, path: str, name: str) -> Structure:
    asked = [
        ("circuit", name), ("breaker", "20"), ("poles", "1"), ("running", "180"), ("starting", ""),
        ("circuit", f"{name} b"), ("breaker", "20"), ("poles", "2"), ("running", "700"),
        ("starting", "900"), ("wall", "concrete_block"), ("run", "18 ft"), ("inlet", "L14-30"),
        ("prices", "sample"), ("/name", name),
    ]  # fmt: skip
    answer = client.get(f"{path}?{urlencode(asked)}")
    assert answer.status_code == 200, answer.text
    return Structure(answer.text)


PAGES = ("/", "/compare", "/credit")
FIELDS = ("wall", "run", "inlet", "prices", "breaker", "/site/region")
each_third = pytest.mark.parametrize("payload", PAYLOADS[::3])


@pytest.fixture(scope="module")
def plain_pages(client: FlaskClient) -> dict[str, Structure]:
    return {path: page_of(client, path, HARMLESS) for path in PAGES}


@pytest.mark.parametrize("payload", PAYLOADS)
def test_a_page_is_built_the_same_whatever_a_circuit_is_called(
    client: FlaskClient, plain_pages: dict[str, Structure], payload: str
) -> None:
    for path in PAGES if PAYLOADS.index(payload) % 4 == 0 else PAGES[:1]:
        page = page_of(client, path, payload)

        assert _without_lines(page) == _without_lines(plain_pages[path])
        assert page.acting == []
        assert path != "/" or any(squeezed(payload) in squeezed(text) for text in page.texts)


def _without_lines(page: Structure) -> list[tuple[str, ...]]:
    """Names of other lengths are drawn in more or fewer lines."""
    return [tag for tag in page.tags if tag[0] not in ("tspan", "line", "path", "text")]


@each_third
def test_a_refused_answer_is_shown_as_text(client: FlaskClient, payload: str) -> None:
    asked = {
        "circuit": HARMLESS, "breaker": "20", "poles": "1", "running": "180", "starting": "",
        "wall": "concrete_block", "run": "18 ft", "inlet": "L14-30", "prices": "sample",
    }  # fmt: skip
    for field in FIELDS:
        for answer in (
            client.get(f"/?{urlencode({**asked, field: payload})}"),
            client.post("/", data={**asked, field: payload}),
        ):
            assert answer.status_code < 500
            assert "\n" not in answer.headers.get("Location", "")
            page = Structure(answer.text)
            assert page.acting == []
            assert not {tag[0] for tag in page.tags} & {"img", "foo"}
            scripts = re.findall(r"<script[^>]*>(.*?)</script>", answer.text, re.DOTALL)
            assert "alert(1)" not in "".join(scripts)
