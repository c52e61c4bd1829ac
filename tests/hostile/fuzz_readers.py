"""Readers under a coverage-guided fuzzer, outside of the suite and of the lock.

``pip install atheris``, then ``python tests/hostile/fuzz_readers.py READER -runs=100000``;
options are those of libFuzzer. READER is one that test_hostile_files.py names, blanks as "_".
It stops at the first input that gives anything but a result or InputRefused, and keeps it.
"""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import atheris

with atheris.instrument_imports(include=["estimator", "tomllib", "csv"]):
    from readers import readers

    from estimator.finding import InputRefused


def main() -> None:
    """Fuzz one reader, beginning with its samples."""
    known = {reader.name.replace(" ", "_"): reader for reader in readers()}
    if len(sys.argv) < 2 or sys.argv[1] not in known:
        sys.exit(f"name a reader: {', '.join(known)}")
    reader = known[sys.argv.pop(1)]
    name = reader.samples[0][0]

    def one(data: bytes) -> None:
        try:
            reader.read(data, name)
        except InputRefused as refused:
            assert refused.faults

    with tempfile.TemporaryDirectory() as folder:
        for sample, data in reader.samples:
            Path(folder, sample).write_bytes(data)
        atheris.Setup([*sys.argv, folder], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
