"""Limits and settings of the outer edges, in one place."""

from dataclasses import dataclass

MIB = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Config:
    """Settings of the service.

    host: loopback only, since there is no login yet. max_body_bytes: of one request.
    max_price_lists: in one request or one command.
    """

    host: str = "127.0.0.1"
    port: int = 8460
    max_body_bytes: int = 24 * MIB
    max_price_lists: int = 20
