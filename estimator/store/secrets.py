"""Secrets that are handed out once; only their hashes are kept."""

import hashlib
import secrets
from dataclasses import dataclass

_BYTES = 32


@dataclass(frozen=True, slots=True)
class Secret:
    """text: to hand out, 256 random bits; never kept. hash: to keep."""

    text: str
    hash: bytes

    def __repr__(self) -> str:
        return "Secret(...)"


def new_secret(prefix: str = "") -> Secret:
    """A new secret. prefix: tells a person, and a search for leaks, what it is."""
    text = prefix + secrets.token_urlsafe(_BYTES)
    return Secret(text, secret_hash(text))


def secret_hash(text: str) -> bytes:
    """What is kept of a secret: 256 random bits need no slow hash."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()
