"""The figures of a study of suggestions: how often, how near, how honest, and how sure that is."""

from collections.abc import Sequence
from math import sqrt

import numpy as np

from study.tubes.judged import Outcome

RIGHT, FAR = 0.01, 0.05


def between(hits: int, count: int) -> tuple[float, float]:
    """Return the interval of 95 % for a share (E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209)."""
    if count == 0:
        return 0.0, 1.0
    share, z = hits / count, 1.96
    middle, spread = share + z**2 / (2 * count), z * sqrt(share * (1 - share) / count + z**2 / (4 * count**2))
    return (middle - spread) / (1 + z**2 / count), (middle + spread) / (1 + z**2 / count)


def _share(hits: int, count: int) -> str:
    low, high = between(hits, count)
    return f"{hits:4} of {count:4}  {hits / max(count, 1):6.1%}  ({low:.1%} to {high:.1%})"


def table(found: Sequence[Outcome]) -> str:
    """Return the table of a set."""
    clear = [one for one in found if one.kind == "clear"]
    given = [one for one in clear if one.error is not None]
    milky = [one for one in found if one.kind == "milky"]
    errors = np.array([one.error for one in given], dtype=float)
    widths = np.array([one.half_width for one in given], dtype=float)
    near = errors[np.abs(errors) < FAR]
    off = np.std(near) / sqrt(max(len(near), 1)) if len(near) else 0.0
    lines = [
        f"clear: line suggested          {_share(len(given), len(clear))}",
        f"  of these within 1 %          {_share(int((np.abs(errors) <= RIGHT).sum()), len(given))}",
        f"  of these more than 5 % off   {_share(int((np.abs(errors) > FAR).sum()), len(given))}",
        f"  inside the half-width        {_share(int((np.abs(errors) <= widths).sum()), len(given))}",
    ]
    if len(near):
        lines += [
            f"  bias within 5 %              {np.mean(near):+.2%} ± {1.96 * off:.2%} (median {np.median(near):+.2%})",
            f"  half-width                   {np.median(widths):.2%} median, {np.quantile(widths, 0.9):.2%} in 9 of 10",
        ]
    refused = sum(one.error is None for one in milky)
    return "\n".join([*lines, f"milky: refused                 {_share(refused, len(milky))}"])


def by_tag(found: Sequence[Outcome]) -> str:
    """Return how it went by family and by what is in the picture."""
    names = sorted({one.task[0] for one in found} | {tag for one in found for tag in one.tags})
    lines = []
    for name in names:
        mine = [one for one in found if name in (one.task[0], *one.tags)]
        clear = [one for one in mine if one.kind == "clear"]
        given = [one.error for one in clear if one.error is not None]
        milky = [one.error is None for one in mine if one.kind == "milky"]
        lines.append(
            f"  {name:16} clear {len(clear):4}, suggested {len(given):4}, within 1 % "
            f"{sum(abs(error) <= RIGHT for error in given):4}; milky {len(milky):4}, refused {sum(milky):4}"
        )
    return "\n".join(lines)
