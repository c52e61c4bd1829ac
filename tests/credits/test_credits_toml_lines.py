"""Lines of fields and tables, as an editor counts them."""

import pytest

from estimator.credits.toml_lines import toml_lines

TEXT = '''# a comment
name = "x"  # [not a table]
list = [
  "a = 1",
  "b",
]
long = """
inside = 2
[[inside]]
"""
'quoted' = { one = 1 }

[table]
field = 1
  [table.below]
  deep = 2

[[row]]
value = "1"

[[row]]
# another
value = "2"
after = [1, 2]
literal = \'\'\'x\'\'\'
end = 3
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ((), 1),
        (("name",), 2),
        (("list",), 3),
        (("long",), 7),
        (("quoted",), 11),
        (("table",), 13),
        (("table", "field"), 14),
        (("table", "below"), 15),
        (("table", "below", "deep"), 16),
        (("row", 0), 18),
        (("row", 0, "value"), 19),
        (("row", 1), 21),
        (("row", 1, "value"), 23),
        (("row", 1, "after"), 24),
        (("row", 1, "literal"), 25),
        (("row", 1, "end"), 26),
    ],
)
def test_each_field_has_its_line(path: tuple[str | int, ...], line: int) -> None:
    assert toml_lines(TEXT)[path] == line


def test_nothing_inside_a_text_or_a_list_is_taken_for_a_field() -> None:
    found = toml_lines(TEXT)

    assert len(found) == 16
    assert ("inside",) not in found
    assert ("a",) not in found


@pytest.mark.parametrize(
    "opening",
    [
        'a = [ "]", # ]\n  1 ]',
        "a = [ ']'\n ]",
        'a = [ "\\"]"\n ]',
        "a = { b = [\n 1 ] }",
        'a = """ "" \n x = 1 """',
        "a = '''\n ''\nx = 1'''",
        'a = ["""\nx = [""",\n "y"]',
        'a = """x""" # """',
        'a = ["""one""", """\ntwo"""\n, "z"]',
        'a = ["x", """b = 1\n""", {\n}]',
        "a = [[1],\n [2]]",
    ],
)
def test_a_list_or_text_ends_where_toml_ends_it(opening: str) -> None:
    found = toml_lines(f"{opening}\nnext = 1\n")

    assert set(found) == {(), ("a",), ("next",)}
    assert found["next",] == opening.count("\n") + 2
