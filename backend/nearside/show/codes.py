"""Join codes and device tokens.

A *join code* is read from a slip and typed with a cold thumb: eight characters without the look-alikes 0 O 1 I L, and
forgiving of case, spaces and dashes. 31^8 is 8.5e11 codes; a show holds some ten of them, so a machine that tries ten a
second looks for centuries, and `Throttle` keeps one client far below that. A *token* is what a joined device
carries: 256 random bits, of which only the SHA-256 is kept, so reading the catalogue lets nobody in. (No slow hash:
nobody can guess 256 random bits.)
"""

from __future__ import annotations

import hashlib
import ipaddress
import secrets

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH = 8

# A mistyped code now and then is human: ten at once, then one more every two seconds. Nobody waits longer than that
# after the last wrong one, so a prankster on the show's own network cannot lock it out for long.
BURST = 10
SECONDS_A_TRY = 2.0
MOST_CLIENTS = 10_000


def new_code() -> str:
    """A fresh join code."""
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def tidy_code(typed: str) -> str | None:
    """The code somebody meant, or None where it cannot be one.

    >>> tidy_code(" abcd-efgh ")
    'ABCDEFGH'
    >>> tidy_code("abcd") is None
    True
    """
    code = "".join(sign for sign in typed.upper() if not sign.isspace() and sign not in "-_.–—")
    return code if len(code) == LENGTH and all(sign in ALPHABET for sign in code) else None


def shown_code(code: str) -> str:
    """The code as it is printed: two groups of four.

    >>> shown_code("ABCDEFGH")
    'ABCD EFGH'
    """
    return f"{code[:4]} {code[4:]}"


def new_token() -> str:
    """A fresh device token, safe in a cookie."""
    return secrets.token_urlsafe(32)


def digest(secret: str) -> str:
    """What is kept, and looked up, in the place of a secret."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


class Throttle:
    """Counts wrong codes a client. Holds only in memory: a restart forgives."""

    def __init__(self) -> None:
        self._until: dict[str, float] = {}

    def wait_s(self, client: str, now_s: float) -> float:
        """How long this client has to wait before the next code is looked at; 0 is now."""
        allowance = BURST * SECONDS_A_TRY
        return max(0.0, self._until.get(_group(client), 0.0) - now_s - allowance + SECONDS_A_TRY)

    def wrong(self, client: str, now_s: float) -> None:
        """A wrong code came from this client."""
        group = _group(client)
        if len(self._until) >= MOST_CLIENTS:
            self._until = {each: until for each, until in self._until.items() if until > now_s}
            if len(self._until) >= MOST_CLIENTS:
                del self._until[next(iter(self._until))]
        self._until[group] = max(self._until.get(group, 0.0), now_s) + SECONDS_A_TRY


def _group(client: str) -> str:
    """One household of addresses: an IPv6 client has a whole /64 to itself."""
    try:
        address = ipaddress.ip_address(client)
    except ValueError:
        return client
    if isinstance(address, ipaddress.IPv6Address):
        return str(address.ipv4_mapped or ipaddress.ip_network((int(address) >> 64 << 64, 64)))
    return client
