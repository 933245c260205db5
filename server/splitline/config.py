"""Settings of `serve`: from an option, from SPLITLINE_... in the environment, or the default."""

from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import IPv4Network, IPv6Network, ip_network
from pathlib import Path
from urllib.parse import urlsplit

from splitline.errors import Problem, Unusable
from splitline.logs import FORMS, LogForm
from splitline.store.address import sqlite_file, with_driver
from splitline.tiles import EXAMPLE, origin_of

PREFIX = "SPLITLINE_"
NOBODY = "none"
MOST_A_MINUTE = 1_000_000_000
EVERYWHERE = ("0.0.0.0", "::")

Network = IPv4Network | IPv6Network


@dataclass(frozen=True, slots=True)
class Settings:
    """Addresses, data locations, logging and limits.

    database, photos: URLs, ready for SQLAlchemy and obstore. tls_cert, tls_key: PEM files, both or neither.
    requests_a_minute: per address; records_a_minute: per secret; 0 for no limit. trusted_proxies: networks whose
    forwarding headers are believed. exchange: the operator's own table of exchange between the layers. operations: host
    and port for the operator; empty for none. connections_per_address: open at once, in each worker; 0 for no limit.
    header_bytes, header_seconds: limits on a request's headers. tiles, tiles_attribution: URL of map tiles and who made
    them; both or neither.
    """

    host: str
    port: int
    data: Path
    database: str
    photos: str
    workers: int
    demo: bool
    log: LogForm
    tls_cert: Path | None
    tls_key: Path | None
    requests_a_minute: int
    records_a_minute: int
    trusted_proxies: str
    exchange: Path | None
    operations: str
    connections_per_address: int
    header_bytes: int
    header_seconds: int
    tiles: str
    tiles_attribution: str

    @property
    def secure(self) -> bool:
        """Whether the server itself speaks HTTPS."""
        return self.tls_cert is not None

    def proxies(self) -> list[str]:
        """Return the networks of the trusted proxies."""
        return [] if self.trusted_proxies == NOBODY else self.trusted_proxies.split(",")

    def networks(self) -> list[Network]:
        """Return the same networks in a form for looking up addresses."""
        return [ip_network(network) for network in self.proxies()]

    def is_operations(self, host: str, port: int | None) -> bool:
        """Whether a connection came in at the operations address."""
        if not self.operations:
            return False
        own_host, own_port = host_and_port(self.operations)
        return own_port == port and own_host in (host, *EVERYWHERE)

    def environment(self) -> dict[str, str]:
        """Return the settings as environment variables, which is how worker processes get them."""
        values = {
            "host": self.host,
            "port": str(self.port),
            "data": str(self.data),
            "database": self.database,
            "photos": self.photos,
            "workers": str(self.workers),
            "demo": "1" if self.demo else "0",
            "log": self.log,
            "tls_cert": str(self.tls_cert or ""),
            "tls_key": str(self.tls_key or ""),
            "requests_a_minute": str(self.requests_a_minute),
            "records_a_minute": str(self.records_a_minute),
            "trusted_proxies": self.trusted_proxies,
            "exchange": str(self.exchange or ""),
            "operations": self.operations,
            "connections_per_address": str(self.connections_per_address),
            "header_bytes": str(self.header_bytes),
            "header_seconds": str(self.header_seconds),
            "tiles": self.tiles,
            "tiles_attribution": self.tiles_attribution,
        }
        return {PREFIX + name.upper(): value for name, value in values.items()}


def settings(options: Mapping[str, object], environment: Mapping[str, str]) -> Settings:
    """Return the settings; None means that the option was not given. Raises `Unusable` with every fault found."""
    found: list[Problem] = []

    def chosen(name: str, default: str) -> str:
        option = options.get(name)
        return str(option) if option is not None else environment.get(PREFIX + name.upper()) or default

    def whole(name: str, default: str, least: int, most: int) -> int:
        return _whole(name, chosen(name, default), least, most, found)

    data, exchange = Path(chosen("data", "data")), chosen("exchange", "")
    answer = Settings(
        host=chosen("host", "127.0.0.1"),
        port=whole("port", "8484", 0, 65535),
        data=data,
        database=_database(chosen("database", f"sqlite:///{data / 'splitline.sqlite3'}"), found),
        photos=chosen("photos", str(data / "photos")),
        workers=whole("workers", "1", 1, 64),
        demo=bool(options.get("demo")) or _yes(environment.get(PREFIX + "DEMO", ""), found),
        log=_log_form(chosen("log", "text"), found),
        tls_cert=_file("tls_cert", chosen("tls_cert", ""), found),
        tls_key=_file("tls_key", chosen("tls_key", ""), found),
        requests_a_minute=whole("requests_a_minute", "1200", 0, MOST_A_MINUTE),
        records_a_minute=whole("records_a_minute", "6000", 0, MOST_A_MINUTE),
        trusted_proxies=_networks(chosen("trusted_proxies", "127.0.0.1,::1"), found),
        exchange=Path(exchange) if exchange else None,
        operations=_address("operations", chosen("operations", ""), found),
        connections_per_address=whole("connections_per_address", "100", 0, 100_000),
        header_bytes=whole("header_bytes", "16384", 8192, 1_048_576),
        header_seconds=whole("header_seconds", "10", 1, 600),
        tiles=_tiles(chosen("tiles", ""), found),
        tiles_attribution=chosen("tiles_attribution", ""),
    )
    found = found or _misfits(answer)
    if found:
        raise Unusable(found)
    return answer


def _misfits(answer: Settings) -> list[Problem]:
    """Return the settings that are valid alone but not together."""
    found: list[Problem] = []
    if (answer.tls_cert is None) != (answer.tls_key is None):
        found.append(Problem("setting_pair", "tls_key" if answer.tls_cert else "tls_cert"))
    if bool(answer.tiles) != bool(answer.tiles_attribution):
        found.append(Problem("setting_tiles_pair", "tiles_attribution" if answer.tiles else "tiles"))
    if answer.workers > 1 and answer.database.startswith("sqlite"):
        found.append(Problem("setting_workers", "workers", str(answer.workers)))
    return found + _not_folders(answer)


def _not_folders(answer: Settings) -> list[Problem]:
    """Return folders that cannot be made because a file has the name, and a database path that is a folder."""
    database = sqlite_file(answer.database)
    folders = {
        "data": answer.data,
        "database": database.parent if database else None,
        "photos": None if "://" in answer.photos else Path(answer.photos),
    }
    in_the_way: dict[Path, Problem] = {}
    for name, folder in folders.items():
        for file in [folder, *folder.parents] if folder else []:
            if file.exists() and not file.is_dir():
                in_the_way.setdefault(file, Problem("setting_folder", name, str(folder), str(file)))
    found = list(in_the_way.values())
    if database and database.is_dir():
        found.append(Problem("setting_database", "database", str(database)))
    return found


def _whole(name: str, text: str, least: int, most: int, found: list[Problem]) -> int:
    try:
        value = int(text)
    except ValueError:
        value = least - 1
    if not least <= value <= most:
        found.append(Problem("setting_range", name, text, f"{least}..{most}"))
    return value


def _yes(text: str, found: list[Problem]) -> bool:
    if text.lower() not in ("", "0", "no", "false", "1", "yes", "true"):
        found.append(Problem("setting_choice", "demo", text, "1, 0"))
    return text.lower() in ("1", "yes", "true")


def _log_form(text: str, found: list[Problem]) -> LogForm:
    for form in FORMS:
        if text == form:
            return form
    found.append(Problem("setting_choice", "log", text, ", ".join(FORMS)))
    return FORMS[0]


def _file(name: str, text: str, found: list[Problem]) -> Path | None:
    if text and not Path(text).is_file():
        found.append(Problem("setting_file", name, text))
    return Path(text) if text else None


def _networks(text: str, found: list[Problem]) -> str:
    """Parse networks separated by commas, each as address or address/bits."""
    if text.strip().lower() == NOBODY:
        return NOBODY
    networks = [part.strip() for part in text.split(",")]
    for network in networks:
        try:
            ip_network(network)
        except ValueError:
            found.append(Problem("setting_choice", "trusted_proxies", network, f"10.0.0.7, 10.0.0.0/24, {NOBODY}"))
    return ",".join(networks)


def host_and_port(text: str) -> tuple[str, int]:
    """Split HOST:PORT; an IPv6 host is in brackets. Raises ValueError if host or port (0 to 65535) is missing."""
    parts = urlsplit(f"//{text}")
    if not parts.hostname or parts.port is None or parts.netloc != text:
        raise ValueError(text)
    return parts.hostname, parts.port


def _address(name: str, text: str, found: list[Problem]) -> str:
    try:
        if text:
            host_and_port(text)
    except ValueError:
        found.append(Problem("setting_address", name, text, "127.0.0.1:9090"))
    return text


def _tiles(text: str, found: list[Problem]) -> str:
    try:
        if text:
            origin_of(text)
    except ValueError:
        found.append(Problem("setting_tiles", "tiles", text, EXAMPLE))
    return text


def _database(text: str, found: list[Problem]) -> str:
    try:
        return with_driver(text)
    except Unusable as fault:
        found += fault.problems
        return text
