"""Compiled part of the contact pressure: gathering the indentation matrix from its table."""

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@njit(cache=True, nogil=True)
def gather(u: Floats, v: Floats, to_u: Floats, to_v: Floats, table: Floats, width: float, depth: float) -> Floats:
    """Indentation (mm/N) at points (``u``, ``v``) per newton at (``to_u``, ``to_v``), all mm from a corner.

    A quarter of the sum over the four mirror combinations of ``table``, looked up bilinearly at the offsets
    folded back into ``width`` x ``depth``.
    """
    last_u, last_v = table.shape[0] - 1, table.shape[1] - 1
    scale_u, scale_v = last_u / width, last_v / depth
    out = np.empty((u.size, to_u.size))
    for i in range(u.size):
        for j in range(to_u.size):
            total = 0.0
            for mirror_u in range(2):
                a = abs(u[i] - to_u[j]) if mirror_u == 0 else u[i] + to_u[j]
                a = min(a, 2 * width - a) * scale_u
                p = min(max(int(a), 0), last_u - 1)
                a -= p
                for mirror_v in range(2):
                    b = abs(v[i] - to_v[j]) if mirror_v == 0 else v[i] + to_v[j]
                    b = min(b, 2 * depth - b) * scale_v
                    q = min(max(int(b), 0), last_v - 1)
                    b -= q
                    low = table[p, q] + (table[p + 1, q] - table[p, q]) * a
                    high = table[p, q + 1] + (table[p + 1, q + 1] - table[p, q + 1]) * a
                    total += low + (high - low) * b
            out[i, j] = total / 4
    return out
