"""The operator's choice of tile server for map pictures; the app asks no other."""

from urllib.parse import urlsplit

EXAMPLE = "https://tiles.example.org/{z}/{x}/{y}.png"
PLACEHOLDERS = ("{z}", "{x}", "{y}")


def origin_of(address: str) -> str:
    """Return scheme, host and port of a tile server, as used in a Content-Security-Policy.

    address: URL of one tile, with {z}, {x} and {y} after the host. Raises ValueError for any other.
    """
    parts = urlsplit(address)
    plain = parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in ("localhost", "127.0.0.1"))
    behind = address.partition(parts.netloc)[2]
    if not (plain and parts.hostname and all(place in behind for place in PLACEHOLDERS)):
        raise ValueError(address)
    # Reject anything that a policy would read as more than one host.
    if any(sign in parts.netloc for sign in "{}*@;, '\"") or (parts.port is None and parts.netloc.endswith(":")):
        raise ValueError(address)
    return f"{parts.scheme}://{parts.netloc}"
