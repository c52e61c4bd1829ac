"""Offices for the clients: the first token as a command makes it, all else over REST."""

import json
from pathlib import Path
from typing import Any

from load.client import Desk
from load.line import Line
from load.service import Service

SAMPLES = Path(__file__).parents[2] / "catalog_samples"
COUNTER = (SAMPLES / "price_lists" / "north_counter.csv").read_text()
WHOLESALE = (SAMPLES / "price_lists" / "wholesale_c_and_m.csv").read_text()
JOB = json.loads((SAMPLES / "jobs" / "four_facts.json").read_text())


def open_office(service: Service, number: int) -> tuple[str, Desk]:
    """A token of its owner, and what its clients work with."""
    name, email = f"Invented Electric {number}", f"owner{number}@example.org"
    words = ("people", "add", email, "--name", "An Owner", "--organisation", name)
    service.command(*words, "--password-stdin", given="seven invented words\n")
    token = service.command(
        "tokens", "add", email, "--name", "load", "--role", "owner", "--organisation", name
    ).strip()
    line = Line(service.port, token)
    counter = _catalogue(line, "Counter", COUNTER)
    _catalogue(line, "Wholesale", WHOLESALE)
    customer = _made(line, "/customers", {"name": "A. Homeowner"})["id"]
    job = _made(line, "/jobs", {"name": "House", "customer_id": customer, "description": JOB})["id"]
    asked = line.ask("set up", "POST", f"/jobs/{job}/versions/1/estimate", {})
    assert asked, line.unexpected
    # A quote may be sent when it says itself what it lacks; a first one tells what that is.
    first = _made(line, "/quotes", {"job_id": job})["id"]
    seen = line.ask("set up", "GET", f"/quotes/{first}/revisions/1")
    assert seen, line.unexpected
    stated = sorted({each["kind"] for each in seen.document["shortcomings"]})
    line.close()
    return token, Desk(job, JOB, counter, COUNTER, stated)


def _catalogue(line: Line, name: str, text: str) -> str:
    supplier = _made(line, "/suppliers", {"name": f"{name} (invented)"})["id"]
    made: str = _made(line, "/catalogues", {"name": name, "supplier_id": supplier})["id"]
    path = f"/catalogues/{made}/versions?file_name={name}.csv"
    headers = {"Content-Type": "text/csv"}
    sent = line.ask("set up", "POST", path, text.encode(), wanted=(201,), headers=headers)
    assert sent, line.unexpected
    return made


def _made(line: Line, path: str, document: object) -> Any:
    answer = line.ask("set up", "POST", path, document, wanted=(201,))
    assert answer, line.unexpected
    return answer.document
