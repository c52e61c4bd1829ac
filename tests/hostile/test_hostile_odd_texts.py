"""Texts that some program takes for an end, an order or another text: kept or refused.

On SQLite and on PostgreSQL, which take different letters for what no text may hold.
"""

import pytest
from web.api.furnished import JOB
from web.people.conftest import office, quick_passwords, service
from web.people.shared_service import Office

__all__ = ["office", "quick_passwords", "service"]

ODD = {
    "zero": "a\0b", "escape": "a\x1b[31mb", "line end": "a\r\nSet-Cookie: x=y", "feed": "a\x0cb",
    "to the left": "a\u202egnp.exe", "isolate": "a\u2066b", "half a letter": "a\ud800b",
    "no letter": "a\ufffeb", "blank": "\u200b", "tags": "a\U000e0041b",
    "marks": "e" + "\u0301" * 90,
    "long": "a" * 100_000, "wide": "\U0001f50c" * 200,
}  # fmt: skip


@pytest.mark.parametrize("text", ODD.values(), ids=ODD)
def test_an_odd_text_is_kept_as_it_is_or_refused_with_a_reason(office: Office, text: str) -> None:
    program, browser = office.program("owner"), office.browser("owner")
    job = program("POST", "/api/v1/jobs", json={"name": "House", "description": JOB}).json["id"]
    quote = program("POST", "/api/v1/quotes", json={"job_id": job}).json["id"]
    catalogue = program("POST", "/api/v1/catalogues", json={"name": "Counter"}).json["id"]
    asked = [
        ("/customers", {"name": text, "note": text, "address": text}),
        ("/suppliers", {"name": text, "note": text}),
        ("/catalogues", {"name": text}),
        ("/jobs", {"name": text, "note": text, "description": {}}),
        ("/quotes", {"job_id": job, "title": text}),
        (f"/quotes/{quote}/copies", {"title": text}),
        ("/own-documents/rate-sheets", {"name": text, "content": "{}"}),
        ("/own-documents/programmes", {"name": "x", "content": text}),
        (f"/quotes/{quote}/links", {"days": text}),
        ("/invitations", {"email": f"{text}@example.org", "role": "reader"}),
    ]
    for path, body in asked:
        answer = program("POST", f"/api/v1{path}", json=body)
        assert answer.status_code in (201, 403, 409, 422), (path, answer.text[:300])
        if answer.status_code == 422:
            assert answer.get_json()["faults"], path
    # A browser sends no half letters.
    text = text.replace("\ud800", "?")
    for path in ("/account/organisation", "/tokens", "/people/invitations", "/quotes", "/lists"):
        form = {"csrf": browser.csrf(), "name": text, "email": text, "supplier": text}
        page = browser.post(path, form)
        assert page.status_code < 500, (path, page.text[:300])
        assert "Set-Cookie: x" not in str(page.headers)
    for name in (text, text + ".csv"):
        answer = program(
            "POST", f"/api/v1/catalogues/{catalogue}/versions",
            query_string={"file_name": name}, data=b"a,b\n1,2\n", content_type="text/csv",
        )  # fmt: skip
        assert answer.status_code in (400, 422), answer.text[:300]
