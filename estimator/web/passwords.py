"""Passwords of people: kept as Argon2id only (RFC 9106), so slow on purpose."""

import unicodedata
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from estimator.finding import Fault, InputRefused

# NIST SP 800-63B-4, 3.1.1.2: length is what counts for a password that stands alone.
LEAST_LETTERS = 15
MOST_LETTERS = 256
_hasher = PasswordHasher()


def password_hash(password: str) -> str:
    """What is kept of a password. Raises InputRefused for one too short or too long."""
    if not LEAST_LETTERS <= len(password) <= MOST_LETTERS:
        message = f"must have {LEAST_LETTERS} to {MOST_LETTERS} characters; a few words do well"
        raise InputRefused("password", (Fault("password", message),))
    return _hasher.hash(_plain(password))


def password_fits(kept: str | None, password: str) -> bool:
    """Whether it is the password. kept: None for nobody; takes as long as for somebody."""
    if len(password) > MOST_LETTERS:
        return False
    try:
        return _hasher.verify(kept or _nobody(), _plain(password)) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def out_of_date(kept: str) -> bool:
    """Whether a hash was made with weaker settings than those of today."""
    return _hasher.check_needs_rehash(kept)


@cache
def _nobody() -> str:
    return _hasher.hash("the password of nobody at all")


def _plain(password: str) -> str:
    # Keyboards write the same letter in different ways (NIST SP 800-63B-4, 3.1.1.2).
    return unicodedata.normalize("NFKC", password)
