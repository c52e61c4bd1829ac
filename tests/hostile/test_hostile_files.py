"""Files made to break a reader: each is used or refused, nothing else, and in bounded time.

``ESTIMATOR_HOSTILE=20`` tries twenty times as many, ``ESTIMATOR_HOSTILE_FROM`` others.
"""

import gzip
import io
import os
import time
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from conftest import SAMPLE_DAY, SAMPLES
from openpyxl import Workbook
from readers import Reader, readers, samples

from estimator import usecases
from estimator.finding import InputRefused
from estimator.job.read import read_job_document

TIMES = int(os.environ.get("ESTIMATOR_HOSTILE", "1"))
FIRST = int(os.environ.get("ESTIMATOR_HOSTILE_FROM", "0"))
# Many times what any file took on a busy machine; what grows without bound takes longer.
MOST_S = 30


@pytest.mark.parametrize("reader", list(readers()), ids=lambda reader: reader.name)
def test_a_broken_file_is_used_or_refused(reader: Reader) -> None:
    used = refused = 0
    for seed in range(FIRST, FIRST + reader.times * TIMES):
        name, data = reader.broken(seed)
        start = time.monotonic()
        try:
            reader.read(data, name)
            used += 1
        except InputRefused as error:
            refused += 1
            assert error.faults, seed
            assert all(fault.message.strip() for fault in error.faults), seed
        except Exception as error:
            raise AssertionError(f"{reader.name} {seed} ({name}): {error!r}") from error
        assert time.monotonic() - start < MOST_S, seed

    # Broken enough to be refused, not so broken that nothing gets past the first look.
    assert refused
    assert used or reader.name == "workbook"


DEEP = 100_000


@pytest.mark.parametrize(
    "text",
    [
        '{"circuits":' * DEEP,
        "[" * DEEP + "]" * DEEP,
        '{"run_length_ft": ' + "9" * 500_000 + "}",
        '{"run_length_ft": 1e' + "9" * 300_000 + "}",
        '{"run_length_ft": -1e-' + "9" * 300 + "}",
        '{"a": 1, ' * 40_000 + "}" * 40_000,
        '{"circuits": [' + '{"name": "x"},' * 30_000 + "{}]}",
        '{"' + "a" * 900_000 + '": 1}',
        '{"name": "' + "\\ud800" * 100_000 + '"}',
    ],
    ids=["objects", "lists", "digits", "exponent", "small", "opened", "rows", "name", "surrogates"],
)
@pytest.mark.parametrize("name", ["job.json", "job.yaml", "body"])
def test_deep_and_endless_job_texts_are_refused_soon(text: str, name: str) -> None:
    start = time.monotonic()

    with pytest.raises(InputRefused):
        usecases.estimate_document(read_job_document(text.encode(), name), [], today=SAMPLE_DAY)

    assert time.monotonic() - start < MOST_S


@pytest.mark.parametrize(
    "value",
    ["1" + "0" * 5_000, "[" * 5_000, "{a=" * 5_000, "1e99999", "0x" + "f" * 9_000, "nan", "-inf"],
    ids=["digits", "lists", "tables", "exponent", "hexadecimal", "nan", "infinity"],
)
def test_endless_toml_values_are_refused(value: str) -> None:
    """Each in the place of each value of a sound programme."""
    name, data = samples("programmes/utility_battery_rebate.toml")[0]
    lines = data.decode().splitlines()
    for place, line in enumerate(lines):
        field, equals, _ = line.partition(" = ")
        if not equals:
            continue
        text = "\n".join([*lines[:place], f"{field} = {value}", *lines[place + 1 :]])
        with pytest.raises(InputRefused):
            usecases.read_own_credits([(name, text.encode())])


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_the_first_and_the_last_day_of_the_calendar_are_days_like_others(day: str) -> None:
    for path in sorted(SAMPLES.glob("programmes/*.toml")):
        lines = path.read_text().splitlines()
        for place, line in enumerate(lines):
            field, equals, value = line.partition(" = ")
            if not equals or not value[:4].isdigit() or value.count("-") != 2:
                continue
            text = "\n".join([*lines[:place], f"{field} = {day}", *lines[place + 1 :]])
            try:
                usecases.read_own_credits([(path.name, text.encode())])
            except InputRefused as refused:
                assert refused.faults


def bomb(sheet: bytes, parts: int = 1) -> bytes:
    """A workbook of one sheet whose content unpacks to very much."""
    book = io.BytesIO(_book())
    packed = io.BytesIO()
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            if part.filename != "xl/worksheets/sheet1.xml":
                new.writestr(part.filename, old.read(part))
        new.writestr("xl/worksheets/sheet1.xml", sheet)
        for number in range(parts - 1):
            new.writestr(f"xl/media/{number}.xml", sheet)
    return packed.getvalue()


def _book() -> bytes:
    book = io.BytesIO()
    workbook = Workbook()
    workbook.active.append(["item", "description", "unit", "price"])
    workbook.save(book)
    return book.getvalue()


class MemoryGauge:
    """How much Python's own memory grew at most meanwhile [MiB]."""

    grown = 0.0

    def __enter__(self) -> None:
        tracemalloc.start()

    def __exit__(self, *_: object) -> None:
        self.grown = tracemalloc.get_traced_memory()[1] / 2**20
        tracemalloc.stop()


@pytest.fixture
def memory_mib() -> MemoryGauge:
    return MemoryGauge()


MANY = 60 * 1024 * 1024
HEAD = (
    b'<?xml version="1.0"?><worksheet '
    b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
)


@pytest.mark.parametrize(
    "sheet",
    [
        HEAD + b" " * MANY,
        HEAD + b"<row>" * 4_000_000,
        b'<!DOCTYPE a [<!ENTITY b "' + b"x" * 10_000 + b'">]>' + HEAD + b"&b;" * 100_000,
        HEAD + b'<row r="1"><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>',
        HEAD + b'<row r="99999999999"><c r="A99999999999"><v>1</v></c></row></sheetData>'
        b"</worksheet>",
    ],
    ids=["blanks", "rows", "entities", "last cell", "row beyond all"],
)
def test_a_workbook_that_unpacks_to_very_much_is_used_or_refused_soon(
    sheet: bytes, memory_mib: MemoryGauge
) -> None:
    data = bomb(sheet)
    start = time.monotonic()

    with memory_mib, pytest.raises(InputRefused):
        usecases.read_catalogue([("bomb.xlsx", data)])

    assert time.monotonic() - start < MOST_S
    assert memory_mib.grown < 100


def test_a_gzip_bomb_is_refused_before_it_is_unpacked(memory_mib: MemoryGauge) -> None:
    data = gzip.compress(b"item,price\n" + b"a,1\n" * (64 * 1024 * 1024 // 4), 9)

    with memory_mib, pytest.raises(InputRefused):
        usecases.read_catalogue([("bomb.csv.gz", data)])

    assert memory_mib.grown < 100


def test_a_file_name_reaches_no_file_system(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    _, data = samples("price_lists/north_counter.csv")[0]

    for odd in (
        "../../../etc/passwd",
        "/etc/passwd",
        "a\0b",
        "C:\\autoexec",
        "\ud800",
        "x" * 5_000,
    ):
        catalogue = usecases.read_catalogue([(odd, data)])
        assert catalogue.lists[0].items

    assert list(tmp_path.iterdir()) == []
