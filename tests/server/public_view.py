"""The public view of a person's records, written from the API description alone, for comparison in tests."""

import hmac

from helpers.examples import Json
from splitline.identity import Identity


def keyed(who: Identity, message: str) -> bytes:
    return hmac.new(bytes.fromhex(who.secret_digest), message.encode(), "sha256").digest()


def called(who: Identity, region: str, year: int) -> str:
    """A person's pseudonym in a region and calendar year."""
    return keyed(who, f"{region} {year}").hex()[:16]


def noon(time: str) -> str:
    return f"{time[:10]}T12:00:00Z"


def tube(of: Json, who: Identity, region: str, year: int) -> Json:
    """A tube under its pseudonym, without its calibration and offset."""
    text = keyed(who, f"{region} {year} {of['id']}").hex()[:32]
    variant = f"{0x8 | int(text[16], 16) & 0x3:x}"
    name = "-".join((text[:8], text[8:12], "7" + text[13:16], variant + text[17:20], text[20:]))
    private = ("calibration", "offset", "offset_uncertainty", "offset_content")
    return {field: value for field, value in {**of, "id": name}.items() if field not in private}


def record(of: Json, who: Identity, region: str) -> Json:
    """A record with every field that it has from the start, as the server publishes it."""
    if of["kind"] == "source":
        return {**of, "recorded_at": noon(of["recorded_at"])}
    year = int(of["sampled_at"][:4])
    runs = [{**run, "tube": tube(run["tube"], who, region, year)} if run.get("tube") else run for run in of["runs"]]
    times = {name: noon(of[name]) for name in ("sampled_at", "tested_at")}
    return {**of, **times, "tube": tube(of["tube"], who, region, year), "runs": runs}


def year_of(of: Json) -> int:
    """The year of a record, which decides its contributor's pseudonym."""
    return int(of["sampled_at" if of["kind"] == "test" else "recorded_at"][:4])
