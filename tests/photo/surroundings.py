"""The surroundings of the tube, looked up by a ray that leaves it."""

import numpy as np
from numpy.typing import NDArray

from photo.things import Behind

Array = NDArray[np.float64]
TILE = 128


class Surroundings:
    """A wall with its texture, stripes and edges, a table that ends at the wall, a dim room behind the camera."""

    def __init__(self, behind: Behind) -> None:
        self.behind = behind
        rough = np.random.default_rng(behind.seed).normal(size=(TILE, TILE))
        frequency = np.fft.fftfreq(TILE)
        size = np.hypot(*np.meshgrid(frequency, frequency))
        smooth = np.fft.ifft2(np.fft.fft2(rough) / (size + 0.02)).real
        self.tile = (smooth - smooth.mean()) / smooth.std()
        # Far surroundings are out of focus.
        self.softness = 1.0 + 0.03 * behind.distance

    def seen(self, point: Array, direction: Array) -> Array:
        """Return the colour where rays from `point` in `direction` end."""
        behind = self.behind
        forward = np.maximum(direction[:, 1], 0.05)
        way = (behind.distance - point[:, 1]) / forward
        x, z = point[:, 0] + way * direction[:, 0], point[:, 2] + way * direction[:, 2]
        light = self._wall(x, z)
        if behind.table is not None:
            share = self._step(behind.table_height - z)
            down = np.minimum(direction[:, 2], -1e-3)
            near = (behind.table_height - point[:, 2]) / down
            across = point[:, 0] + near * direction[:, 0]
            depth = point[:, 1] + near * direction[:, 1]
            table = np.array(behind.table) * self._grain(across, depth)[:, None]
            light = (1.0 - share)[:, None] * light + share[:, None] * table
        room = np.clip(1.0 - (direction[:, 1] + 0.1) / 0.3, 0.0, 1.0)[:, None]
        return (1.0 - room) * light + room * 0.6 * np.array(behind.room)

    def _wall(self, x: Array, z: Array) -> Array:
        behind = self.behind
        light = np.broadcast_to(np.array(behind.wall), (len(x), 3))
        for height, colour in behind.edges:
            share = self._step(z - height)[:, None]
            light = (1.0 - share) * light + share * np.array(colour)
        if behind.stripes:
            light = light * (1.0 + behind.stripes * np.tanh(2.0 * np.sin(np.pi * x / behind.stripe_width)))[:, None]
        return light * self._grain(x, z)[:, None]

    def _step(self, over: Array) -> Array:
        return 0.5 + 0.5 * np.tanh(over / self.softness)

    def _grain(self, x: Array, z: Array) -> Array:
        """Return a smooth, endlessly repeated texture, interpolated between its points."""
        if self.behind.texture == 0.0:
            return np.ones(len(x))
        grain = max(self.behind.grain, self.softness) / 8.0
        u, v = x / grain, z / grain
        i, j = np.floor(u), np.floor(v)
        a, b = u - i, v - j
        i0, j0 = np.mod(i, TILE).astype(int), np.mod(j, TILE).astype(int)
        i1, j1 = (i0 + 1) % TILE, (j0 + 1) % TILE
        tile = self.tile
        low = (1 - a) * tile[i0, j0] + a * tile[i1, j0]
        high = (1 - a) * tile[i0, j1] + a * tile[i1, j1]
        return np.clip(1.0 + self.behind.texture * ((1 - b) * low + b * high), 0.1, 3.0)
