"""Whole designs, every word and figure of them, against committed texts.

A change of wording or of a rule shows here as a difference. When it is meant, renew the texts
and read the difference before it is committed:

    UPDATE_SNAPSHOTS=1 .venv/bin/pytest tests/sizing/test_sizing_snapshots.py

That run fails for each text that it wrote, so that it cannot pass for a check.
"""

import os
import re
from pathlib import Path

import pytest
from sizing_snapshots import SNAPSHOTS, design_of, snapshot_cases, snapshot_path, snapshot_text

import estimator.sizing
from estimator.published.sources import load_sources

CASES = snapshot_cases()
SOURCE = [
    path.read_text("utf-8") for path in sorted(Path(estimator.sizing.__path__[0]).glob("*.py"))
]
# Built from a link of the chain: {inlet, outlet}_WITHOUT_{neutral, ground}.
BUILT = {
    "INLET_WITHOUT_NEUTRAL",
    "INLET_WITHOUT_GROUND",
    "OUTLET_WITHOUT_NEUTRAL",
    "OUTLET_WITHOUT_GROUND",
}
# Every wiring method may be in a dry place; test_sizing_wiring_methods.py changes the table for it.
NOT_BY_A_JOB = {"METHOD_NOT_FOR_PLACE"}


@pytest.mark.parametrize("name", CASES)
def test_design_is_as_committed_to_the_last_word(name):
    path = snapshot_path(name)

    text = snapshot_text(design_of(CASES[name]))

    if os.environ.get("UPDATE_SNAPSHOTS") and text != (path.exists() and path.read_text("utf-8")):
        path.write_text(text, "utf-8")
        pytest.fail(f"{path.name} was written anew; read it and run again without the variable")
    assert text == path.read_text("utf-8")


def test_no_committed_text_is_without_its_case():
    assert {path.stem for path in SNAPSHOTS.glob("*.txt")} == set(CASES)


def test_every_finding_of_the_room_stands_in_some_text():
    quoted = re.compile(r'"([A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+|PERMIT)"')
    written = {code for text in SOURCE for code in quoted.findall(text)} | BUILT

    shown = {finding.code for case in CASES.values() for finding in design_of(case).findings}

    assert len(written) > 100
    assert written - shown == NOT_BY_A_JOB


def test_every_error_of_the_room_names_a_published_section_and_a_remedy():
    sources = load_sources()
    errors = {
        finding.code: finding
        for case in CASES.values()
        for finding in design_of(case).findings
        if finding.severity == "error"
    }

    assert len(errors) >= 50
    for finding in errors.values():
        source = sources[finding.source]
        assert source.status not in ("common_practice", "invented"), finding
        assert source.document and source.section, finding
        assert finding.remedy, finding


def test_every_error_and_warning_cites_and_says_what_to_do():
    sources = load_sources()
    found = [finding for case in CASES.values() for finding in design_of(case).findings]

    for finding in found:
        assert finding.message.endswith("."), finding
        assert finding.remedy.endswith("."), finding
        assert finding.source in sources, finding
