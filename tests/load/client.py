"""What one client does all day: an estimate here, a quote there, a list now and then."""

import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from load.line import Line

ANY = {"If-Match": "*"}
DOCUMENTS = ("estimate.xlsx", "quote.pdf", "buying_list.pdf")
_TASK_S = 120.0


@dataclass
class Desk:
    """What a client works with. stated: what its quotes say that they lack."""

    job: str
    job_document: Any
    catalogue: str
    price_list: str
    stated: list[str]


@dataclass
class Made:
    """What was answered as kept, so that it must be there at the end."""

    quotes: dict[str, str] = field(default_factory=dict)
    revisions: dict[str, int] = field(default_factory=dict)
    accepted: list[str] = field(default_factory=list)
    imports: list[str] = field(default_factory=list)
    # Tasks that were not seen to end while the client looked.
    waiting: list[str] = field(default_factory=list)


@dataclass
class Client:
    """think_s: mean time between an answer and the next request, as a person takes it."""

    line: Line
    desk: Desk
    chance: random.Random
    think_s: float
    made: Made = field(default_factory=Made)

    def work(self, until: float) -> None:
        """One thing after the other until the time (time.monotonic) is up."""
        things, weights = zip(*_DAY.items(), strict=True)
        while True:
            time.sleep(self.chance.uniform(0, 2 * self.think_s))
            if time.monotonic() >= until:
                break
            self.chance.choices(things, weights)[0](self)
        self.line.close()

    def estimate(self) -> None:
        body = {"job": self.desk.job_document, "catalogue": []}
        self.line.ask("estimate, no prices", "POST", "/estimates", body)

    def estimate_kept(self) -> None:
        path = f"/jobs/{self.desk.job}/versions/1/estimate"
        self.line.ask("estimate, kept lists", "POST", path, {})

    def read_list(self) -> None:
        self.line.ask("list quotes", "GET", "/quotes?limit=20")

    def read_quote(self) -> None:
        quote = self._some_quote()
        if quote and self.line.ask("fetch quote", "GET", f"/quotes/{quote}"):
            path = f"/quotes/{quote}/revisions/{self.made.revisions[quote]}"
            self.line.ask("fetch revision", "GET", path)

    def search(self) -> None:
        self.line.ask("search items", "GET", "/items?search=THHN&limit=20")

    def quote(self) -> str | None:
        """A new quote; its identifier."""
        body = {"job_id": self.desk.job, "stated": self.desk.stated}
        answer = self.line.ask("make quote", "POST", "/quotes", body, wanted=(201,))
        if answer is None:
            return None
        told = answer.document
        self.made.quotes[told["id"]] = told["number"]
        self.made.revisions[told["id"]] = 1
        return str(told["id"])

    def revise(self) -> None:
        quote = self._some_quote(to_change=True)
        if quote is None:
            return
        path, body = f"/quotes/{quote}/revisions", {"reason": "prices of today"}
        answer = self.line.ask("revise quote", "POST", path, body, wanted=(201,), headers=ANY)
        if answer:
            self.made.revisions[quote] = answer.document["number"]

    def sell(self) -> None:
        """A quote is sent; its customer opens the link, reads the paper and accepts."""
        quote = self.quote()
        if quote is None or not self.line.ask(
            "send quote", "POST", f"/quotes/{quote}/send", {}, headers=ANY
        ):
            return
        link = self.line.ask("make link", "POST", f"/quotes/{quote}/links", {}, wanted=(201,))
        if link is None:
            return
        path = f"/links/{link.document['secret']}"
        shown = self.line.ask("customer opens", "GET", path)
        self.line.ask("customer's paper", "GET", f"{path}/quote.pdf")
        if shown:
            body = {"revision": shown.document["revision"]}
            if self.line.ask("customer accepts", "POST", f"{path}/accept", body, once=False):
                self.made.accepted.append(quote)

    def import_list(self) -> None:
        """A list with other prices is imported by a task, which is looked at until it ends."""
        price = f"{self.chance.randint(20, 900) / 100:.2f}"
        data = self.desk.price_list.replace(",0.41,", f",{price},").encode()
        path = f"/tasks/import/{self.desk.catalogue}?file_name=counter.csv"
        headers, begun = {"Content-Type": "text/csv"}, time.monotonic()
        asked = self.line.ask("ask for import", "POST", path, data, wanted=(202,), headers=headers)
        if asked is None:
            return
        task = str(asked.document["id"])
        self.made.imports.append(task)
        while time.monotonic() - begun < _TASK_S:
            time.sleep(0.3)
            seen = self.line.ask("look at task", "GET", f"/tasks/{task}")
            if seen is None:
                break
            if seen.document["state"] in ("done", "failed", "cancelled"):
                return
        self.made.waiting.append(task)

    def document(self) -> None:
        quote = self._some_quote()
        if quote:
            name = self.chance.choice(DOCUMENTS)
            path = f"/quotes/{quote}/revisions/{self.made.revisions[quote]}/documents/{name}"
            self.line.ask(name, "GET", path)

    def _some_quote(self, *, to_change: bool = False) -> str | None:
        own = [each for each in self.made.quotes if not to_change or each not in self.made.accepted]
        return self.chance.choice(own) if own else self.quote()


# How often each is done, of a hundred or so.
_DAY: dict[Callable[[Client], object], int] = {
    Client.estimate: 20,
    Client.estimate_kept: 14,
    Client.read_list: 12,
    Client.read_quote: 14,
    Client.search: 8,
    Client.quote: 8,
    Client.revise: 6,
    Client.sell: 4,
    Client.import_list: 3,
    Client.document: 10,
}
