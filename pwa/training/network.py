"""The network: strips of a picture in, a chance for every place of the line and for "no line" out."""

import torch
from torch import Tensor, nn

ROWS, STRIPS = 421, 41
BINS = 211
WIDTHS = (12, 18, 22)
ACROSS = 6
FEATURES = 44
REACHES = (1, 2, 4, 8, 16, 1)


class Block(nn.Module):
    """Looks along the tube, this far, and adds what it sees."""

    def __init__(self, reach: int) -> None:
        super().__init__()
        self.along = nn.Conv1d(FEATURES, FEATURES, 7, padding=3 * reach, dilation=reach, groups=FEATURES)
        self.mix = nn.Conv1d(FEATURES, FEATURES, 1)

    def forward(self, x: Tensor) -> Tensor:
        return x + torch.relu(self.mix(self.along(x)))


class Network(nn.Module):
    """Three looks at small parts, one across the tube, six along it."""

    def __init__(self) -> None:
        super().__init__()
        a, b, c = WIDTHS
        self.first = nn.Conv2d(3, a, (5, 5), stride=(2, 2), padding=(2, 2))
        self.second = nn.Conv2d(a, b, (5, 3), stride=(1, 2), padding=(2, 1))
        self.third = nn.Conv2d(b, c, (5, 3), stride=(1, 2), padding=(2, 1))
        self.across = nn.Conv1d(c * ACROSS, FEATURES, 1)
        self.place = nn.Parameter(torch.zeros(FEATURES))
        self.blocks = nn.ModuleList(Block(reach) for reach in REACHES)
        self.line = nn.Conv1d(FEATURES, 1, 1)
        self.none = nn.Linear(2 * FEATURES, 1)
        self.register_buffer("way", torch.linspace(-1, 1, BINS))

    def forward(self, strips: Tensor) -> Tensor:
        """Return logits (batch, 212), the last one for no line. strips: (batch, 3, 421, 41), see `normal`."""
        x = torch.relu(self.first(strips))
        x = torch.relu(self.second(x))
        x = torch.relu(self.third(x))
        x = x.permute(0, 1, 3, 2).flatten(1, 2)
        x = torch.relu(self.across(x) + self.place[:, None] * self.way)
        for block in self.blocks:
            x = block(x)
        seen = torch.cat([x.mean(-1), x.amax(-1)], dim=-1)
        return torch.cat([self.line(x)[:, 0], self.none(seen)], dim=-1)


def normal(colours: Tensor) -> Tensor:
    """Return colours of 0 to 255 (batch, 3, row, strip) centred, and scaled by their spread."""
    mean = colours.mean(dim=(2, 3), keepdim=True)
    spread = colours.std(dim=(1, 2, 3), keepdim=True, correction=0)
    return (colours - mean) / (spread + 8)
