"""What a result means: compared with the driver's own minimum, and with a specification."""

from dataclasses import dataclass
from typing import Literal

from splitline.chemistry.constants import load
from splitline.chemistry.coverage import NORMAL
from splitline.chemistry.normal import normal_below

Verdict = Literal["inside", "below", "above", "cannot_tell"]


@dataclass(frozen=True, slots=True)
class Specification:
    """The ethanol content a specification allows, % (V/V)."""

    code: str
    name: str
    minimum: float
    maximum: float


SPECIFICATIONS = tuple(
    Specification(entry["code"], entry["name"], float(entry["minimum"]), float(entry["maximum"]))
    for entry in load("specifications")["specifications"]
)


def probability_at_or_above(content: float, expanded_uncertainty: float, minimum: float) -> float:
    """Return the probability, 0..1, that the content is at or above `minimum`; all in %, the uncertainty at 95 %."""
    return normal_below(NORMAL * (content - minimum) / expanded_uncertainty)


def verdict(content: float, expanded_uncertainty: float, specification: Specification) -> Verdict:
    """Compare a content with a specification: `cannot_tell` if a limit is inside content +- expanded uncertainty."""
    low, high = content - expanded_uncertainty, content + expanded_uncertainty
    if high < specification.minimum:
        return "below"
    if low > specification.maximum:
        return "above"
    if low >= specification.minimum and high <= specification.maximum:
        return "inside"
    return "cannot_tell"


def check_scale_kind(content: float, expanded_uncertainty: float) -> bool:
    """Return whether the content is above every specification's maximum by more than its uncertainty."""
    return content - expanded_uncertainty > max(specification.maximum for specification in SPECIFICATIONS)
