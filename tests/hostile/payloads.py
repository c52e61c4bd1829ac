"""Texts that act in some program when it takes them for more than text."""

import csv
import io
from collections.abc import Callable
from itertools import cycle
from typing import Any

PAYLOADS = (
    "<script>alert(1)</script>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    "</title><img src=x onerror=alert(1)>",
    "]]><foo>&xxe;",
    "<!--#exec cmd='ls'-->",
    "javascript:alert(1)",
    "=cmd|' /C calc'!A0",
    "=HYPERLINK(A1;B1)",
    "+1+SUM(A1:A9)",
    "-2+3+cmd",
    "@SUM(1+1)*cmd",
    "|dde",
    "{{7*7}}",
    "{% include 'x' %}",
    "${7*7}",
    "#{7*7}",
    '#read("/etc/passwd")',
    "#eval(7*7)",
    "*bold* _it_ $x^2$ `raw`",
    "\\u{0023}panic()",
    "%0d%0aSet-Cookie: a=b",
    "' OR 1=1 --",
)
MARK = "zqx"
# Acts wherever a text may act, whatever stands around it.
EVERYWHERE = (
    "cmd|' /C calc'!A0\"'><svg onload=alert(1)></title></textarea><script>alert(1)</script>"
    "<a href=javascript:alert(1)>{{7*7}}{% include 'x' %}#eval(7*7)"
)


def hostile(payload: str, place: str = "") -> str:
    """The payload first, since a spreadsheet looks at the first letter; a mark to find it by."""
    return f"{payload} {MARK}{place}"


def hostile_job(count: int) -> dict[str, Any]:
    """A job with a circuit for each of so many payloads, and one in each other text of its own."""
    used = PAYLOADS[:count]
    names = [hostile(payload, "circuit") for payload in used]
    circuits: list[dict[str, Any]] = [
        {"name": name, "breaker_a": 20, "running_w": 180, "priority": place % 5 + 1}
        for place, name in enumerate(names)
    ]
    circuits[0] |= {"shared_neutral_with": names[1], "life_support": True}
    circuits[2] |= {"breaker_a": 30, "poles": 2, "starting_w": 4000}
    return {
        "name": hostile(PAYLOADS[0], "job"),
        "circuits": circuits,
        "direct_loads": [
            {"name": hostile(payload, "plugged"), "outlet": "5-15", "running_w": 40}
            for payload in used
        ],
        "mounting_surface": "concrete_block",
        "run_length_ft": 18,
        "inlet": "L14-30",
        "supply": {"continuous_w": 700, "surge_w": 900, "usable_kwh": 4, "price": "2400.00"},
        "stock": [
            {"kind": "conductor", "size": hostile(payload, "stock"), "unit": "ft", "quantity": 9}
            for payload in used
        ],
        "credit_claim": {"completed_on": "2025-10-01", "tax_before_credit": "900.00"},
    }


def hostile_list(sound: str) -> str:
    """A price list with payloads in turn as supplier, number and description of its items."""
    turn = cycle(PAYLOADS)
    return hostile_rows(sound, lambda place: hostile(next(turn), place))


def hostile_rows(sound: str, say: Callable[[str], str]) -> str:
    """A price list with what is said as supplier, number and description of its items."""
    rows = csv.reader(io.StringIO(sound))
    kept = io.StringIO()
    writer = csv.writer(kept)
    writer.writerow(next(rows))
    for number, row in enumerate(rows):
        told = (say(word) for word in ("supplier", str(number), "description"))
        writer.writerow([*told, *row[3:]])
    return kept.getvalue()
