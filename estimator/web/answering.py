"""Answers that are files."""

from flask import Response


def file_answer(data: bytes, media: str, name: str) -> Response:
    """A file to be saved under a name (letters, digits, dots and underscores only)."""
    answer = Response(data, 200, content_type=media)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
