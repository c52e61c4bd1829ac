"""Long lists are read in memory that is bounded: flat for a text, small by row for a workbook."""

from pathlib import Path

from big_files import read_apart, write_csv, write_xlsx

# 512 MiB for 100,000 rows, less what the program takes without any.
ALLOWED_MIB_A_ROW = (512 - 64) / 100_000


def test_a_text_is_read_in_memory_that_hardly_grows_with_it(tmp_path: Path) -> None:
    write_csv(tmp_path / "long.csv", 60_000)

    found = read_apart(tmp_path / "long.csv")

    assert found["items"] == 60_000
    # The file itself has about 9 MB, its items several times as much.
    assert found["peak_mib"] - found["base_mib"] < 12


def test_a_workbook_takes_little_memory_for_each_row(tmp_path: Path) -> None:
    write_xlsx(tmp_path / "long.xlsx", 4_000)

    found = read_apart(tmp_path / "long.xlsx")

    assert found["items"] == 4_000
    assert found["peak_mib"] - found["base_mib"] < 4_000 * ALLOWED_MIB_A_ROW
