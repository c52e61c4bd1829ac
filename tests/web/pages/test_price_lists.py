"""Price lists on the pages, as a browser without scripts gets them."""

import io
import re
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from conftest import SAMPLES
from flask.testing import FlaskClient
from lxml import html
from store.databases import new_scope
from web.api.office import acting, open_app
from web.people.shared_service import Service
from werkzeug.datastructures import MultiDict
from werkzeug.test import TestResponse

from estimator.config import Config
from estimator.store.database import Database, open_database
from estimator.store.scope import Scope
from estimator.tasks.run import run_next
from estimator.web.app import create_app
from estimator.web.app_database import close_database
from estimator.web.pages import price_lists_send
from estimator.web.pages.price_lists_kept import lists_in_force

JOB = [
    ("circuit", "Refrigerator"), ("breaker", "20"), ("poles", "1"),
    ("running", "180"), ("starting", "1200"),
    ("wall", "concrete_block"), ("run", "18 ft"), ("inlet", "L14-30"),
]  # fmt: skip
NORTH = SAMPLES / "price_lists" / "north_counter.csv"
DESCRIBED = SAMPLES / "price_lists_other" / "descriptions_only.csv"
QUIRKY = SAMPLES / "price_lists_quirky"
COUNTER = """supplier,item number,description,price,per
Hill Counter (invented),HC-1,1/2 EMT CONDUIT 10FT,90.10,CFT
Hill Counter (invented),HC-2,MAN XFER SW 6CKT 30A,298.00,EA
"""


@pytest.fixture(scope="module")
def opened(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    file = tmp_path_factory.mktemp("lists") / "estimator.sqlite"
    shutil.copy(sqlite_template, file)
    database = open_database(f"sqlite:///{file}", busy_ms=5_000)
    yield database
    database.close()


@pytest.fixture
def client(opened: Database) -> Iterator[FlaskClient]:
    """A browser at an office of its own."""
    yield from _acting(opened, new_scope(opened))


@pytest.fixture
def either(database: Database, scope: Scope) -> Iterator[FlaskClient]:
    """The same, on SQLite and on PostgreSQL."""
    yield from _acting(database, scope)


def _acting(database: Database, scope: Scope) -> Iterator[FlaskClient]:
    app = open_app(database)
    with acting(app, scope):
        yield app.test_client()


def words(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def page(answer: TestResponse) -> html.HtmlElement:
    assert answer.status_code == 200, answer.text
    return html.fromstring(answer.text)


def send(client: FlaskClient, name: str, data: bytes, **typed: str) -> TestResponse:
    form: dict[str, Any] = {"file": (io.BytesIO(data), name), **typed}
    return client.post("/lists", data=form, query_string=MultiDict(JOB))


def columns_of(client: FlaskClient, name: str, data: bytes, **typed: str) -> html.HtmlElement:
    sent = send(client, name, data, **typed)
    assert sent.status_code == 303, sent.text
    return page(client.get(sent.headers["Location"]))


def submit(client: FlaskClient, tree: html.HtmlElement, **chosen: str) -> TestResponse:
    """Press the button of the columns' form. chosen: by the letter of the column, or by field."""
    (form,) = tree.xpath("//form[contains(@action, '/lists/read/')]")
    fields = {name: value for name, value in form.fields.items() if value is not None}
    for name, value in chosen.items():
        fields[select_of(tree, name) if len(name) == 1 else name] = value
    return client.post(form.action, data=fields)


def select_of(tree: html.HtmlElement, letter: str) -> str:
    (name,) = tree.xpath(f"//select[starts-with(@aria-label, 'Column {letter},')]/@name")
    return str(name)


def chosen_in(tree: html.HtmlElement) -> dict[str, str]:
    return {
        str(one.get("aria-label")).split(",")[0].removeprefix("Column "): one.value
        for one in tree.xpath("//ol[@class='columns']//select")
    }


def report_of(client: FlaskClient, answer: TestResponse) -> html.HtmlElement:
    assert answer.status_code == 303, answer.text
    return page(client.get(answer.headers["Location"]))


def read(client: FlaskClient, file: Path, **typed: str) -> html.HtmlElement:
    tree = columns_of(client, file.name, file.read_bytes(), **typed)
    return report_of(client, submit(client, tree))


def sums(tree: html.HtmlElement, label: str) -> Mapping[str, str]:
    (section,) = tree.xpath(f"//section[@class='sums'][@aria-label='{label}']")
    return {
        words(one.find("span")): words(one.find("strong"))
        for one in section.findall("p")
        if one.find("strong") is not None
    }


def lists(client: FlaskClient, **more: str) -> html.HtmlElement:
    return page(client.get("/lists", query_string=MultiDict([*JOB, *more.items()])))


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("catalogue.pdf", b"%PDF-1.7 and more", "PDF document"),
        ("photo.csv", b"\x89PNG\r\n\x1a\n", "picture"),
        ("empty.csv", b"", "empty"),
        ("", b"", "choose a price list"),
    ],
)
def test_a_file_of_the_wrong_kind_is_told_beside_the_field_and_nothing_is_lost(
    client: FlaskClient, name: str, data: bytes, said: str
) -> None:
    answer = send(client, name, data, supplier="Hill Counter (invented)")
    tree = html.fromstring(answer.text)

    assert answer.status_code == 422
    (field,) = tree.xpath("//input[@type='file']")
    assert field.get("aria-invalid") == "true"
    beside = [tree.get_element_by_id(each) for each in field.get("aria-describedby").split()]
    assert any(said in words(one) for one in beside)
    assert tree.get_element_by_id("supplier").value == "Hill Counter (invented)"
    assert "circuit=Refrigerator" in tree.get_element_by_id("send").action


def test_a_list_is_looked_at_read_reported_and_kept(either: FlaskClient) -> None:
    tree = columns_of(either, DESCRIBED.name, DESCRIBED.read_bytes())
    assert chosen_in(tree) == {
        "A": "supplier", "B": "item number", "C": "description", "D": "price", "E": "per",
        "F": "pack",
    }  # fmt: skip
    assert [words(one) for one in tree.xpath("//ol[@class='columns']/li[2]//ul/li")] == [
        "CC1001", "CC1002", "CC1003",
    ]  # fmt: skip
    assert tree.get_element_by_id("supplier").value == "Cold Creek (invented)"

    report = report_of(either, submit(either, tree))

    assert sums(report, "What was read") == {
        "Items": "52", "Rows read": "62", "Not understood": "▲ 9", "With a fault": "▲ 1",
        "Passed over (titles, sums, blanks)": "4",
    }  # fmt: skip
    told = words(report.get_element_by_id("main"))
    assert "In force since 2026-03-02" in told
    assert "row 7 CC1003MAN XFER SW 6CKT 30A" in told
    assert "neutral, whip, mounting not given" in told
    (row,) = report.xpath("//tr[td/span[.='price']]")
    assert [words(cell) for cell in row] == [
        "row 66 price",
        "'call' is not a price: the supplier tells it on request",
        "Ask the supplier and write a number",
    ]
    (kept,) = lists(either).xpath("//ul[@class='kept']/li")
    assert "52 of 62" in words(kept)


def test_a_column_is_corrected_once_and_remembered_for_the_supplier(client: FlaskClient) -> None:
    """The sheet names its prices "Rate", which no list of heads has."""
    file = QUIRKY / "orchard_street.ods"
    tree = columns_of(client, file.name, file.read_bytes(), supplier="Orchard (invented)")
    assert chosen_in(tree)["D"] == ""

    refused = submit(client, tree, C="")
    assert refused.status_code == 422
    again = html.fromstring(refused.text)
    assert "price" in words(again.xpath("//div[@class='faults']")[0])
    assert "`" not in words(again.xpath("//div[@class='faults']")[0])
    assert chosen_in(again)["C"] == ""

    report = report_of(client, submit(client, again, C="description", D="price"))
    assert sums(report, "What was read")["Items"] == "5"

    later = columns_of(client, "orchard_may.ods", file.read_bytes(), supplier="orchard (invented)")
    assert chosen_in(later)["D"] == "price"


def test_choices_stand_in_the_address_so_that_reload_and_back_keep_them(
    client: FlaskClient,
) -> None:
    tree = columns_of(client, "counter.csv", COUNTER.encode())

    looked = submit(client, tree, C="", supplier="Hill (invented)", look="1", **{"all.per": "C"})
    assert looked.status_code == 303
    for _ in range(2):
        again = page(client.get(looked.headers["Location"]))
        assert chosen_in(again)["C"] == ""
        assert again.get_element_by_id("supplier").value == "Hill (invented)"
        assert again.get_element_by_id("all-per").value == "C"
    assert "circuit=Refrigerator" in looked.headers["Location"]


def test_another_head_row_is_looked_at_before_anything_is_read(client: FlaskClient) -> None:
    data = b"Hill Counter, prices,,,\n" + COUNTER.encode()
    tree = columns_of(client, "counter.csv", data)
    assert tree.get_element_by_id("head-0").value == "2"

    moved = submit(client, tree, **{"head.0": "1"})

    assert moved.status_code == 303
    assert "/lists/read/" in moved.headers["Location"]
    again = page(client.get(moved.headers["Location"]))
    assert again.get_element_by_id("head-0").value == "1"
    assert "Hill Counter" in words(again.xpath("//ol[@class='columns']/li[1]")[0])
    back = submit(client, again, **{"head.0": "2"})
    restored = page(client.get(back.headers["Location"]))
    assert chosen_in(restored) == chosen_in(tree)


@pytest.mark.parametrize("row", ["two", "900", "-1"])
def test_a_head_row_that_is_none_is_told_and_the_choices_stay(
    client: FlaskClient, row: str
) -> None:
    tree = columns_of(client, "counter.csv", COUNTER.encode())
    moved = submit(client, tree, supplier="Hill (invented)", **{"head.0": row})

    assert moved.status_code == 422
    again = html.fromstring(moved.text)
    assert again.xpath("//div[@class='faults']//li")
    assert again.get_element_by_id("supplier").value == "Hill (invented)"
    assert chosen_in(again) == chosen_in(tree)


def test_a_list_without_an_item_says_what_is_wrong_with_its_rows(client: FlaskClient) -> None:
    data = COUNTER.replace("CFT", "EA")
    refused = submit(client, columns_of(client, "counter.csv", data.encode()))

    told = words(html.fromstring(refused.text).xpath("//div[@class='faults']")[0])
    assert "raceway is sold by length" in told
    assert "MAN XFER SW 6CKT 30A" in told


def test_what_holds_for_every_row_can_be_told(client: FlaskClient) -> None:
    file = QUIRKY / "three_classes.tsv"
    tree = columns_of(client, file.name, file.read_bytes())
    refused = submit(client, tree)
    assert refused.status_code == 422
    assert "3 classes" in refused.text

    told = submit(client, html.fromstring(refused.text), **{"all.price class": "2"})

    assert int(sums(report_of(client, told), "What was read")["Items"]) > 0


def test_two_columns_that_seem_to_hold_the_same_are_for_a_person_to_tell(
    client: FlaskClient,
) -> None:
    data = b"item number,description,price,price,per\nA1,1/2 EMT CONDUIT 10FT,90.10,88.10,CFT\n"
    tree = columns_of(client, "twice.csv", data, supplier="Twice (invented)")
    assert list(chosen_in(tree).values()).count("price") == 2

    assert submit(client, tree).status_code == 422
    report = report_of(client, submit(client, tree, C=""))
    assert sums(report, "What was read")["Items"] == "1"


def test_the_same_file_changes_nothing(client: FlaskClient) -> None:
    read(client, NORTH)

    report = read(client, NORTH)

    assert "nothing changed" in words(report.get_element_by_id("main"))
    assert not report.xpath("//h2[.='Versions']")


def test_a_newer_version_is_held_against_the_one_before_which_can_be_put_back(
    either: FlaskClient,
) -> None:
    read(either, NORTH)
    dearer = NORTH.read_text().replace("595.00,EA", "654.50,EA", 1)
    tree = columns_of(either, "north_may.csv", dearer.encode())
    assert tree.get_element_by_id("name").value == "North Counter (invented)"
    report = report_of(either, submit(either, tree))

    changes = sums(report, "Changes")
    assert (changes["New"], changes["Gone"], changes["Dearer"]) == ("0", "0", "1")
    assert "+10.0 %" in words(report.get_element_by_id("main"))

    (back,) = [
        str(one) for one in report.xpath("//form/@action") if re.search(r"/1/in-force\?", one)
    ]
    restored = report_of(either, either.post(back))
    assert "In force since" in words(restored.get_element_by_id("main"))
    assert words(restored.xpath("//a[@aria-current='page'][contains(., 'Version')]")[0]) == (
        "Version 1"
    )


def test_prices_out_of_line_are_told(client: FlaskClient) -> None:
    report = read(client, SAMPLES / "price_lists_other" / "one_slip_by_a_hundred.csv")

    (finding,) = report.xpath("//div[@class='finding']")
    assert "HS-0084" in words(finding)
    assert "100 times" in words(finding)
    assert "What to do" in words(finding)


def test_the_estimate_is_priced_from_the_lists_in_force(client: FlaskClient) -> None:
    """Which are left for the invented samples, or for none, where that is asked for."""

    def estimate(**more: str) -> html.HtmlElement:
        return page(client.get("/", query_string=MultiDict([*JOB, *more.items()])))

    def kept_in(tree: html.HtmlElement) -> bool:
        return tree.xpath("//select[@name='prices']")[0].value == "kept"

    assert not kept_in(estimate())
    read(client, NORTH)
    priced = estimate()
    assert kept_in(priced)
    assert "North Counter (invented) NC-" in words(priced.get_element_by_id("ledger"))
    assert "prices=kept" in priced.xpath("//nav//a[.='Compare']/@href")[0]
    assert not kept_in(estimate(prices="none"))

    (aside,) = lists(client).xpath("//form[contains(@action, '/archive')]")
    client.post(aside.action, data=dict(aside.fields))
    assert not kept_in(estimate())
    assert "North Counter" not in words(estimate(prices="kept").get_element_by_id("ledger"))
    (take_back,) = lists(client).xpath("//form[contains(@action, '/archive')]")
    client.post(take_back.action, data=dict(take_back.fields))
    assert kept_in(estimate())


def test_faults_of_a_job_stand_beside_its_fields_with_kept_lists_too(client: FlaskClient) -> None:
    asked = [(name, "far" if name == "run" else value) for name, value in JOB]

    tree = page(client.get("/", query_string=MultiDict([*asked, ("prices", "kept")])))

    assert "far" in words(tree.get_element_by_id("fault-run-1"))


def test_what_is_unpriced_for_the_job_at_hand_is_told_place_by_place(client: FlaskClient) -> None:
    before = lists(client)
    assert sums(before, "Priced so far")["Without a price"] == "32"
    assert "without a price" in words(before.xpath("//ol[@class='route']/li")[0])

    read(client, NORTH)

    after = lists(client)
    lacking = int(sums(after, "Priced so far")["Without a price"])
    assert lacking < 3
    assert len(after.xpath("//caption[.='Parts without a price']/../tbody/tr")) == lacking


def test_an_item_is_confirmed_by_one_button_and_taken_back(either: FlaskClient) -> None:
    read(either, DESCRIBED)
    asked = lists(either).xpath("//ol[@class='questions-list']/li")
    form = asked[0].xpath(".//form")[0]

    said = either.post(form.action, data=dict(form.fields))
    tree = page(either.get(said.headers["Location"]))

    left = tree.xpath("//ol[@class='questions-list']/li")
    assert len(left) == len(asked) - 1
    assert left[0].xpath(".//button[@autofocus]")
    (note,) = tree.xpath("//form[@role='status']")
    assert form.fields["number"] in words(note)

    either.post(note.action, data={**dict(note.fields), "back": "1"})
    assert len(lists(either).xpath("//ol[@class='questions-list']/li")) == len(asked)


def test_a_row_that_was_not_understood_is_named_and_the_list_read_again(
    client: FlaskClient,
) -> None:
    """The switch's description tells neither neutral nor whip; the job needs one."""
    tree = columns_of(client, "counter.csv", COUNTER.encode())
    report = report_of(client, submit(client, tree))
    assert sums(report, "What was read")["Not understood"] == "▲ 1"
    before = int(sums(lists(client), "Priced so far")["Without a price"])
    (question,) = lists(client).xpath("//ol[@class='questions-list']/li[contains(., 'HC-2')]")
    assert "6-circuit 30 A manual transfer switch" in words(question)
    (form,) = question.xpath(".//form")
    client.post(form.action, data=dict(form.fields))

    (again,) = lists(client).xpath("//form[contains(@action, '/again')]")
    assert "1 row of" in words(again)
    report = report_of(client, client.post(again.action))

    assert sums(report, "What was read")["Items"] == "2"
    assert int(sums(lists(client), "Priced so far")["Without a price"]) == before - 1


def test_a_name_of_another_suppliers_list_is_refused_beside_its_field(client: FlaskClient) -> None:
    read(client, NORTH)
    tree = columns_of(client, "counter.csv", COUNTER.encode())

    refused = submit(client, tree, name="north counter (INVENTED)")

    assert refused.status_code == 422
    assert "another supplier" in words(
        html.fromstring(refused.text).get_element_by_id("name-fault")
    )
    assert not lists(client).xpath("//ul[@class='kept']/li[contains(., 'Hill')]")


def test_a_long_list_is_read_by_a_task_whose_progress_is_shown(
    client: FlaskClient, opened: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(price_lists_send, "LONG_BYTES", 1_000)
    tree = columns_of(client, NORTH.name, NORTH.read_bytes())
    begun = submit(client, tree)
    place = begun.headers["Location"]
    assert "/lists/task/" in place

    waiting = page(client.get(place))
    assert "Waits for its turn" in words(waiting.get_element_by_id("progress"))
    assert waiting.xpath("//a[contains(., 'Look how far it is')]")
    assert run_next(opened)

    report = report_of(client, client.get(place))
    assert sums(report, "What was read")["Rows read"] == str(
        len(NORTH.read_text().splitlines()) - 1
    )


def test_a_long_list_that_cannot_be_read_leads_back_to_its_columns(
    client: FlaskClient, opened: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(price_lists_send, "LONG_BYTES", 100)
    tree = columns_of(client, "counter.csv", COUNTER.encode())
    begun = submit(client, tree, D="")
    assert run_next(opened)

    told = page(client.get(begun.headers["Location"]))

    assert "price" in words(told.xpath("//div[@class='faults']")[0])
    back = page(client.get(told.xpath("//a[.='Back to its columns']/@href")[0]))
    assert chosen_in(back)["D"] == ""


def test_a_newer_list_offers_to_price_open_quotes_anew(
    client: FlaskClient, opened: Database
) -> None:
    read(client, NORTH)
    kept = client.post("/quotes", data=MultiDict([*JOB, ("customer", "Lane (invented)")]))
    quote = kept.headers["Location"]
    total = words(page(client.get(quote)).get_element_by_id("quote-sums"))
    assert not lists(client).xpath("//form[contains(@action, '/reprice')]")

    # The switch costs more in the newer list.
    dearer = NORTH.read_text().replace("333.00,EA", "343.00,EA", 1)
    report_of(client, submit(client, columns_of(client, "newer.csv", dearer.encode())))
    (offer,) = lists(client).xpath("//form[contains(@action, '/reprice')]")
    assert "1 open quote still has older prices" in words(offer)
    asked = client.post(offer.action, data=dict(offer.fields))
    assert "are being priced anew" in words(page(client.get(asked.headers["Location"])))
    while run_next(opened):
        pass

    assert words(page(client.get(quote)).get_element_by_id("quote-sums")) != total
    assert not lists(client).xpath("//form[contains(@action, '/reprice')]")


def test_words_of_a_file_stay_words_and_no_page_has_code_in_it(client: FlaskClient) -> None:
    nasty = "<script>alert(1)</script>"
    data = COUNTER.replace("Hill Counter", f"Hill {nasty}").replace("MAN XFER", f"MAN {nasty}")
    tree = columns_of(client, f"{nasty}.csv", data.encode())
    done = submit(client, tree)

    for answer in (
        client.get(done.headers["Location"]),
        client.get("/lists", query_string=MultiDict(JOB)),
    ):
        assert nasty not in answer.text
        assert nasty in words(html.fromstring(answer.text))
        inline = "//script[not(@src)] | //style | //*[@style] | //*[@onclick]"
        assert not html.fromstring(answer.text).xpath(inline)


@pytest.mark.parametrize(
    "path",
    ["/lists/read/{0}", "/lists/task/{0}", "/lists/{0}", "/lists/{0}/1"],
)
def test_what_is_not_there_is_told_on_a_page(client: FlaskClient, path: str) -> None:
    answer = client.get(path.format("018f0000-0000-7000-8000-000000000001"))

    assert answer.status_code == 404
    assert "Back to the price lists" in words(html.fromstring(answer.text))


def test_two_tabs_cannot_put_one_list_aside_twice(client: FlaskClient) -> None:
    read(client, NORTH)
    (form,) = lists(client).xpath("//form[contains(@action, '/archive')]")
    assert client.post(form.action, data=dict(form.fields)).status_code == 303

    late = client.post(form.action, data=dict(form.fields))

    assert late.status_code == 412
    assert "changed by somebody else" in late.text


def test_readers_look_estimators_send_and_forms_carry_their_secret(opened: Database) -> None:
    office = Service(opened).office()
    reader = office.program("reader")
    assert not html.fromstring(reader("GET", "/lists").text).xpath("//main//form")
    assert reader("POST", "/lists", data={"supplier": "Hill"}).status_code == 403

    browser = office.browser("estimator")
    (form,) = html.fromstring(browser.get("/lists").text).xpath("//form[@id='send']")
    forged = browser.post("/lists", {"file": (io.BytesIO(COUNTER.encode()), "c.csv")})
    assert forged.status_code == 403
    sent = browser.post(
        "/lists",
        {"file": (io.BytesIO(COUNTER.encode()), "c.csv"), "csrf": form.fields["csrf"]},
    )
    assert sent.status_code == 303
    columns = html.fromstring(browser.get(sent.headers["Location"]).text)
    assert all(one.fields.get("csrf") for one in columns.xpath("//main//form"))


def test_two_offices_see_their_own_lists_and_files_only(
    client: FlaskClient, opened: Database
) -> None:
    read(client, NORTH)
    (kept,) = lists(client).xpath("//ul[@class='kept']/li//a[contains(@href, '/1')]/@href")
    file = send(client, "counter.csv", COUNTER.encode()).headers["Location"]

    for other in _acting(opened, new_scope(opened)):
        assert other.get(str(kept)).status_code == 404
        assert other.get(file).status_code == 404
        assert not lists(other).xpath("//ul[@class='kept']/li")


def test_looking_for_lists_makes_no_database(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite"
    app = create_app(replace(Config(), database_url=f"sqlite:///{file}"))

    with app.test_request_context("/"):
        assert lists_in_force() == ()
    assert app.test_client().get("/").status_code == 200
    assert not file.exists()


def test_a_file_that_is_too_large_is_told_beside_the_field(tmp_path: Path) -> None:
    app = create_app(
        replace(Config(), database_url=f"sqlite:///{tmp_path}/k.sqlite", max_body_bytes=2_000)
    )
    answer = send(app.test_client(), "big.csv", b"a,b\n" * 2_000)

    assert answer.status_code == 413
    assert "too large" in words(html.fromstring(answer.text).get_element_by_id("fault-file-1"))
    close_database(app)
