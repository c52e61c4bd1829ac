"""What a zipped workbook would unpack to, told by its directory before any of it is unpacked."""

import zipfile
import zlib
from collections.abc import Sequence

from estimator.catalogue.files.gunzip import too_much
from estimator.catalogue.files.limits import MIB, ListLimits
from estimator.catalogue.files.refusal import refuse

# What the library raises for archives that are damaged, or made to look so.
ZIP_DAMAGE = (
    zipfile.BadZipFile, zlib.error, EOFError, OSError, KeyError, RuntimeError, ValueError,
)  # fmt: skip
_MOST_PARTS = 5_000


def guard_zip(
    archive: zipfile.ZipFile,
    packed_bytes: int,
    name: str,
    limits: ListLimits,
    big_parts: Sequence[str],
) -> None:
    """Refuse an archive that unpacks to more than the limits, or is protected.

    big_parts: starts of the names of parts that hold cells and their texts; all others may
    not be larger than ``limits.part_bytes``, pictures aside, which are never unpacked. The sizes
    are those that the directory states; no reader unpacks more of a part than is stated there.
    """
    parts = archive.infolist()
    if len(parts) > _MOST_PARTS:
        raise refuse(name, f"the workbook has {len(parts):,} parts; at most {_MOST_PARTS:,}")
    most = min(limits.unzipped_bytes, max(MIB, packed_bytes * limits.expansion))
    unpacked = 0
    for part in parts:
        if part.flag_bits & 1:
            raise refuse(name, "the workbook is protected by a password. Save it without one")
        unpacked += part.file_size
        small = not part.filename.startswith((*big_parts, "xl/media/", "Pictures/", "Thumbnails/"))
        if small and part.file_size > limits.part_bytes:
            raise refuse(
                name,
                f"the part {part.filename[:60]!r} of the workbook unpacks to "
                f"{part.file_size:,} bytes; at most {limits.part_bytes:,} can be read",
            )
    if unpacked > most:
        raise refuse(name, too_much(packed_bytes, most))
