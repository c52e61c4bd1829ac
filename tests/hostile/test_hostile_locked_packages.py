"""The lock: one version of each package, held by digests, from nowhere in particular."""

import pytest
from locked_packages import LOCK, Locked, locked

PACKAGES = list(locked())


def test_the_lock_holds_every_package_by_digest_and_names_no_source() -> None:
    text = LOCK.read_text("utf-8")

    assert len(PACKAGES) > 80
    assert len({(each.name, each.marker) for each in PACKAGES}) == len(PACKAGES)
    here = [each.name for each in PACKAGES if each.installed]
    assert len(set(here)) == len(here) > 80
    assert [each.name for each in PACKAGES if each.digests == 0] == []
    for word in (
        "://",
        "git+",
        "--index",
        "--find-links",
        "--extra-index",
        "--trusted-host",
        "-e ",
    ):
        assert word not in text, word


@pytest.mark.parametrize("package", PACKAGES, ids=lambda each: f"{each.name} {each.version}")
def test_what_is_installed_is_what_is_locked_and_has_a_licence(package: Locked) -> None:
    if not package.installed:
        assert package.marker, "a package without a condition has to be here"
        return
    assert package.installed == package.version
    assert package.licence
