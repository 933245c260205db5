"""Contributors: identified by a secret made on the phone, of which the server stores only a digest.

Only a phone, its server and the operator know the id. Everyone else sees pseudonyms that differ by region and calendar
year, so that nobody can follow a person across regions or years. The pseudonyms are keyed with the digest of the
secret, which is never published; a phone derives its own from its secret. Its counterpart is `pwa/src/identity.ts`.
"""

import hmac
import re
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from uuid import UUID

from splitline.errors import Problem, Unusable

SECRET = re.compile("[0-9a-f]{64}")
# The version and variant bits of a UUID (RFC 9562), and their values in version 7.
FIXED = 0xF << 76 | 0b11 << 62
VERSION_7 = 0x7 << 76 | 0b10 << 62
BOUND_BITS = 42


@dataclass(frozen=True, slots=True)
class Identity:
    """A contributor. id: 16 hex digits, for the operator and the contributor's phones; secret_digest: SHA-256, hex."""

    id: str
    secret_digest: str


class SecretTaken(Unusable):
    """Another secret already has this contributor id: a chance of one in 2^64, or an attack."""

    def __init__(self) -> None:
        super().__init__([Problem("secret_taken", "Authorization")])


def identity_of(secret: str) -> Identity | None:
    """Return the contributor behind a secret of 64 lower-case hex digits, or None for anything else.

    The id is the start of SHA-256(SHA-256(secret)): it reveals neither the secret nor the stored digest.
    """
    if not SECRET.fullmatch(secret):
        return None
    digest = sha256(bytes.fromhex(secret))
    return Identity(sha256(digest.digest()).hexdigest()[:16], digest.hexdigest())


@lru_cache(maxsize=8192)
def pseudonym(secret_digest: str, region: str, year: int) -> str:
    """Return a contributor's public pseudonym, 16 hex digits: different in every region and calendar year."""
    return _keyed(secret_digest, f"{region} {year}")[:8].hex()


@lru_cache(maxsize=8192)
def tube_pseudonym(secret_digest: str, region: str, year: int, tube: str) -> str:
    """Return the public pseudonym of a contributor's tube, in the form of an id (UUID version 7) that it never had."""
    number = int.from_bytes(_keyed(secret_digest, f"{region} {year} {tube}")[:16])
    return str(UUID(int=number & ~FIXED | VERSION_7))


def bound(record: str, secret_digest: str) -> str:
    """Return an id (UUID version 7) whose last 42 bits only the holder of a secret can derive from the rest.

    When two people claim a record, the server can tell which of them made its id. An id without such bits is just as
    valid; nobody has to make them.
    """
    number = UUID(record).int
    rest = number - number % (1 << BOUND_BITS)
    digest = hmac.digest(bytes.fromhex(secret_digest), rest.to_bytes(16), "sha256")
    return str(UUID(int=rest | int.from_bytes(digest[:8]) >> (64 - BOUND_BITS)))


def is_bound(record: str, secret_digest: str) -> bool:
    """Whether a record's id was made with a secret; one id in 2^42 matches by chance."""
    return bound(record, secret_digest) == record


def _keyed(secret_digest: str, message: str) -> bytes:
    return hmac.digest(bytes.fromhex(secret_digest), message.encode(), "sha256")
