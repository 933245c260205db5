"""A tile server of real maps that the keeper names: the app asks there for pictures, and nobody else is asked."""

from urllib.parse import urlsplit

EXAMPLE = "https://tiles.example.org/{z}/{x}/{y}.png"
PLACES = ("{z}", "{x}", "{y}")


def origin_of(address: str) -> str:
    """Return scheme, host and port of a tile server's address, as a Content-Security-Policy names them.

    address: of one picture, with {z}, {x} and {y} behind the host. Raises ValueError for any other.
    """
    parts = urlsplit(address)
    plain = parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in ("localhost", "127.0.0.1"))
    behind = address.partition(parts.netloc)[2]
    if not (plain and parts.hostname and all(place in behind for place in PLACES)):
        raise ValueError(address)
    # Nothing that a policy would take for more than one host.
    if any(sign in parts.netloc for sign in "{}*@;, '\"") or (parts.port is None and parts.netloc.endswith(":")):
        raise ValueError(address)
    return f"{parts.scheme}://{parts.netloc}"
