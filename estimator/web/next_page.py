"""Where to go after a sign-in: only ever to a page of ours."""

from urllib.parse import urlsplit


def next_page(asked: str | None) -> str:
    """The page that was asked for, if it is one of ours; else the first one."""
    text = asked or "/"
    if not text.isprintable() or len(text) > 4000 or "\\" in text:
        return "/"
    parts = urlsplit(text)
    # "//host" and "/\\host" are other sites to a browser.
    ours = not parts.scheme and not parts.netloc and text.startswith("/")
    return text if ours and not text.startswith("//") else "/"
