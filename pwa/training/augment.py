"""The same picture seen otherwise: turned round, stretched, in other light and colours."""

import torch
from camera import BELOW, PER_COLUMN
from network import ROWS
from torch import Generator, Tensor
from torch.nn.functional import affine_grid, grid_sample

HALF = (ROWS - 1) / 2
# Lines nearer to the marks than this are left out.
LOWEST, HIGHEST = 0.015, 0.955


def augmented(strips: Tensor, lines: Tensor, g: Generator) -> tuple[Tensor, Tensor]:
    """Return strips (batch, 3, row, strip) of 0 to 255 and lines (NaN: none). strips: (batch, row, strip, 3), bytes."""
    seen, lines = moved(strips.permute(0, 3, 1, 2).float(), lines, g)
    kept = torch.isnan(lines) | ((lines > LOWEST) & (lines < HIGHEST))
    return lit(seen[kept], g), lines[kept]


def moved(seen: Tensor, lines: Tensor, g: Generator) -> tuple[Tensor, Tensor]:
    """Return pictures mirrored, stretched, moved and leaning a little."""
    count = len(seen)
    flip = (torch.rand(count, generator=g) < 0.5).float() * 2 - 1
    tall = torch.exp(0.04 * normal(g, count))
    up = 0.06 * (torch.rand(count, generator=g) - 0.5)
    way = torch.zeros(count, 2, 3)
    way[:, 0, 0] = flip * torch.exp(0.18 * normal(g, count))
    way[:, 0, 1] = 0.015 * normal(g, count)
    way[:, 0, 2] = 0.02 * normal(g, count)
    way[:, 1, 0] = 0.01 * normal(g, count) * (torch.rand(count, generator=g) < 0.5)
    way[:, 1, 1] = tall
    way[:, 1, 2] = up
    grid = affine_grid(way, list(seen.shape), align_corners=True)
    seen = grid_sample(seen, grid, padding_mode="border", align_corners=True)
    at = ((lines * PER_COLUMN + BELOW) / HALF - 1 - up) / tall
    return seen, ((at + 1) * HALF - BELOW) / PER_COLUMN


def lit(seen: Tensor, g: Generator) -> Tensor:
    """Return pictures with other tone, colours, contrast and noise."""
    count = len(seen)
    seen = seen / 255
    some = torch.rand(count, generator=g) < 0.35
    seen[some] = seen[some] ** torch.exp(0.35 * normal(g, int(some.sum()), 1, 1, 1))
    seen = seen * torch.exp(0.12 * normal(g, count, 3, 1, 1))
    some = torch.rand(count, generator=g) < 0.25
    seen[some] = seen[some][:, torch.randperm(3, generator=g)]
    grey = torch.rand(count, generator=g) * (torch.rand(count, generator=g) < 0.3)
    colourful = ((1 - grey) * torch.exp(0.2 * normal(g, count)))[:, None, None, None]
    light = seen.mean(1, keepdim=True)
    seen = light + (seen - light) * colourful
    seen = (seen - 0.5) * torch.exp(0.2 * normal(g, count, 1, 1, 1)) + 0.5 + 0.08 * normal(g, count, 1, 1, 1)
    some = torch.rand(count, generator=g) < 0.25
    rough = 0.02 * torch.rand(int(some.sum()), 1, 1, 1, generator=g)
    seen[some] = seen[some] + rough * normal(g, *seen[some].shape)
    return seen.clamp(0, 1) * 255


def normal(g: Generator, *shape: int) -> Tensor:
    """Return draws of a standard normal distribution."""
    return torch.randn(*shape, generator=g)
