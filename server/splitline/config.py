"""What `serve` can be told: by option, by SPLITLINE_... in the environment, or left at its default."""

from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_network
from pathlib import Path

from splitline.errors import Problem, Unusable
from splitline.logs import FORMS, LogForm
from splitline.store.address import sqlite_file, with_driver

PREFIX = "SPLITLINE_"
NOBODY = "none"
MOST_A_MINUTE = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Settings:
    """Where to listen, where the data lies, how to log, how much one may ask for.

    database, photos: URLs, ready for SQLAlchemy and obstore. tls_cert, tls_key: PEM files, both or neither.
    requests_a_minute: from one address; records_a_minute: with one secret; 0 for no limit. trusted_proxies: networks
    whose word on whom they ask for is taken. exchange: the keeper's own table of what the layers exchange.
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

    @property
    def secure(self) -> bool:
        """Whether the server itself does https."""
        return self.tls_cert is not None

    def proxies(self) -> list[str]:
        """Return the networks of the trusted proxies."""
        return [] if self.trusted_proxies == NOBODY else self.trusted_proxies.split(",")

    def environment(self) -> dict[str, str]:
        """Return the settings as environment variables, the way to hand them to worker processes."""
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
        }
        return {PREFIX + name.upper(): value for name, value in values.items()}


def settings(options: Mapping[str, object], environment: Mapping[str, str]) -> Settings:
    """Return the settings; an option that is None was not given. Raises `Unusable` with everything that is wrong."""
    found: list[Problem] = []

    def chosen(name: str, default: str) -> str:
        option = options.get(name)
        return str(option) if option is not None else environment.get(PREFIX + name.upper()) or default

    data, exchange = Path(chosen("data", "data")), chosen("exchange", "")
    answer = Settings(
        host=chosen("host", "127.0.0.1"),
        port=_whole("port", chosen("port", "8484"), 0, 65535, found),
        data=data,
        database=_database(chosen("database", f"sqlite:///{data / 'splitline.sqlite3'}"), found),
        photos=chosen("photos", str(data / "photos")),
        workers=_whole("workers", chosen("workers", "1"), 1, 64, found),
        demo=bool(options.get("demo")) or _yes(environment.get(PREFIX + "DEMO", ""), found),
        log=_log_form(chosen("log", "text"), found),
        tls_cert=_file("tls_cert", chosen("tls_cert", ""), found),
        tls_key=_file("tls_key", chosen("tls_key", ""), found),
        requests_a_minute=_whole("requests_a_minute", chosen("requests_a_minute", "1200"), 0, MOST_A_MINUTE, found),
        records_a_minute=_whole("records_a_minute", chosen("records_a_minute", "6000"), 0, MOST_A_MINUTE, found),
        trusted_proxies=_networks(chosen("trusted_proxies", "127.0.0.1,::1"), found),
        exchange=Path(exchange) if exchange else None,
    )
    found = found or _misfits(answer)
    if found:
        raise Unusable(found)
    return answer


def _misfits(answer: Settings) -> list[Problem]:
    """Return which settings are right alone and wrong together."""
    found: list[Problem] = []
    if (answer.tls_cert is None) != (answer.tls_key is None):
        found.append(Problem("setting_pair", "tls_key" if answer.tls_cert else "tls_cert"))
    if answer.workers > 1 and answer.database.startswith("sqlite"):
        found.append(Problem("setting_workers", "workers", str(answer.workers)))
    return found + _not_folders(answer)


def _not_folders(answer: Settings) -> list[Problem]:
    """Return the folders that cannot be one, because a file has the name, and a database that is a folder."""
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
    """Networks parted by commas, each as its address or as address/bits."""
    if text.strip().lower() == NOBODY:
        return NOBODY
    networks = [part.strip() for part in text.split(",")]
    for network in networks:
        try:
            ip_network(network)
        except ValueError:
            found.append(Problem("setting_choice", "trusted_proxies", network, f"10.0.0.7, 10.0.0.0/24, {NOBODY}"))
    return ",".join(networks)


def _database(text: str, found: list[Problem]) -> str:
    try:
        return with_driver(text)
    except Unusable as fault:
        found += fault.problems
        return text
