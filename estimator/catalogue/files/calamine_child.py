"""A process of its own that reads a workbook from its input and writes its rows to its output.

Started by calamine_process.py, never imported: a damaged or hostile workbook can make the library
end its whole process or ask for any amount of memory, so this one has limits, and is no loss.

Arguments: bytes of memory, seconds, most columns. Output: one JSON value a line; an object begins
a sheet, lists are its rows from the first on, {"fault": ...} ends it.
"""

import contextlib
import datetime
import io
import json
import sys


def _limit(memory_bytes: int, seconds: int) -> None:
    # Systems without this module have no such limits; those of the file still hold.
    with contextlib.suppress(ImportError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _plain(value: object) -> object:
    if isinstance(value, datetime.datetime):
        midnight = not (value.hour or value.minute or value.second)
        return {"day": value.date().isoformat() if midnight else value.isoformat(" ", "seconds")}
    if isinstance(value, datetime.date | datetime.time):
        return {"day": value.isoformat()}
    return str(value) if isinstance(value, datetime.timedelta) else value


def _write(data: bytes, most_columns: int) -> None:
    import python_calamine

    out = sys.stdout
    try:
        book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        for about in book.sheets_metadata:
            if about.typ != python_calamine.SheetTypeEnum.WorkSheet:
                continue
            hidden = about.visible != python_calamine.SheetVisibleEnum.Visible
            head = {"sheet": about.name, "hidden": hidden}
            if hidden:
                out.write(json.dumps(head) + "\n")
                continue
            sheet = book.get_sheet_by_name(about.name)
            end = sheet.end
            if end is not None and end[1] >= most_columns:
                out.write(json.dumps({"columns": end[1] + 1, "of": about.name}) + "\n")
                return
            merged = [[*first, *last] for first, last in sheet.merged_cell_ranges or ()]
            out.write(json.dumps({**head, "merged": merged}) + "\n")
            for row in sheet.to_python(skip_empty_area=False) if end is not None else ():
                out.write(json.dumps([_plain(value) for value in row]) + "\n")
    except python_calamine.PasswordError:
        out.write(json.dumps({"fault": "protected"}) + "\n")
    except (python_calamine.CalamineError, ValueError, OSError) as error:
        out.write(json.dumps({"fault": "damaged", "why": type(error).__name__}) + "\n")
    else:
        out.write(json.dumps({"end": True}) + "\n")
    out.flush()


if __name__ == "__main__":
    memory, seconds, columns = map(int, sys.argv[1:4])
    _limit(memory, seconds)
    _write(sys.stdin.buffer.read(), columns)
