"""The deployment files, parsed as their programs read them: container file, compose file, unit, proxy."""

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
    """One stage of a container file. steps: instructions and their arguments, in order."""

    name: str
    steps: list[tuple[str, str]] = field(default_factory=list)

    def last(self, instruction: str) -> str:
        """The arguments of the last such instruction."""
        return [rest for name, rest in self.steps if name == instruction][-1]

    @property
    def environment(self) -> dict[str, str]:
        """The variables that ENV sets."""
        words = [word for name, rest in self.steps if name == "ENV" for word in shlex.split(rest)]
        return dict(word.split("=", 1) for word in words)

    @property
    def health(self) -> list[str]:
        """The health check's command."""
        return list(json.loads(self.last("HEALTHCHECK").split("CMD", 1)[1]))

    @property
    def command(self) -> list[str]:
        """What the container runs."""
        return list(json.loads(self.last("CMD")))


def stages() -> list[Stage]:
    """The stages of the container file, by name."""
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
    """The services of the compose file with secrets filled in. Raises KeyError for a missing secret."""
    text = (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
    return dict(yaml.safe_load(VARIABLE.sub(lambda found: secrets[found[1]], text))["services"])


def unit() -> Iterator[tuple[str, str]]:
    """The settings of the systemd unit."""
    for line in (DEPLOY / "splitline.service").read_text(encoding="utf-8").splitlines():
        if "=" in line and not line.startswith("#"):
            name, value = line.split("=", 1)
            yield name, value


def unit_environment() -> dict[str, str]:
    """The environment variables that the unit sets."""
    words = [word for name, value in unit() if name == "Environment" for word in shlex.split(value)]
    return dict(word.split("=", 1) for word in words)


def locked(name: str) -> dict[str, list[tuple[str, list[str]]]]:
    """The packages of a lock file: the versions of each, with their file hashes."""
    text = (DEPLOY / name).read_text(encoding="utf-8").replace("\\\n", " ")
    found: dict[str, list[tuple[str, list[str]]]] = {}
    for line in text.splitlines():
        if match := re.match(r"([\w.-]+)==(\S+)", line):
            found.setdefault(match[1], []).append((match[2], re.findall(r"--hash=sha256:([0-9a-f]{64})\b", line)))
    return found
