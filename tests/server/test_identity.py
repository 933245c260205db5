"""Identity: what is published of a secret, against digests computed by coreutils."""

import subprocess

import pytest

from splitline.identity import identity_of

SECRET = "00" * 31 + "01"


def sha256sum(data: bytes) -> str:
    done = subprocess.run(["sha256sum"], input=data, capture_output=True, check=True)
    return done.stdout.split()[0].decode()


def test_the_id_is_the_digest_of_the_digest_of_the_secret() -> None:
    digest = sha256sum(bytes.fromhex(SECRET))
    identity = identity_of(SECRET)
    assert identity is not None
    assert identity.secret_digest == digest
    assert identity.id == sha256sum(bytes.fromhex(digest))[:16]


@pytest.mark.parametrize("secret", ["", "00", SECRET[:-1], SECRET + "0", SECRET + "\n", "g" * 64, "A" * 64, "٠" * 64])
def test_anything_else_is_no_secret(secret: str) -> None:
    assert identity_of(secret) is None
