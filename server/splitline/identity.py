"""Who sends: a secret made on the phone, of which the server keeps only a digest."""

import re
from dataclasses import dataclass
from hashlib import sha256

from splitline.errors import Problem, Unusable

SECRET = re.compile("[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Identity:
    """A contributor. id: 16 hex digits shown to everyone; secret_digest: SHA-256 of the secret, hex."""

    id: str
    secret_digest: str


class SecretTaken(Unusable):
    """Another secret has this contributor's id already: one in 2^64, or somebody who tries."""

    def __init__(self) -> None:
        super().__init__([Problem("secret_taken", "Authorization")])


def identity_of(secret: str) -> Identity | None:
    """Return the contributor behind a secret of 64 lower-case hex digits, or None for anything else.

    The id is the start of SHA-256(SHA-256(secret)): it can be published without giving the kept digest away.
    """
    if not SECRET.fullmatch(secret):
        return None
    digest = sha256(bytes.fromhex(secret))
    return Identity(sha256(digest.digest()).hexdigest()[:16], digest.hexdigest())
