"""Cupping of flat-sawn boards, worked out by a finite-element model (scikit-fem).

    cup_fem.py           writes cup.csv and drying.csv in crates/handbook/tests/it
    cup_fem.py --check   works the files' cases out again and compares

A board's cross-section lies over the pith; its rings are circles about it. It
shrinks by one share across and another along the rings, and is stiff in
different measure across and along them (ratios of hard maple, Wood Handbook
table 5-1). The Rust test `cup` reads the file: the rise of the upper face's
edges over its middle, in millimetres. In drying.csv the rings lie along the
face, and the upper face has moved by `apart` while the lower one has not.
"""

import csv
import sys
from pathlib import Path

import numpy as np
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, LinearForm, MeshQuad, condense, solve

FOLDER = Path(__file__).parent.parent / "crates" / "handbook" / "tests" / "it"
HEADERS = {"cup": ["width", "thickness", "pith", "radial", "tangential", "cup"], "drying": ["width", "thickness", "apart", "cup"]}
# Width, thickness, distance of the upper face from the pith (mm), strains.
CASES = [
    (150.0, 25.0, 60.0, -0.010, -0.020),
    (200.0, 40.0, 120.0, -0.0066, -0.0137),
    (300.0, 40.0, 250.0, -0.004, -0.008),
    (100.0, 20.0, 400.0, -0.012, -0.021),
    (250.0, 45.0, 150.0, 0.006, 0.012),
]
# Width, thickness (mm), strain of the upper face.
DRYING = [(240.0, 20.0, -0.002), (300.0, 45.0, -0.006), (180.0, 25.0, 0.004)]
# So far off, rings lie along the face.
FAR = 1e5
ACROSS, ALONG, SHEAR, POISSON = 1.67e9, 0.82e9, 0.3e9, 0.4
LIMIT_MM = 1e-6


def stiffness():
    """Plane stress in ring coordinates: across, along, shear."""
    back = POISSON * ALONG / ACROSS
    share = 1.0 - POISSON * back
    return np.array([[ACROSS / share, back * ACROSS / share, 0.0], [back * ACROSS / share, ALONG / share, 0.0], [0.0, 0.0, SHEAR]])


def rings(w):
    """Sine and cosine of the direction away from the pith."""
    x, y = w.x
    far = np.sqrt(x * x + y * y)
    return x / far, y / far


def in_rings(strain, w):
    """Strains across and along the rings, and the shear between them."""
    s, c = rings(w)
    xx, yy, xy = strain
    return (
        xx * s * s + yy * c * c + 2 * xy * s * c,
        xx * c * c + yy * s * s - 2 * xy * s * c,
        2 * (xx - yy) * s * c + 2 * xy * (c * c - s * s),
    )


def strain_of(u):
    g = u.grad
    return g[0, 0], g[1, 1], 0.5 * (g[0, 1] + g[1, 0])


def cup(width, thickness, pith, radial, tangential, share=lambda y: 1.0):
    x = np.linspace(-width / 2, width / 2, 61)
    y = np.linspace(pith - thickness, pith, 13)
    basis = Basis(MeshQuad.init_tensor(x, y), ElementVector(ElementQuad2()))
    d = stiffness()

    @BilinearForm
    def energy(u, v, w):
        a, b = in_rings(strain_of(u), w), in_rings(strain_of(v), w)
        return sum(d[i, j] * a[i] * b[j] for i in range(3) for j in range(3))

    @LinearForm
    def shrinking(v, w):
        b = in_rings(strain_of(v), w)
        free = (radial, tangential)
        return share(w.x[1]) * sum(d[i, j] * b[i] * free[j] for i in range(2) for j in range(2))

    # Held where nothing but a movement of the whole board is taken away.
    corners = basis.mesh.p
    at = lambda px, py: basis.nodal_dofs[:, np.argmin((corners[0] - px) ** 2 + (corners[1] - py) ** 2)]
    held = np.concatenate([at(0.0, pith), at(0.0, pith - thickness)[:1]])
    moved = solve(*condense(energy.assemble(basis), shrinking.assemble(basis), D=held))
    rise = lambda px: moved[at(px, pith)[1]]
    return 0.5 * (rise(-width / 2) + rise(width / 2)) - rise(0.0)


def drying(width, thickness, apart):
    """The upper face has dried, the lower one has not: evenly in between."""
    return cup(width, thickness, FAR, apart / 2, apart, lambda y: (y - FAR) / thickness + 1.0)


def difference(name, rows):
    """The most that the file's cups are off; or the file, written."""
    file = FOLDER / f"{name}.csv"
    if "--check" not in sys.argv:
        with file.open("w", newline="") as out:
            writer = csv.writer(out, lineterminator="\n")
            writer.writerow(HEADERS[name])
            writer.writerows([*row[:-1], f"{row[-1]:.6f}"] for row in rows)
        return 0.0
    with file.open() as kept:
        told = [float(row["cup"]) for row in csv.DictReader(kept)]
    worst = max(abs(row[-1] - it) for row, it in zip(rows, told, strict=True))
    print(f"figure: {name}.fem_difference_mm {worst:.7f}")
    return worst


def main():
    worst = [
        difference("cup", [(*case, cup(*case)) for case in CASES]),
        difference("drying", [(*case, drying(*case)) for case in DRYING]),
    ]
    return 0 if max(worst) <= LIMIT_MM else 1


if __name__ == "__main__":
    sys.exit(main())
