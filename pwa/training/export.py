"""Write the network for the app: `python export.py WEIGHTS.pt`.

A weight takes a byte, scaled by channel. What PyTorch makes of a plain pattern with these weights goes to
fixtures/network.json, which the app's own arithmetic is compared with.
"""

import base64
import json
import sys
from pathlib import Path

import torch
from network import ACROSS, FEATURES, ROWS, STRIPS, WIDTHS, Network, normal
from torch import Tensor

PROJECT = Path(__file__).parents[2]
APP = PROJECT / "pwa/src/chemistry/network.json"
VECTORS = PROJECT / "fixtures/network.json"
# The layer across the tube takes all strips at once.
SHAPES = {"across": (FEATURES, WIDTHS[-1], 1, ACROSS)}
WHOLE = 127


def stored(name: str, weight: Tensor, bias: Tensor) -> dict[str, object]:
    """Return a layer as the app has it, and round its weights in place to what is stored."""
    shape = SHAPES.get(name) or (*weight.shape, 1, 1)[:4]
    if name.startswith("along"):
        shape = (*weight.shape, 1)
    flat = weight.view(shape[0], -1)
    scale = torch.tensor([float(f"{one / WHOLE:.5g}") for one in flat.abs().amax(dim=1).clamp(min=1e-6)])
    whole = (flat / scale[:, None]).round().clamp(-WHOLE, WHOLE)
    flat.copy_(whole * scale[:, None])
    bias.copy_(torch.tensor([float(f"{one:.5g}") for one in bias]))
    return {
        "name": name,
        "shape": shape,
        "scale": [float(f"{one:.5g}") for one in scale],
        "bias": [float(f"{one:.5g}") for one in bias],
        "weights": base64.b64encode(whole.to(torch.int8).numpy().tobytes()).decode(),
    }


def pattern() -> Tensor:
    """Return strips (1, 3, row, strip) that a few lines of any language draw: two colours, and waves on them."""
    c, row, strip = (part.float() for part in torch.meshgrid(*map(torch.arange, (3, ROWS, STRIPS)), indexing="ij"))
    step = torch.where(row < 200 + strip, 60 + 30 * c, 170 - 20 * c)
    return (step + 20 * torch.sin(0.11 * row + 0.5 * strip + c))[None]


@torch.no_grad()
def main() -> None:
    """Write both files."""
    net = Network()
    net.load_state_dict(torch.load(sys.argv[1]))
    parts = {name: getattr(net, name) for name in ("first", "second", "third", "across", "line", "none")}
    for number, block in enumerate(net.blocks):
        parts |= {f"along{number}": block.along, f"mix{number}": block.mix}
    layers = [stored(name, part.weight, part.bias) for name, part in parts.items()]
    layers.append(stored("place", torch.zeros(1, 1), net.place))
    APP.write_text("[\n" + ",\n".join(json.dumps(one, separators=(",", ":")) for one in layers) + "\n]\n")
    scores = [round(float(one), 5) for one in net(normal(pattern()))[0]]
    VECTORS.write_text(json.dumps({"source": f"PyTorch {torch.__version__}", "scores": scores}) + "\n")


if __name__ == "__main__":
    main()
