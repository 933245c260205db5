"""Identity: what is published about a secret, against digests computed by coreutils."""

import re
import subprocess

import pytest

from splitline.identity import identity_of, pseudonym, tube_pseudonym
from splitline.records import UUID_V7

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
def test_anything_else_is_refused_as_a_secret(secret: str) -> None:
    assert identity_of(secret) is None


def openssl(digest: str, message: str) -> str:
    command = ["openssl", "dgst", "-sha256", "-mac", "HMAC", "-macopt", f"hexkey:{digest}", "-r"]
    done = subprocess.run(command, input=message.encode(), capture_output=True, check=True)
    return done.stdout.split()[0].decode()


def test_a_pseudonym_is_keyed_with_the_digest_of_the_secret() -> None:
    digest = sha256sum(bytes.fromhex(SECRET))
    found = [pseudonym(digest, region, year) for region in ("FR-63", "FR-15") for year in (2025, 2026)]
    said = [openssl(digest, f"{region} {year}")[:16] for region in ("FR-63", "FR-15") for year in (2025, 2026)]
    assert found == said
    assert len(set(found)) == 4


def test_a_tube_has_another_id_in_every_region_and_year() -> None:
    digest, tube = sha256sum(bytes.fromhex(SECRET)), "01990000-0000-7000-8000-000002000000"
    found = tube_pseudonym(digest, "FR-63", 2026, tube)
    assert re.fullmatch(UUID_V7, found)
    said = openssl(digest, f"FR-63 2026 {tube}")
    assert found.replace("-", "")[:12] == said[:12]
    assert found[-12:] == said[20:32]
    assert len({found, tube_pseudonym(digest, "FR-63", 2025, tube), tube_pseudonym(digest, "FR-15", 2026, tube)}) == 3
