"""Job document from bytes: JSON or YAML to plain objects, exact numbers, nothing executed.

Both formats give the same objects: dict with text keys, list, str, int, Decimal, bool, None.
"""

import re

from estimator.finding import InputRefused
from estimator.job.document_limits import MOST_BYTES, refused
from estimator.job.from_json import from_json
from estimator.job.from_yaml import from_yaml

_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def read_job_document(data: bytes, name: str) -> object:
    """Plain objects of a job document.

    data: the file or request body. name: file name, which tells the format by its suffix
    (.json, .yaml, .yml); otherwise a document that starts with "{" is JSON, any other YAML.
    Raises InputRefused with every fault that could be found: more than 1 MiB, not UTF-8,
    binary, not JSON or YAML, nested deeper than 40, a name that stands twice, NaN or
    infinity, YAML anchors, aliases and tags.
    """
    text = _text(data, name)
    return from_json(text, name) if _is_json(text, name) else from_yaml(text, name)


def _text(data: bytes, name: str) -> str:
    if len(data) > MOST_BYTES:
        raise refused(
            name, f"has {len(data)} bytes; a job description may have {MOST_BYTES} at most"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _not_utf8(name, error) from None
    if found := _CONTROL.search(text):
        line = text.count("\n", 0, found.start()) + 1
        message = f"is not text: control character in line {line}; give a JSON or YAML file"
        raise refused(name, message)
    if not text.strip():
        raise refused(name, "is empty; give circuits, mounting_surface, run_length_ft and inlet")
    return text


def _not_utf8(name: str, error: UnicodeDecodeError) -> InputRefused:
    return refused(
        name,
        f"is not UTF-8 text (byte {error.start + 1}); save it as a JSON or YAML file in UTF-8",
    )


def _is_json(text: str, name: str) -> bool:
    suffix = name.lower().rpartition(".")[2]
    if suffix in ("json", "yaml", "yml"):
        return suffix == "json"
    return text.lstrip()[0] == "{"
