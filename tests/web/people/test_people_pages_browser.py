"""People and tokens in a real browser on a phone, by keyboard and without a violation."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from web.browser import needs_browser
from web.people import test_people_browser as shared

address, page = shared.address, shared.page


def clean(opened: Page) -> None:
    """No violation of the rules for access, and nothing wider than the phone."""
    found = Axe().run(opened)
    assert found.violations_count == 0, found.generate_report()
    wide = opened.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0


def join(owners: Page, link: str) -> None:
    """Somebody else, in a browser of their own, accepts the invitation."""
    assert owners.context.browser is not None
    other = owners.context.browser.new_page(viewport={"width": 390, "height": 800})
    other.goto(link)
    other.fill("#name", "Second Person")
    other.fill("#password", shared.PASSWORD)
    other.click("main button")
    other.goto("/".join([*link.split("/")[:3], "account"]))
    assert other.locator("main a[href='/tokens']").count() == 1
    assert other.locator("main a[href='/people']").count() == 0
    other.close()


@needs_browser
def test_an_owner_invites_somebody_gives_a_role_and_makes_a_token(address: str, page: Page) -> None:
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto(f"{address}/sign-in")
    page.fill("#email", "owner@example.org")
    page.fill("#password", shared.PASSWORD)
    page.click("main button")

    page.goto(f"{address}/account")
    page.click("main a[href='/people']")
    assert page.inner_text("h1") == "People"
    clean(page)

    page.fill("#email", "no address")
    page.fill("#days", "12")
    page.press("#days", "Enter")
    assert "name@example.org" in page.inner_text("#fault-email-1")
    assert page.evaluate("document.activeElement.id") == "email"
    assert page.input_value("#days") == "12"
    clean(page)

    page.fill("#email", "second@example.org")
    page.press("#email", "Enter")
    link = page.input_value(".link input")
    assert link.startswith(f"{address}/join/i_")
    clean(page)
    join(page, link)

    page.goto(f"{address}/people")
    second = page.locator("section.place", has_text="second@example.org")
    second.get_by_label("Role of Second Person").select_option("estimator")
    second.get_by_role("button", name="Give this role to Second Person").click()
    assert "second@example.org, estimator, may sign in" in second.inner_text()
    second.get_by_role("button", name="Shut out Second Person").click()
    assert "▲ shut out" in second.inner_text()
    clean(page)

    page.click("main a[href='/tokens']")
    page.fill("#name", "a spreadsheet")
    page.press("#name", "Enter")
    assert page.input_value(".link input").startswith("t_")
    clean(page)
    page.get_by_role("button", name="Revoke a spreadsheet").click()
    page.click("text=No longer valid: 1")
    assert "revoked" in page.inner_text("details[open]")
    clean(page)
    assert wrong == []
