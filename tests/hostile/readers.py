"""Every reader of outside files, with sound samples of what it reads."""

import io
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

from conftest import SAMPLE_DAY, SAMPLES
from mutations import mutated

from estimator import usecases
from estimator.catalogue.columns.mapping_file import read_mapping
from estimator.catalogue.confirmed import read_confirmed
from estimator.catalogue.supplier_terms import read_supplier_terms
from estimator.documents.letterhead_file import read_letterhead
from estimator.documents.result_json import result_document
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.takeoff.labour_units import COLUMNS, load_labour_units
from estimator.takeoff.part_kinds import load_part_kinds

NamedBytes = tuple[str, bytes]
NO_PRICES = usecases.read_catalogue([])
LETTERHEAD = b'name = "Quarry Road Electric"\nlines = ["12 Quarry Road", "555 0100"]\nlogo = ""\n'


@dataclass(frozen=True)
class Reader:
    """read: uses up (bytes, name). times: mutated files of it in the suite."""

    name: str
    read: Callable[[bytes, str], object]
    samples: list[NamedBytes]
    times: int

    def broken(self, seed: int) -> NamedBytes:
        """A sample with something wrong in it."""
        name, data = self.samples[seed % len(self.samples)]
        others = tuple(data for _, data in self.samples)
        if data[:2] == b"PK" and seed % 4:
            return name, _inside(data, seed)
        return name, mutated(data, seed, others)


def _inside(data: bytes, seed: int) -> bytes:
    """An archive with one of its parts changed and packed again, so that its sums are right."""
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w") as new:
        parts = old.infolist()
        chosen = Random(seed).choice([part for part in parts if part.filename.endswith("xml")])
        for part in parts:
            content = old.read(part)
            new.writestr(part, mutated(content, seed) if part is chosen else content)
    return packed.getvalue()


def samples(*patterns: str) -> list[NamedBytes]:
    return [
        (path.name, path.read_bytes()) for each in patterns for path in sorted(SAMPLES.glob(each))
    ]


def _labour() -> NamedBytes:
    rows = [f"{unit.code},{unit.task},{unit.unit},1,2,3" for unit in load_labour_units().values()]
    return "labour.csv", "\n".join([",".join(COLUMNS), *rows]).encode()


def _job(data: bytes, name: str) -> None:
    description = describe_job(read_job_document(data, name), SAMPLE_DAY)
    result_document(usecases.estimate_description(description, NO_PRICES, today=SAMPLE_DAY))


def _price_list(data: bytes, name: str) -> None:
    usecases.read_catalogue([(name, data)])


def _programme(data: bytes, name: str) -> None:
    usecases.read_own_credits([(name, data)])


def readers() -> Iterator[Reader]:
    """All of them."""
    texts = samples("price_lists*/*.csv", "price_lists*/*.tsv", "price_lists*/*.gz")
    books = samples("price_lists*/*.xlsx", "price_lists*/*.ods", "price_lists*/*.xls")
    yield Reader("job", _job, samples("jobs/*.yaml", "jobs/*.json"), 300)
    yield Reader("programme", _programme, samples("programmes/*.toml"), 300)
    yield Reader("labour", lambda data, name: usecases.read_labour((name, data)), [_labour()], 200)
    yield Reader("supplier terms", read_supplier_terms, samples("supplier_terms/*.csv"), 300)
    yield Reader("mapping", read_mapping, samples("price_lists_quirky/*.mapping.*"), 300)
    yield Reader("letterhead", read_letterhead, [("letterhead.toml", LETTERHEAD)], 300)
    yield Reader(
        "confirmed matches",
        lambda data, name: read_confirmed(data, name, load_part_kinds()),
        samples("price_lists_other/confirmed_matches.csv"),
        300,
    )
    yield Reader("price list", _price_list, texts, 50)
    yield Reader("workbook", _price_list, books, 16)
