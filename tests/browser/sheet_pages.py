"""What belongs on the screenshot sheet: every address of the app in every state."""

import re
from collections.abc import Mapping

SCHEMES = ("light", "dark", "sunlight")
WIDTHS = (320, 360, 768, 1280)
# For the suite, which draws one of these of each screen, in turn; the script takes all twelve combinations.
FEW = (("sunlight", 320), ("light", 360), ("dark", 768), ("light", 1280))
ALL = tuple((scheme, width) for width in WIDTHS for scheme in SCHEMES)

STATES = ("empty", "loading", "error", "filled", "offline", "held", "conflict")

# A star replaces an id or a code.
ADDRESSES = (
    "test",
    "test/correct/*",
    "method",
    "sources",
    "sources/map",
    "source/new",
    "source/*",
    "source/*/record",
    "region/*",
    "fuel",
    "fuel/tank",
    "fuel/vehicle",
    "fuel/vehicle/new",
    "fuel/reach",
    "fuel/sensor",
    "fuel/heel",
    "fuel/engine",
    "fuel/fill",
    "fuel/fills",
    "fuel/can/new",
    "fuel/can/*",
    "fuel/can/*/label",
    "log",
    "log/*",
    "tubes",
    "tubes/new",
    "tubes/*",
    "tubes/*/edit",
    "tubes/*/weigh",
    "tubes/*/scale",
    "tubes/*/sample",
    "settings",
    "settings/files",
    "settings/move",
    "settings/regions",
    "repair",
    "nowhere",
)
# Addresses that only redirect to one of these.
PASSAGES = ("test/with/*", "test/with/*/can")

CALL = re.compile(r"\b(?:to\(|go\(\[)((?:[^()\[\]]|\([^()]*\))*)[)\]]")
PLACES = re.compile(r"const SCREENS[^{]*\{(.*?)\}", re.DOTALL)


def addresses_in(source: str) -> set[str]:
    """Every address that a file of the app links to, with a star for variable parts."""
    found = set()
    for arguments in CALL.findall(source):
        parts = [part.strip() for part in arguments.split(",") if part.strip()]
        if parts and re.fullmatch(r'"[a-z]+"', parts[0]):
            found.add("/".join(part[1:-1] if re.fullmatch(r'"[a-z]+"', part) else "*" for part in parts))
    return found


def places_in(frame: str) -> set[str]:
    """The first part of every address that the app shell has a screen for."""
    (listed,) = PLACES.findall(frame)
    return set(re.findall(r"(\w+):", listed))


def missing(sources: Mapping[str, str], frame: str) -> list[str]:
    """Addresses in the app that are not on the sheet."""
    shown = {*ADDRESSES, *PASSAGES}
    led = {address: path for path, source in sources.items() for address in addresses_in(source)}
    first = {address.split("/")[0] for address in ADDRESSES}
    return [f"{path} leads to {address}" for address, path in sorted(led.items()) if address not in shown] + [
        f"nothing of {place} is shown" for place in sorted(places_in(frame) - first)
    ]
