"""Cursors: how far a device has read, in a number that tells nothing.

A place in the log counts every note before it, also those the seat may not read: two places a minute apart would say
how much others wrote in between. So a device is given the place encrypted: a permutation of all 52-bit numbers, one for
each seat, keyed by the show's secret. The same place is always the same cursor, so nothing has to be remembered, and a
cursor of another seat, another show or an older log leads far beyond the end, from where reading begins again.

The permutation is a Feistel network: each round mixes one half, hashed under the key, into the other, and undoing it
needs no inverse of the hash. Four rounds with a good hash are a sound block cipher (Luby and Rackoff 1988); with halves
as short as these we take eight.
"""

from __future__ import annotations

from functools import lru_cache
from hashlib import blake2b

HALF_BITS = 26
MASK = (1 << HALF_BITS) - 1
ROUNDS = 8
BEGINNING = 0
AT_MOST = 1 << 2 * HALF_BITS  # cursors are 0 and 1 to this: whole numbers every JSON reader keeps exactly


class Cursors:
    """The cursors of one show."""

    def __init__(self, secret: str) -> None:
        """From the show's secret, which only the server has."""
        self._secret = secret
        self._keys: dict[str, bytes] = {}

    def cursor(self, seat: str, place: int) -> int:
        """The cursor of a place in the log: how many notes are before it, 0 to 2^52 - 1.

        >>> Cursors("secret").cursor("judge-a", 0)
        0
        """
        if place == BEGINNING:
            return BEGINNING
        left, right = place >> HALF_BITS, place & MASK
        key = self._key(seat)
        for number in range(ROUNDS):
            left, right = right, left ^ _mixed(key, number, right)
        return (left << HALF_BITS | right) + 1

    def place(self, seat: str, cursor: int) -> int:
        """The place of a cursor, 0 for one that can't be. A cursor that was never given leads anywhere."""
        if not BEGINNING < cursor <= AT_MOST:
            return BEGINNING
        left, right = cursor - 1 >> HALF_BITS, cursor - 1 & MASK
        key = self._key(seat)
        for number in reversed(range(ROUNDS)):
            left, right = right ^ _mixed(key, number, left), left
        return left << HALF_BITS | right

    def opaque(self, seat: str, text: str) -> str:
        """A short text that stands for another one: equal where it is equal, and telling nothing else."""
        return blake2b(text.encode(), key=self._key(seat), digest_size=8, person=b"opaque").hexdigest()

    def _key(self, seat: str) -> bytes:
        key = self._keys.get(seat)
        if key is None:
            # The secret goes through the hash whatever its length; a key of blake2b has at most 64 bytes.
            digest = blake2b(seat.encode(), key=blake2b(self._secret.encode()).digest(), digest_size=32)
            key = self._keys[seat] = digest.digest()
        return key


@lru_cache(maxsize=4096)
def _mixed(key: bytes, number: int, half: int) -> int:
    data = number.to_bytes(1, "big") + half.to_bytes(4, "big")
    return int.from_bytes(blake2b(data, key=key, digest_size=4, person=b"cursor").digest(), "big") & MASK
