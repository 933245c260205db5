"""Settings: option before environment before default, and all faults reported."""

from pathlib import Path

import pytest

from splitline.config import settings
from splitline.errors import Unusable


def test_defaults_are_used_when_nothing_is_set() -> None:
    what = settings({}, {})
    assert (what.host, what.port, what.workers, what.demo) == ("127.0.0.1", 8484, 1, False)
    assert what.database == "sqlite+aiosqlite:///data/splitline.sqlite3"
    assert what.photos == "data/photos"


def test_every_option_can_come_from_the_environment() -> None:
    what = settings({}, {"SPLITLINE_PORT": "9000", "SPLITLINE_DATA": "/srv/fuel", "SPLITLINE_DEMO": "1"})
    assert (what.port, what.data, what.demo) == (9000, Path("/srv/fuel"), True)
    assert what.database == "sqlite+aiosqlite:////srv/fuel/splitline.sqlite3"


def test_an_option_overrides_the_environment() -> None:
    assert settings({"port": "1", "host": None}, {"SPLITLINE_PORT": "2"}).port == 1


@pytest.mark.parametrize("scheme", ["postgres", "postgresql", "postgresql+asyncpg"])
def test_a_plain_postgresql_address_gets_its_driver(scheme: str) -> None:
    what = settings({"database": f"{scheme}://club:p%40ss@db/fuel"}, {})
    assert what.database == "postgresql+asyncpg://club:p%40ss@db/fuel"


def test_settings_reach_a_worker_unchanged() -> None:
    where = {"database": "postgresql://db/fuel", "photos": "s3://pictures/here"}
    own = {"exchange": "table.json", "trusted_proxies": "none", "operations": "[::1]:9090", "header_seconds": "7"}
    own |= {"connections_per_address": "0", "header_bytes": "9000"}
    own |= {"tiles": "https://tiles.example.org/{z}/{x}/{y}.png", "tiles_attribution": "Invented Maps"}
    what = settings({"port": "1234", "workers": "3", "demo": True, **own, **where}, {})
    assert what.exchange == Path("table.json")
    assert settings({}, what.environment()) == what


def test_trusted_proxies_are_parsed() -> None:
    assert settings({}, {}).proxies() == ["127.0.0.1", "::1"]
    assert settings({"trusted_proxies": "none"}, {}).proxies() == []
    assert settings({"trusted_proxies": "10.0.0.0/24, 192.0.2.1"}, {}).proxies() == ["10.0.0.0/24", "192.0.2.1"]
    with pytest.raises(Unusable, match="setting_choice trusted_proxies"):
        settings({"trusted_proxies": "10.0.0.7/24"}, {})


def test_the_operations_address_is_parsed() -> None:
    assert not settings({}, {}).is_operations("127.0.0.1", 9090)
    one, every = settings({"operations": "[::1]:9090"}, {}), settings({"operations": "0.0.0.0:9090"}, {})
    assert (one.is_operations("::1", 9090), one.is_operations("::1", 9091), one.is_operations("::2", 9090)) == (
        *(True, False, False),
    )
    assert (every.is_operations("192.0.2.7", 9090), every.is_operations("192.0.2.7", 9091)) == (True, False)
    for wrong in ("9090", "host", "host:", ":9090", "host:70000", "host:1/x", "::1:9090"):
        with pytest.raises(Unusable, match="setting_address operations"):
            settings({"operations": wrong}, {})


@pytest.mark.parametrize(
    "address",
    [
        "tiles.example.org/{z}/{x}/{y}.png",
        "http://tiles.example.org/{z}/{x}/{y}.png",
        "https://tiles.example.org/{z}/{x}.png",
        "https://{s}.tiles.example.org/{z}/{x}/{y}.png",
        "https://{z}.example.org/{x}/{y}.png",
        "https://*.example.org/{z}/{x}/{y}.png",
        "https://tiles.example.org;script-src/{z}/{x}/{y}.png",
        "https://tiles.example.org:https/{z}/{x}/{y}.png",
    ],
)
def test_a_map_tile_address_names_one_host(address: str) -> None:
    with pytest.raises(Unusable, match="setting_tiles tiles"):
        settings({"tiles": address, "tiles_attribution": "Invented Maps"}, {})


def test_map_tiles_need_an_attribution() -> None:
    with pytest.raises(Unusable, match="setting_tiles_pair tiles_attribution"):
        settings({"tiles": "https://tiles.example.org/{z}/{x}/{y}.png"}, {})
    with pytest.raises(Unusable, match="setting_tiles_pair tiles"):
        settings({"tiles_attribution": "Invented Maps"}, {})


def test_all_faults_are_listed_without_passwords() -> None:
    with pytest.raises(Unusable) as raised:
        settings({"port": "99999", "workers": "0", "database": "mysql://me:hush@db/x"}, {"SPLITLINE_DEMO": "maybe"})
    assert [(p.code, p.field) for p in raised.value.problems] == [
        ("setting_range", "port"),
        ("database_url", "database"),
        ("setting_range", "workers"),
        ("setting_choice", "demo"),
    ]
    assert "hush" not in str(raised.value.problems)


def test_several_workers_need_postgresql() -> None:
    with pytest.raises(Unusable, match="setting_workers workers"):
        settings({}, {"SPLITLINE_WORKERS": "2"})
    assert settings({"database": "postgresql://db/fuel"}, {"SPLITLINE_WORKERS": "2"}).workers == 2


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///:memory:", "not a url"])
def test_an_in_memory_database_is_refused(url: str) -> None:
    with pytest.raises(Unusable):
        settings({"database": url}, {})
