"""Train the network that finds the parting line: `python train.py PICTURES WEIGHTS.pt --minutes 60`.

PICTURES is a folder that `samples.py` fills; it may go on filling it meanwhile. Nothing that judges the finder is read.
"""

import argparse
from math import cos, pi
from pathlib import Path
from time import monotonic

import numpy as np
import torch
from augment import augmented
from camera import BELOW, PER_COLUMN
from network import BINS, Network, normal
from torch import Tensor

BATCH, LEARNING, LEAST = 64, 2e-3, 2e-5
# How sharply the place is asked for, places.
SPREAD = 0.7
# Pictures are looked for again, and progress is said, after so many steps.
AGAIN = 200


class Pictures:
    """The pictures of a folder, as far as they are drawn."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.files, self.every = folder, set(), []

    def load(self) -> None:
        """Take in what is new."""
        for file in sorted(self.folder.glob("lines-*.npy")):
            if file.name not in self.files:
                strips = np.load(file.with_name(file.name.replace("lines", "strips")))
                self.every += zip(torch.from_numpy(strips), torch.from_numpy(np.load(file)), strict=True)
                self.files.add(file.name)

    def batch(self, g: torch.Generator) -> tuple[Tensor, Tensor]:
        """Return some of them, seen otherwise."""
        chosen = [self.every[i] for i in torch.randint(len(self.every), (BATCH,), generator=g).tolist()]
        return augmented(torch.stack([strips for strips, _ in chosen]), torch.stack([line for _, line in chosen]), g)


def wanted(lines: Tensor) -> Tensor:
    """Return the chances (batch, 212) that a perfect finder would give."""
    none = torch.isnan(lines)
    places = (torch.nan_to_num(lines) * PER_COLUMN + BELOW) / 2
    near = torch.exp(-0.5 * ((torch.arange(BINS) - places[:, None]) / SPREAD) ** 2)
    near = near / near.sum(1, keepdim=True) * ~none[:, None]
    return torch.cat([near, none[:, None].float()], dim=1)


def main() -> None:
    """Train for some minutes; the weights kept are a running mean."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("pictures", type=Path)
    options.add_argument("weights", type=Path)
    options.add_argument("--minutes", type=float, default=60)
    chosen = options.parse_args()
    g = torch.Generator().manual_seed(1)
    torch.manual_seed(1)
    net = Network().to(memory_format=torch.channels_last)
    mean = {name: value.clone() for name, value in net.state_dict().items()}
    steps = torch.optim.AdamW(net.parameters(), lr=LEARNING, weight_decay=1e-3)
    pictures, losses, start, step = Pictures(chosen.pictures), [], monotonic(), 0
    while (done := (monotonic() - start) / 60 / chosen.minutes) < 1:
        if step % AGAIN == 0:
            pictures.load()
            torch.save(mean, chosen.weights)
            print(f"{done:.0%}, step {step}, loss {np.mean(losses or [np.nan]):.3f}", flush=True)
            losses = []
        for group in steps.param_groups:
            group["lr"] = LEARNING * min(1, step / 300) * 0.5 * (1 + cos(pi * done)) + LEAST
        strips, lines = pictures.batch(g)
        chances = torch.log_softmax(net(normal(strips).to(memory_format=torch.channels_last)), 1)
        loss = -(wanted(lines) * chances).sum(1).mean()
        steps.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        steps.step()
        step += 1
        losses.append(loss.item())
        with torch.no_grad():
            for name, value in net.state_dict().items():
                mean[name].lerp_(value, 1 - min(0.998, step / (step + 50)))
    torch.save(mean, chosen.weights)


if __name__ == "__main__":
    main()
