"""The pages as a browser without scripts gets them."""

from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient
from lxml import html
from werkzeug.datastructures import MultiDict

from estimator.documents.every_document import PICTURES
from estimator.documents.lists_csv import LISTS
from estimator.documents.pdf import PDF_KINDS
from estimator.web.app import create_app

FOUR = [
    ("circuit", "Refrigerator"), ("breaker", "20"), ("poles", "1"),
    ("running", "180"), ("starting", "1200"),
    ("circuit", "Well pump"), ("breaker", "20"), ("poles", "2"),
    ("running", "1,000 W"), ("starting", ""),
    ("wall", "concrete_block"), ("run", "18 ft"), ("inlet", "L14-30"), ("prices", "sample"),
]  # fmt: skip


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def answer_to(client: FlaskClient, *more: tuple[str, str]) -> html.HtmlElement:
    """The page that the filled form leads to, over its own address."""
    asked = client.post("/", data=MultiDict([*FOUR, *more]))
    assert asked.status_code == 303
    return html.fromstring(client.get(asked.headers["Location"].partition("#")[0]).text)


def words(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def test_the_first_page_asks_four_questions_and_is_small(client: FlaskClient) -> None:
    page = client.get("/")
    tree = html.fromstring(page.text)

    assert len(tree.xpath("//fieldset")) == 4
    assert len(tree.xpath("//datalist/option")) > 40
    weight = len(page.data)
    for address in tree.xpath("//script/@src | //link[@rel='stylesheet']/@href"):
        with client.get(address) as answer:
            weight += len(answer.data)
    assert weight <= 100_000


def test_four_answers_give_a_priced_estimate_at_an_address_that_keeps_them(
    client: FlaskClient,
) -> None:
    asked = client.post("/", data=MultiDict([*FOUR, ("circuit", ""), ("/supply/price", "")]))
    query = parse_qs(urlsplit(asked.headers["Location"]).query, keep_blank_values=True)

    assert query["circuit"] == ["Refrigerator", "Well pump"]
    assert query["run"] == ["18 ft"]
    assert "/supply/price" not in query
    page = answer_to(client)
    assert "Total" in words(page.xpath("//section[@class='sums']")[0])
    stations = [words(one) for one in page.xpath("//ol[@class='route']//strong")]
    assert stations == [
        "Supply", "Cord", "Inlet", "Run 1", "Transfer", "Run 2", "Load centre", "Circuits",
    ]  # fmt: skip
    assert "18 ft" in words(page.xpath("//li[contains(@class, 'run')]")[0])


@pytest.mark.parametrize(
    ("typed", "feet"),
    [("12ft", "12 ft"), ("12'", "12 ft"), ("12' 6\"", "12.5 ft"), ("3 m", "9.8 ft"),
     ("1,5 m", "4.9 ft"), ("20", "20 ft"), ("36 in", "3 ft"), ("2 yards", "6 ft")],
)  # fmt: skip
def test_a_length_is_read_with_its_unit(typed: str, feet: str, client: FlaskClient) -> None:
    """NIST SP 811 (2008), appendix B: 1 ft = 0.3048 m exactly."""
    page = answer_to(client, ("none", ""))
    assert page is not None
    asked = [(name, typed if name == "run" else value) for name, value in FOUR]
    tree = html.fromstring(client.get("/", query_string=MultiDict(asked)).text)

    assert feet in words(tree.xpath("//li[contains(@class, 'run')]")[0])


@pytest.mark.parametrize(
    ("changed", "field", "message"),
    [
        ({"run": "far"}, "fault-run-1", "far"),
        ({"run": "\U0001f50c"}, "fault-run-1", "\U0001f50c"),
        ({"running": "many"}, "fault-running-0-1", "many"),
        ({"breaker": "7"}, "fault-breaker-0-1", "7"),
        ({"inlet": "5-15"}, "fault-inlet-1", "cannot be the inlet"),
    ],
)
def test_a_fault_stands_beside_its_field_and_nothing_is_lost(
    changed: dict[str, str], field: str, message: str, client: FlaskClient
) -> None:
    asked = [(name, changed.get(name, value)) for name, value in FOUR]
    tree = html.fromstring(client.get("/", query_string=MultiDict(asked)).text)

    assert message in words(tree.get_element_by_id(field))
    for name, value in changed.items():
        held = tree.xpath(f"//*[@name='{name}']/@value")
        assert value in held or name == "inlet"
    assert tree.xpath("//input[@name='circuit']/@value")[:2] == ["Refrigerator", "Well pump"]


def test_every_default_can_be_changed_where_it_stands(client: FlaskClient) -> None:
    page = answer_to(client)
    names = set(page.xpath("//section[@class='place']//*[@name]/@name"))
    assert {"/supply/continuous_w", "/transfer/method"} <= names
    assert {"/runs/0/wiring_method", "/terms/markup_percent"} <= names

    changed = answer_to(
        client,
        ("/transfer/method", "interlock"),
        ("/runs/0/wiring_method", "PVC-40"),
        ("/supply/continuous_w", "5,000 W"),
        ("/supply/outlet_gfci", "true"),
    )

    route = words(changed.xpath("//ol[@class='route']")[0])
    assert "PVC-40" in route
    assert "5,000 W" in route
    assert "Transfer" not in route
    told = changed.xpath("//div[contains(@class, 'field told')]//*[@name]/@name")
    assert "/runs/0/wiring_method" in told
    assert "GFCI" in words(changed.get_element_by_id("supply"))


def test_a_default_that_cannot_stand_is_told_and_kept(client: FlaskClient) -> None:
    page = answer_to(client, ("/supply/continuous_w", "lots"))

    assert "lots" in words(page.get_element_by_id("answer"))
    assert page.xpath("//input[@name='/supply/continuous_w']/@value") == ["lots"]


def test_a_circuit_can_be_added_without_scripts(client: FlaskClient) -> None:
    asked = client.post("/", data=MultiDict([*FOUR, ("more", "1")]))

    tree = html.fromstring(client.get(asked.headers["Location"].partition("#")[0]).text)

    assert len(tree.xpath("//div[@class='row']")) == 3


def test_names_of_users_stay_words(client: FlaskClient) -> None:
    nasty = "<script>alert(1)</script>"
    asked = [(name, nasty if value == "Refrigerator" else value) for name, value in FOUR]
    page = client.get("/", query_string=MultiDict(asked))

    assert nasty not in page.text
    assert nasty in words(html.fromstring(page.text).get_element_by_id("ledger")) or (
        nasty in html.fromstring(page.text).xpath("//input[@name='circuit']/@value")
    )


@pytest.mark.parametrize(
    ("path", "heading", "said"),
    [
        ("/compare", "What each way costs", "Do it oneself"),
        ("/credit", "What the tax credits give", "not tax advice"),
    ],
)
def test_other_pages_answer_the_same_job(
    path: str, heading: str, said: str, client: FlaskClient
) -> None:
    full = html.fromstring(client.get(path, query_string=MultiDict(FOUR)).text)
    empty = html.fromstring(client.get(path).text)

    assert words(full.xpath("//h1")[0]) == heading
    assert said in words(full)
    assert "Answer the four questions" in words(empty)


@pytest.mark.parametrize(
    "name",
    [*(f"{kind}.pdf" for kind in PDF_KINDS), "estimate.xlsx", *(f"{one}.svg" for one in PICTURES),
     *(f"{one}.csv" for one in LISTS)],
)  # fmt: skip
def test_each_document_of_the_address_is_given(name: str, client: FlaskClient) -> None:
    answer = client.get(f"/papers/{name}", query_string=MultiDict(FOUR))

    assert answer.status_code == 200
    assert f'filename="{name}"' in answer.headers["Content-Disposition"]
    assert len(answer.data) > 100


@pytest.mark.parametrize("name", ["quote.exe", "quote", "secret.pdf", "..%2fquote.pdf"])
def test_a_document_that_is_not_there_is_not_found(name: str, client: FlaskClient) -> None:
    assert client.get(f"/papers/{name}", query_string=MultiDict(FOUR)).status_code == 404


def test_a_document_of_an_unfinished_job_is_not_found(client: FlaskClient) -> None:
    assert client.get("/papers/quote.pdf").status_code == 404


def test_a_job_too_long_for_an_address_is_answered_at_once(client: FlaskClient) -> None:
    rows = [
        pair
        for place in range(50)
        for pair in (("circuit", f"Circuit {place} " + "w" * 60), ("breaker", "20"), ("poles", "1"),
                     ("running", "100"), ("starting", "100"))
    ]  # fmt: skip

    answer = client.post("/", data=MultiDict([*rows, *FOUR[10:]]))

    assert answer.status_code == 200
    assert "Circuit 49" in answer.text


def test_the_content_policy_allows_no_foreign_and_no_inline_code(client: FlaskClient) -> None:
    page = client.get("/", query_string=MultiDict(FOUR))
    policy = page.headers["Content-Security-Policy"]

    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    tree = html.fromstring(page.text)
    assert not tree.xpath("//script[not(@src)] | //style | //*[@style] | //*[@onclick]")
