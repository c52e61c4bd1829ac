"""A file system of a few MiB, and how to fill it."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

_LEFT = 16 * 1024


@contextmanager
def small_disk(folder: Path, size: str) -> Iterator[Path]:
    """A file system of its own; skips where we may not have one."""
    folder.mkdir(parents=True)
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size},mode=0777", "tmpfs", folder],
        capture_output=True, check=False,
    )  # fmt: skip
    if made.returncode:
        pytest.skip(f"no file system can be mounted here: {made.stderr.decode().strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", folder], check=True)


@contextmanager
def filled(disk: Path, left: int = _LEFT) -> Iterator[None]:
    """While it lasts there is next to no room: so many bytes."""
    filler = disk / f"filler of {left}"
    with filler.open("wb") as file:
        size = shutil.disk_usage(disk).free - left
        if size > 0:
            os.posix_fallocate(file.fileno(), 0, size)
    try:
        yield
    finally:
        filler.unlink()
