"""Hostile texts in everything that an office keeps: on every page and in every document.

The service in shared mode; every address that can be read is asked for, with every identifier
that fits, by the owner's browser.
"""

import csv
import io
import itertools
import json
import re
import shutil
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from hostile_office import Furnished, furnish
from lxml import etree
from openpyxl import load_workbook
from payloads import EVERYWHERE, MARK
from test_hostile_injection import ACTIONS, DRAWN, LOADS, STARTS, Structure
from web.people.conftest import quick_passwords
from web.people.shared_service import Service
from werkzeug.test import TestResponse

from estimator.store.database import Database, open_database

__all__ = ["quick_passwords"]

_ARGUMENT = re.compile(r"<(?:([a-z]+)(?:\([^<>]*\))?:)?([a-z_]+)>")
_CHOICES = re.compile(r"<any\(([^)]*)\):([a-z_]+)>")
# Addresses that lead elsewhere, or whose file is none of somebody's.
_NOT_WALKED = {"/static/<path:filename>", "/metrics", "/api/openapi.json", "/sign-out"}
_DOCUMENTS = (
    "quote.pdf", "estimate.pdf", "buying_list.pdf", "credit_memo.pdf", "start_up.pdf",
    "directory.pdf", "estimate.xlsx", "one_line.svg", "panel_schedule.svg", "leg_load.svg",
    "run_time.svg", "ways.svg", "parts.csv", "purchase.csv", "labour.csv", "findings.csv",
)  # fmt: skip
_OWN = re.compile(r"(/(?!/)|#|\?|$|data:,$)")
_ATTACHED = re.compile(r'attachment; filename="[A-Za-z0-9._-]+"')


def hostile_text(place: str) -> str:
    """Each place with another sign at its head that makes a formula."""
    head = "=+-@|"[sum(map(ord, place)) % 5]
    return f"{head}{EVERYWHERE} {MARK}{place.replace(' ', '')}"


def harmless_text(place: str) -> str:
    return f"Qwerty {MARK}{place.replace(' ', '')}"


@dataclass(frozen=True)
class Both:
    """The same office twice: whose texts act, and whose are only texts."""

    hostile: Furnished
    harmless: Furnished
    rules: list[str]


@pytest.fixture(scope="module")
def database(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """What is shown is the same whatever the database; test_hostile_odd_texts.py uses both."""
    file = tmp_path_factory.mktemp("kept") / "estimator.sqlite"
    shutil.copy(sqlite_template, file)
    opened = open_database(f"sqlite:///{file}")
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def both(database: Database) -> Both:
    service = Service(database)
    rules = sorted(
        rule.rule
        for rule in service.app.url_map.iter_rules()
        if "GET" in (rule.methods or ()) and rule.rule not in _NOT_WALKED
    )
    return Both(furnish(service, hostile_text), furnish(service, harmless_text), rules)


def addresses(made: Furnished, rule: str) -> Iterator[str]:
    """Every address of a route that this office has something at; the same number in each."""
    names = {name: _values(made, rule, name) for _, name in _ARGUMENT.findall(rule)}
    if rule.endswith((":name>", "<name>")):
        # Documents take long: those of one revision.
        names = {name: each if name == "name" else each[-1:] for name, each in names.items()}
    for chosen in itertools.product(*names.values()):
        values = dict(zip(names, chosen, strict=True))
        query = made.values["columns"][0] if rule.startswith("/lists/read/") else ""
        yield (
            _CHOICES.sub(
                lambda found, values=values: values[found[2]],
                _ARGUMENT.sub(lambda found, values=values: values[found[2]], rule),
            )
            + query
        )


def _values(made: Furnished, rule: str, name: str) -> list[str]:
    fixed = {
        "number": ["1", "2"], "place": ["1", "3"], "currency": ["USD"], "tag": ["customers"],
    }  # fmt: skip
    if name == "secret":
        return made.values["join" if rule.startswith("/join") else "secret"]
    if name == "kind":
        return ["rate-sheets", "labour-tables", "programmes"]
    if name == "document_id":
        return [made.values[kind][0] for kind in ("rate-sheets", "labour-tables", "programmes")]
    if name == "name":
        return ["tools"] if "/tables/" in rule else list(_DOCUMENTS)
    # An argument that is not known here fails: teach furnish() to make one.
    return fixed.get(name) or made.values[name]


def answers(made: Furnished, rule: str) -> Iterator[tuple[str, TestResponse]]:
    for path in addresses(made, rule):
        yield path, made.browser.get(path)


def kind_of(answer: TestResponse) -> str:
    return answer.headers.get("Content-Type", "").split(";")[0]


@pytest.fixture(scope="module")
def everything(both: Both) -> dict[str, list[tuple[str, TestResponse]]]:
    """All answers of the hostile office, by the rule of their route."""
    return {rule: list(answers(both.hostile, rule)) for rule in both.rules}


def of_kind(
    everything: dict[str, list[tuple[str, TestResponse]]], *kinds: str
) -> Iterator[tuple[str, TestResponse]]:
    for found in everything.values():
        for path, answer in found:
            if kind_of(answer) in kinds and answer.status_code == 200:
                yield path, answer


Everything = dict[str, list[tuple[str, TestResponse]]]


def test_every_address_answers_and_no_header_is_broken(everything: Everything) -> None:
    empty = []
    for rule, found in everything.items():
        for path, answer in found:
            assert answer.status_code in (200, 303, 404, 409, 422), (path, answer.text[:300])
            for name, value in answer.headers:
                assert value.isprintable(), (path, name)
                assert MARK not in value, (path, name, value)
            attached = answer.headers.get("Content-Disposition", "")
            assert not attached or _ATTACHED.fullmatch(attached), (path, attached)
        if all(answer.status_code != 200 for _, answer in found):
            empty.append(rule)

    # The first leads on to a version; the second needs a query (test_hostile_injection.py).
    assert empty == ["/lists/<uuid:catalogue_id>", "/papers/<name>"]


def test_every_page_is_built_as_with_harmless_texts_and_does_nothing(
    both: Both, everything: Everything
) -> None:
    shown: set[str] = set()
    pages = 0
    for rule in both.rules:
        if not any(kind_of(answer) == "text/html" for _, answer in everything[rule]):
            continue
        plain = list(answers(both.harmless, rule))
        assert len(plain) == len(everything[rule])
        for (path, answer), (_, other) in zip(everything[rule], plain, strict=True):
            assert answer.status_code == other.status_code, path
            if kind_of(answer) != "text/html":
                continue
            pages += 1
            page, sound = Structure(answer.text), Structure(other.text)
            assert page.acting == [], path
            assert without_lines(page) == without_lines(sound), path
            for address in loaded(answer.text):
                assert _OWN.match(address), (path, address)
            shown.update(re.findall(MARK + r"([a-z0-9]+)", " ".join(page.texts)))
            assert_no_code(path, answer.text)

    assert pages > 20
    wanted = {
        "organisation", "personowner", "personreader", "tokenreader", "customername", "supplier",
        "catalogue", "jobdescription", "circuit0", "quoteaccept", "sent", "signed", "declined",
        "reason", "filefirst", "taskfile", "pagelist", "pagesupplier", "description",
    }  # fmt: skip
    assert wanted <= shown, wanted - shown


def without_lines(page: Structure) -> list[tuple[str, ...]]:
    """Names of other lengths are drawn in more or fewer lines, and packed in other rows."""
    return [tag for tag in page.tags if tag[0] not in ("tspan", "line", "path", "text", "rect")]


def loaded(text: str) -> Iterator[str]:
    """Every address that a page loads, links to or sends to."""
    tree = etree.HTML(text)
    for element in tree.iter():
        if isinstance(element.tag, str):
            for name in LOADS:
                if name in element.attrib:
                    yield element.attrib[name].strip()


def assert_no_code(path: str, text: str) -> None:
    """Only our own scripts, by address; nothing in the page itself."""
    for element in etree.HTML(text).iter("script", "style", "base", "meta", "iframe", "object"):
        assert element.tag in ("script", "meta"), path
        if element.tag == "script":
            assert element.get("src", "").startswith("/static/"), path
            assert not (element.text or "").strip(), path
        else:
            assert "http-equiv" not in element.attrib, path


def test_data_holds_every_text_word_for_word(everything: Everything) -> None:
    kept: set[str] = set()
    for path, answer in of_kind(everything, "application/json"):
        for text in texts_of(json.loads(answer.text)):
            for place in re.findall(MARK + r"([a-z0-9]+)", text):
                # Of the name of a file only what follows the last slash is kept.
                whole = EVERYWHERE.rpartition("/")[2] if "file" in place else EVERYWHERE
                assert whole in text or json.dumps(whole)[1:-1] in text, (path, text)
                kept.add(place)

    assert {"note", "customernote", "suppliernote", "head0", "confirmed"} & kept
    assert len(kept) > 30


def texts_of(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from texts_of(each)
    elif isinstance(value, list):
        for each in value:
            yield from texts_of(each)


def test_no_workbook_takes_one_for_a_formula(everything: Everything) -> None:
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    found = 0
    for path, answer in of_kind(everything, media):
        for sheet in load_workbook(io.BytesIO(answer.data)):
            for cell in (cell for row in sheet for cell in row if cell.value is not None):
                text = str(cell.value)
                if MARK not in text:
                    continue
                found += 1
                assert (cell.data_type, cell.hyperlink) == ("s", None), (path, cell.coordinate)
                if text.lstrip().startswith(STARTS):
                    assert cell.quotePrefix, (path, sheet.title, cell.coordinate)
    assert found > 20


def test_no_table_takes_one_for_a_formula(everything: Everything) -> None:
    found = 0
    for path, answer in of_kind(everything, "text/csv"):
        for row in csv.reader(io.StringIO(answer.text)):
            for cell in row:
                found += MARK in cell
                if re.fullmatch(r"-?[0-9.]*", cell) is None:
                    assert not cell.lstrip(" ").startswith(STARTS), (path, cell)
    assert found > 10


def test_pictures_and_papers_do_nothing(everything: Everything) -> None:
    pictures = papers = 0
    for path, answer in of_kind(everything, "image/svg+xml"):
        pictures += 1
        for element in etree.fromstring(answer.data).iter():
            assert etree.QName(element).localname in DRAWN, path
            assert not any(name.startswith("on") or "href" in name for name in element.attrib), path
    for path, answer in of_kind(everything, "application/pdf"):
        papers += 1
        with pikepdf.open(io.BytesIO(answer.data)) as pdf:
            for thing in pdf.objects:
                if isinstance(thing, pikepdf.Dictionary):
                    assert not {str(key) for key in thing.keys()} & set(ACTIONS), path  # noqa: SIM118
                    assert MARK not in str(thing.get("/URI", "")), path
    assert pictures >= 10
    assert papers >= 10


def test_the_archive_of_everything_holds_texts_and_safe_names(everything: Everything) -> None:
    found = list(of_kind(everything, "application/zip"))
    assert found
    marked = 0
    for path, answer in found:
        with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
            for name in archive.namelist():
                assert re.fullmatch(r"[A-Za-z0-9_/.-]+", name), (path, name)
                assert not name.startswith("/") and ".." not in name.split("/"), (path, name)
            for name in archive.namelist():
                if name.endswith(".jsonl"):
                    rows = [json.loads(line) for line in archive.read(name).splitlines()]
                    marked += sum(MARK in text for row in rows for text in texts_of(row))
    assert marked > 50
