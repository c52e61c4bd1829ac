"""What a person with a browser gets where a program gets problem+json: the same as a page."""

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote, urlsplit

from flask import Flask, Response, render_template, request

from estimator.web.held_form import form_to_hold
from estimator.web.next_page import next_page
from estimator.web.problem import PROBLEM_JSON
from estimator.web.request_log import request_id

_TITLES: Mapping[int, str] = {
    400: "This cannot be read",
    401: "You are not signed in",
    403: "This was not done",
    404: "There is nothing here",
    405: "This cannot be done here",
    409: "This does not fit what is kept",
    412: "Somebody changed it meanwhile",
    413: "This is too large",
    422: "This cannot be used",
    429: "That was too often",
    500: "Something went wrong",
    503: "Not available just now",
    507: "There is no room left",
}
_WHAT_TO_DO: Mapping[int, str] = {
    401: "Sign in, then do it again.",
    404: "The address may be written wrongly, or what was here is gone.",
    405: "Go back and use the page's own buttons.",
    413: "Send a smaller file, or the same list in parts.",
    429: "Nothing is lost. Wait, then do it again.",
    500: "Do it again. If it stays so, tell whoever runs the service the number below.",
    503: "Nothing was changed. Wait a little, then do it again.",
    507: "Nothing was changed. Tell whoever runs the service.",
}
_PROGRAMS = "/api/v1/"
_CUSTOMERS = "/offer/"


def add_refused_page(app: Flask) -> None:
    """Turn problems into pages for whoever asks for a page."""
    app.after_request(_as_page)


def _as_page(answer: Response) -> Response:
    if answer.content_type != PROBLEM_JSON or request.path.startswith(_PROGRAMS):
        return answer
    answer.headers.add("Vary", "Accept")
    wanted = request.accept_mimetypes.best_match((PROBLEM_JSON, "application/json", "text/html"))
    if wanted == "text/html":
        answer.set_data(_page(answer, json.loads(answer.get_data())))
        answer.content_type = "text/html; charset=utf-8"
    return answer


def _page(answer: Response, told: Mapping[str, Any]) -> str:
    """The page; for a part of a page that is being exchanged, the message alone."""
    status = answer.status_code
    layout = "layout.html"
    if "HX-Request" in request.headers:
        layout = ""
    elif request.path.startswith(_CUSTOMERS):
        layout = "offer_layout.html"
    back = _page_before()
    if status == 401 and (held := form_to_hold()):
        words = {
            "wrong": "",
            "next": back or "/",
            "email": "",
            "held": held,
            "tab": "",
            "query": "",
        }
        if layout:
            return render_template("sign_in.html", **words)
        target = request.headers.get("HX-Target", "").partition("#")[2]
        return render_template("signed_out.html", target=target)
    return render_template(
        "refused.html", layout=layout, status=status, title=_TITLES.get(status, told["title"]),
        detail=told["detail"], faults=told.get("faults", ()), wait_s=_whole(answer, "Retry-After"),
        what_to_do=_WHAT_TO_DO.get(status, ""), number=request_id(),
        sign_in=f"/sign-in?next={quote(back or '/', safe='')}" if status == 401 else "",
        back=back, start="" if layout == "offer_layout.html" else "/", tab="", query="",
    )  # fmt: skip


def _whole(answer: Response, header: str) -> int:
    text = answer.headers.get(header, "")
    return int(text) if text.isdigit() else 0


def _page_before() -> str:
    """The page of ours that led here; empty for none."""
    parts = urlsplit(request.referrer or "")
    if parts.netloc.lower() != request.host.lower() or not parts.path:
        return ""
    address = parts.path + (f"?{parts.query}" if parts.query else "")
    here = request.full_path.rstrip("?")
    return "" if address == here and request.method == "GET" else next_page(address)
