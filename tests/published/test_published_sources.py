"""The list of sources: strict, complete, and honest about doubt."""

import re
from pathlib import Path

import pytest

import estimator
from estimator.published.sources import SourcesError, load_sources, parse_sources

BROKEN = Path(__file__).parent / "broken"
PACKAGE = Path(estimator.__file__).parent


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("source_unknown_field.toml", "nec_x: unknown field page"),
        ("source_without_date.toml", "nec_x: field checked_on is missing"),
        ("source_bad_status.toml", "nec_x: status 'sure' is not one of"),
    ],
)
def test_a_broken_source_is_refused(file: str, told: str) -> None:
    text = (BROKEN / file).read_text("utf-8")

    with pytest.raises(SourcesError) as caught:
        parse_sources(text, file)

    assert told in str(caught.value)
    assert file in str(caught.value)


def test_a_rule_that_moved_is_cited_by_the_edition_in_force() -> None:
    source = load_sources()["nec_310_15_b1"]

    assert source.cite("2023") == "NFPA 70 (2023), Table 310.15(B)(1)(1)"
    assert source.cite("2020") == "NFPA 70 (2020), Table 310.15(B)(1)"


def test_a_value_from_memory_says_so_where_it_is_cited() -> None:
    source = load_sources()["nec_400_5"]

    assert source.cite().endswith("[from memory, not checked]")


def test_code_names_only_sources_that_exist() -> None:
    known = load_sources().keys()
    named = {
        (path.name, key)
        for path in PACKAGE.rglob("*.py")
        for key in re.findall(
            r'"((?:nec|usc|irs|osha|pl|cpsc)_[a-z0-9_]+)"', path.read_text("utf-8")
        )
    }

    unknown = sorted(pair for pair in named if pair[1] not in known)

    assert unknown == []
