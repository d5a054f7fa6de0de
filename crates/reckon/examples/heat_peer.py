"""How long SciPy takes for a square plate of 447 by 447 nodes: bilinear elements assembled, then `spsolve`.

One side lies on warm air, the side across on cold air, both behind a surface of 0.13 m2K/W; the others let nothing
through. `cargo xtask bench` runs this beside our own solver on the same plate.
"""

import time

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

LINES, CONDUCTS, RESISTS = 447, 0.12, 0.13


def main():
    n = LINES
    number = np.arange(n * n).reshape(n, n)
    corners = np.stack([number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]], axis=-1).reshape(-1, 4)
    # A square bilinear element: its matrix is the same whatever its size.
    element = CONDUCTS / 6 * np.array([[4, -1, -2, -1], [-1, 4, -1, -2], [-2, -1, 4, -1], [-1, -2, -1, 4]])
    rows = np.repeat(corners, 4, axis=1).ravel()
    columns = np.tile(corners, (1, 4)).ravel()
    values = np.tile(element.ravel(), len(corners))
    step = 1 / (n - 1)
    load = np.zeros(n * n)
    faces = []
    for side, air in [(number[:, 0], 1.0), (number[:, -1], 0.0)]:
        for a, b in zip(side[:-1], side[1:]):
            faces += [(a, a, 2), (b, b, 2), (a, b, 1), (b, a, 1)]
            load[[a, b]] += air * step / RESISTS / 2
    face = np.array(faces)
    rows = np.concatenate([rows, face[:, 0]])
    columns = np.concatenate([columns, face[:, 1]])
    values = np.concatenate([values, face[:, 2] * step / RESISTS / 6])
    matrix = coo_matrix((values, (rows, columns)), shape=(n * n, n * n)).tocsc()
    times = []
    for _ in range(3):
        started = time.perf_counter()
        warmth = spsolve(matrix, load)
        times.append(time.perf_counter() - started)
    passes = sum((1 - (warmth[a] + warmth[b]) / 2) * step / RESISTS for a, b in zip(number[:-1, 0], number[1:, 0]))
    exact = 1 / (2 * RESISTS + 1 / CONDUCTS)
    print(f"beside it, SciPy spsolve on the square plate: {n * n} nodes, {min(times):.3f} s, passes {passes:.6f} W/mK where {exact:.6f} is exact")


main()
