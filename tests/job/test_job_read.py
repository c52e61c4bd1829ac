"""Reading a job document from bytes: exact, safe, and clear about what is wrong."""

from decimal import Decimal

import pytest

from estimator.finding import Fault, InputRefused
from estimator.job.document_limits import MOST_BYTES, MOST_DEPTH, MOST_VALUES
from estimator.job.read import read_job_document


def refusal(data: bytes, name: str) -> tuple[Fault, ...]:
    with pytest.raises(InputRefused) as caught:
        read_job_document(data, name)
    return caught.value.faults


def nested(levels: int) -> bytes:
    return b"[" * levels + b"]" * levels


class TestSameObjects:
    def test_json_and_yaml_of_one_job_read_the_same(self) -> None:
        json_text = b'{"a": 1, "b": [1.50, true, null, "x"], "d": "2025-10-01", "s": "120/240"}'
        yaml_text = b"a: 1\nb: [1.50, true, null, x]\nd: 2025-10-01\ns: 120/240\n"

        from_json = read_job_document(json_text, "job.json")
        from_yaml = read_job_document(yaml_text, "job.yaml")

        assert from_json == from_yaml
        assert repr(from_json) == repr(from_yaml)

    @pytest.mark.parametrize(("name", "data"), [("j.json", b"[0.1]"), ("j.yml", b"[0.1]")])
    def test_decimals_arrive_exact(self, name: str, data: bytes) -> None:
        document = read_job_document(data, name)

        assert document == [Decimal("0.1")]
        assert isinstance(document, list)
        assert isinstance(document[0], Decimal)

    @pytest.mark.parametrize(
        ("text", "value"),
        [
            ("2023", 2023),
            ('"2023"', "2023"),
            ("2025-10-01", "2025-10-01"),
            ("yes", "yes"),
            ("No", "No"),
            ("on", "on"),
            ("010", "010"),
            ("1:30", "1:30"),
            ("0x1F", "0x1F"),
            ("1_000", "1_000"),
            ("true", True),
            ("False", False),
            ("~", None),
            ("", None),
            ("-3", -3),
            ("1.5e3", Decimal("1.5e3")),
            (".5", Decimal("0.5")),
            ("'true'", "true"),
        ],
    )
    def test_yaml_words_are_not_guessed_at(self, text: str, value: object) -> None:
        document = read_job_document(f"a: {text}\n".encode(), "job.yaml")

        assert document == {"a": value}
        assert isinstance(document, dict)
        assert type(document["a"]) is type(value)

    def test_yaml_names_are_text(self) -> None:
        document = read_job_document(b"5: a\ntrue: b\n~: c\n", "job.yaml")

        assert document == {"5": "a", "true": "b", "~": "c"}

    def test_a_byte_order_mark_is_no_fault(self) -> None:
        assert read_job_document(b'\xef\xbb\xbf{"a": 1}', "job.json") == {"a": 1}

    def test_without_a_telling_name_a_brace_means_json(self) -> None:
        assert read_job_document(b' {"a": 1}', "request body") == {"a": 1}
        assert read_job_document(b"a: 1", "request body") == {"a": 1}


class TestNotADocument:
    def test_neither_json(self) -> None:
        (fault,) = refusal(b'{"a": 1,}', "job.json")

        assert fault.where == ""
        assert "is not JSON: line 1, column" in fault.message

    def test_nor_yaml(self) -> None:
        (fault,) = refusal(b"a: [1, 2\nb: 3\n", "job.yaml")

        assert "is not YAML: line 2, column" in fault.message

    def test_empty(self) -> None:
        (fault,) = refusal(b" \n", "job.yaml")

        assert "is empty; give circuits, mounting_surface" in fault.message

    def test_not_utf8(self) -> None:
        (fault,) = refusal("name: Caf\xe9".encode("latin-1"), "job.yaml")

        assert "is not UTF-8 text (byte 10)" in fault.message

    def test_utf16(self) -> None:
        (fault,) = refusal("a: 1".encode("utf-16"), "job.yaml")

        assert "is not UTF-8 text" in fault.message

    def test_binary(self) -> None:
        (fault,) = refusal(b"PK\x03\x04\x00\x00", "job.yaml")

        assert "control character in line 1" in fault.message

    def test_two_documents(self) -> None:
        (fault,) = refusal(b"a: 1\n---\nb: 2\n", "job.yaml")

        assert "a second document from line 2" in fault.message


class TestSize:
    def test_at_the_limit_is_read(self) -> None:
        data = b'{"a": "' + b"x" * (MOST_BYTES - 9) + b'"}'

        assert len(data) == MOST_BYTES
        assert read_job_document(data, "job.json")

    def test_one_byte_over_is_refused(self) -> None:
        (fault,) = refusal(b"a" * (MOST_BYTES + 1), "job.yaml")

        assert "has 1048577 bytes" in fault.message

    def test_fifty_megabytes_are_refused_unread(self) -> None:
        (fault,) = refusal(b"{" * 50_000_000, "job.json")

        assert "has 50000000 bytes" in fault.message

    @pytest.mark.parametrize("name", ["job.json", "job.yaml"])
    def test_depth_at_the_limit_is_read(self, name: str) -> None:
        assert read_job_document(nested(MOST_DEPTH), name)

    @pytest.mark.parametrize("name", ["job.json", "job.yaml"])
    @pytest.mark.parametrize("levels", [MOST_DEPTH + 1, 100_000])
    def test_depth_over_the_limit_is_refused(self, name: str, levels: int) -> None:
        (fault,) = refusal(nested(levels), name)

        assert "is nested deeper than 40 levels" in fault.message

    def test_yaml_of_too_many_values_is_refused(self) -> None:
        assert read_job_document(b"- 1\n" * (MOST_VALUES - 1), "job.yaml")

        (fault,) = refusal(b"- 1\n" * MOST_VALUES, "job.yaml")

        assert "holds more than 50000 values" in fault.message


class TestFaultsInside:
    @pytest.mark.parametrize(
        ("name", "data"),
        [
            ("job.json", b'{"a": {"b/c": 1, "b/c": 2}, "a~": NaN, "x": [1, -Infinity]}'),
            ("job.yaml", b'a: {"b/c": 1, "b/c": 2}\na~: .nan\nx: [1, -.inf]\n'),
        ],
    )
    def test_all_are_told_at_once_with_pointers(self, name: str, data: bytes) -> None:
        faults = refusal(data, name)

        assert [fault.where for fault in faults] == ["/a/b~1c", "/a~0", "/x/1"]
        assert "'b/c' stands twice" in faults[0].message
        assert "not a number" in faults[1].message

    def test_a_name_that_stands_twice_in_a_list_of_objects(self) -> None:
        faults = refusal(b"circuits:\n  - {name: a, name: b}\n", "job.yaml")

        assert [fault.where for fault in faults] == ["/circuits/0/name"]

    @pytest.mark.parametrize("name", ["job.json", "job.yaml"])
    def test_numbers_of_endless_digits_are_refused(self, name: str) -> None:
        digits = b"9" * 5000

        faults = refusal(b'{"a": ' + digits + b', "b": 0.' + digits + b"}", name)

        assert [fault.where for fault in faults] == ["/a", "/b"]
        assert "beyond any figure of a job" in faults[0].message

    @pytest.mark.parametrize("name", ["job.json", "job.yaml"])
    def test_exponents_beyond_decimal_arithmetic_are_refused(self, name: str) -> None:
        faults = refusal(b'{"a": 1.0e99999999999999999999}', name)

        assert faults[0].where == "/a"


class TestYamlTricks:
    def test_anchors_and_aliases_are_refused(self) -> None:
        faults = refusal(b"a: &x 5\nb: *x\n", "job.yaml")

        assert [fault.where for fault in faults] == ["/a", "/b"]
        assert "sets the YAML anchor &x" in faults[0].message
        assert "uses the YAML alias *x" in faults[1].message

    def test_an_expansion_bomb_does_not_expand(self) -> None:
        lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
        lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]

        faults = refusal("\n".join(lines).encode(), "job.yaml")

        assert len(faults) == 12 + 11 * 9

    @pytest.mark.parametrize("tag", ["!!python/object/apply:os.system", "!!str", "!own"])
    def test_tags_are_refused(self, tag: str) -> None:
        (fault,) = refusal(f"a: {tag} [echo]\n".encode(), "job.yaml")

        assert fault.where == "/a"
        assert "has the YAML tag" in fault.message

    def test_objects_as_names_are_refused(self) -> None:
        (fault,) = refusal(b"? {a: 1}\n: 2\n", "job.yaml")

        assert "uses an object or list as a name in line 1" in fault.message
