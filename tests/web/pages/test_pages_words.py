"""Every word on the pages is the trade's, and explained where it stands, or everybody's."""

import re
from html.parser import HTMLParser
from typing import get_args

import pytest
from conftest import sample_jobs
from flask.testing import FlaskClient

from estimator.job import records
from estimator.job.field_words import value_words
from estimator.job.read import read_job_document
from estimator.web.app import create_app
from estimator.web.pages.forms import today
from estimator.web.pages.kept_form import form_of
from estimator.web.pages.words import load_words, words_in

# Kinds of file, and the country.
KNOWN_TO_ALL = {"PDF", "XLSX", "XLS", "ODS", "SVG", "CSV", "US"}
# A plug or outlet by its form, explained at "NEMA"; an item number of a supplier.
CONFIGURATION = re.compile(r"(L|TT-|SS)?\d+(-\d+)?[PR]?|TT-30[PR]?|CS\d{4}")
ABBREVIATION = re.compile(r"(?<![\w/-])[A-Z][A-Z0-9]*(?:[/-][A-Z0-9]+)*(?![\w/-])")
NAME_OF_A_FIELD = re.compile(r"(?<![\w./])[a-z]+(?:_[a-z0-9]+)+(?![\w.]*\.(?:csv|xlsx|toml)|\w)")


class Visible(HTMLParser):
    """The text that a reader sees, without item numbers, code and explanations."""

    SKIPPED = ("script", "style", "code", "title")

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.away = 0
        self.stack: list[bool] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("input", "meta", "link", "br", "img", "path", "line", "rect", "circle"):
            return
        away = (("class", "item"), ("class", "words"), ("id", "loads"))
        hidden = tag in self.SKIPPED or any(each in attrs for each in away)
        self.stack.append(hidden)
        self.away += hidden

    def handle_endtag(self, tag: str) -> None:
        if self.stack and tag not in ("input", "meta", "link", "br", "img"):
            self.away -= self.stack.pop()

    def handle_data(self, data: str) -> None:
        if not self.away and data.strip():
            self.texts.append(data)


def visible(html: str) -> str:
    reader = Visible()
    reader.feed(html)
    return "\n".join(reader.texts)


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def queries() -> list[str]:
    found = []
    for path in sample_jobs():
        form = form_of(read_job_document(path.read_bytes(), path.name), today())
        if form is not None:
            found.append(form.query + "&prices=sample")
    return found


@pytest.fixture(scope="module")
def pages(client: FlaskClient) -> dict[str, str]:
    addresses = ["/", "/compare", "/credit", "/lists", "/quotes", "/api/", "/words"]
    for query in queries():
        addresses += [f"{path}?{query}" for path in ("/", "/compare", "/credit")]
    found = {address: visible(client.get(address).text) for address in addresses}
    assert len(found) > 20
    return found


def test_every_abbreviation_is_explained(pages: dict[str, str]) -> None:
    missing = {
        word
        for address, text in pages.items()
        # For programmers, and the explanations themselves.
        if address not in ("/api/", "/words")
        for word in ABBREVIATION.findall(text)
        if len(word) > 1
        and word not in KNOWN_TO_ALL
        and not CONFIGURATION.fullmatch(word)
        and not words_in([word])
    }

    assert missing == set()


def test_no_name_of_a_field_stands_on_a_page(pages: dict[str, str]) -> None:
    found = {
        word
        for address, text in pages.items()
        if address != "/api/"
        for word in NAME_OF_A_FIELD.findall(text)
    }

    assert found == set()


@pytest.mark.parametrize("kind", ["WiringMethod", "Insulation", "TransferMethod"])
def test_every_choice_of_the_trade_is_explained(kind: str) -> None:
    choices = get_args(getattr(records, kind, None)) or ()

    assert choices
    assert [each for each in choices if not words_in([value_words(each)])] == []


def test_a_place_explains_the_words_that_it_uses(client: FlaskClient) -> None:
    page = client.get("/?" + queries()[0]).text
    place = page.split('<section class="place" id="run-0"')[1].split("</section>")[0]

    assert '<details class="words">' in place
    assert "<dt>raceway</dt>" in place


def test_each_word_is_told_once_in_a_sentence() -> None:
    words = load_words()
    forms = [form.casefold() for one in words for form in (one.word, *one.forms)]

    assert len(forms) == len(set(forms))
    assert [one.word for one in words if not one.means.endswith(".")] == []
    assert {one.word for one in words_in(["Locknuts and BUSHINGS"])} == {"locknut", "bushing"}
    assert words_in(["a clock, an emtpy box"]) == ()


def test_the_page_of_words_has_them_all(client: FlaskClient) -> None:
    page = client.get("/words").text

    assert [one.word for one in load_words() if f"<dt>{one.word}" not in page] == []
