"""What a keeper starts a server with, read as the programs read it: container file, compose file, unit, proxy."""

import json
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

TOP = Path(__file__).parents[3]
DEPLOY = TOP / "server" / "deploy"
VARIABLE = re.compile(r"\$\{(\w+):\?[^}]*\}")


@dataclass
class Stage:
    """One stage of a container file. steps: instruction and what follows it, in their order."""

    name: str
    steps: list[tuple[str, str]] = field(default_factory=list)

    def last(self, instruction: str) -> str:
        """What follows the last such instruction."""
        return [rest for name, rest in self.steps if name == instruction][-1]

    @property
    def environment(self) -> dict[str, str]:
        """What ENV sets."""
        words = [word for name, rest in self.steps if name == "ENV" for word in shlex.split(rest)]
        return dict(word.split("=", 1) for word in words)

    @property
    def health(self) -> list[str]:
        """The command of the health check."""
        return list(json.loads(self.last("HEALTHCHECK").split("CMD", 1)[1]))

    @property
    def command(self) -> list[str]:
        """What the container runs."""
        return list(json.loads(self.last("CMD")))


def stages() -> list[Stage]:
    """The container file."""
    text = (DEPLOY / "Dockerfile").read_text(encoding="utf-8")
    lines = [line for line in re.sub(r"\\\n\s*", "", text).splitlines() if line and not line.startswith("#")]
    found: list[Stage] = []
    for line in lines:
        instruction, rest = line.split(maxsplit=1)
        if instruction == "FROM":
            found.append(Stage(rest.partition(" AS ")[2]))
        else:
            found[-1].steps.append((instruction, rest))
    return found


def services(secrets: dict[str, str]) -> dict[str, Any]:
    """The services of the compose file, secrets put in. Raises KeyError for one that is asked for and not given."""
    text = (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
    return dict(yaml.safe_load(VARIABLE.sub(lambda found: secrets[found[1]], text))["services"])


def unit() -> Iterator[tuple[str, str]]:
    """The settings of the unit."""
    for line in (DEPLOY / "splitline.service").read_text(encoding="utf-8").splitlines():
        if "=" in line and not line.startswith("#"):
            name, value = line.split("=", 1)
            yield name, value


def unit_environment() -> dict[str, str]:
    """What the unit sets for the server."""
    words = [word for name, value in unit() if name == "Environment" for word in shlex.split(value)]
    return dict(word.split("=", 1) for word in words)


def locked(name: str) -> dict[str, list[tuple[str, list[str]]]]:
    """The packages of a lock: for each its versions, with the hashes of their files."""
    text = (DEPLOY / name).read_text(encoding="utf-8").replace("\\\n", " ")
    found: dict[str, list[tuple[str, list[str]]]] = {}
    for line in text.splitlines():
        if match := re.match(r"([\w.-]+)==(\S+)", line):
            found.setdefault(match[1], []).append((match[2], re.findall(r"--hash=sha256:([0-9a-f]{64})\b", line)))
    return found
