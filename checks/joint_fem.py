"""Stress at a glued edge joint whose two woods move by different shares in
thickness, worked out by a finite-element model (scikit-fem).

    joint_fem.py           writes crates/handbook/tests/it/joint.csv
    joint_fem.py --check   works the file's cases out again and compares

Plane strain: the joint is long, and wood hardly moves along the grain. Upper
half of the section, rings upright in both strips (thickness along the rings,
width across them), the right one shrinking by `apart` more. Stiffnesses are
1.1 times the tabled ones in bending times the ratios of Wood Handbook tables
5-1 and 5-2; G in the R-T plane, tabled for few, is taken as 0.017 E_L. The Rust
test `joint` reads the file: shear on the joint and the greatest tension beside
it, megapascals, `NEAR` of the thickness below the face.
"""

import csv
import sys
from pathlib import Path

import numpy as np
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, LinearForm, MeshQuad, condense, solve

FILE = Path(__file__).parent.parent / "crates" / "handbook" / "tests" / "it" / "joint.csv"
HEADER = ["left", "right", "left_mpa", "right_mpa", "apart", "shear", "tension"]
# E_L in MPa, E_R, E_T and G_RT as shares of it, Poisson's ratios LR, LT, RT.
WOODS = {
    "even": (1e12, 1e-9, 1e-9, 1e-9 / 2.6, 0.0, 0.0, 0.3),
    "hard_maple": (13880.0, 0.132, 0.065, 0.017, 0.424, 0.476, 0.774),
    "black_cherry": (11300.0, 0.197, 0.086, 0.017, 0.392, 0.428, 0.695),
    "black_walnut": (12740.0, 0.106, 0.056, 0.021, 0.495, 0.632, 0.718),
    "basswood": (11070.0, 0.066, 0.027, 0.017, 0.364, 0.406, 0.912),
}
CASES = [("even", "even"), ("hard_maple", "hard_maple"), ("hard_maple", "black_cherry"), ("black_cherry", "black_walnut"), ("hard_maple", "basswood")]
APART, THICK, NEAR = 0.004, 1.0, 0.02
LIMIT_MPA = 1e-4


def stiffness(wood):
    """Width (R), thickness (T) and shear, with no strain along the grain."""
    el, er, et, grt, lr, lt, rt = WOODS[wood]
    r, t = er * el, et * el
    give = np.array([[1 / r - lr**2 / el, -rt / r - lr * lt / el], [-rt / r - lr * lt / el, 1 / t - lt**2 / el]])
    d = np.zeros((3, 3))
    d[:2, :2] = np.linalg.inv(give)
    d[2, 2] = grt * el
    return d


def graded(far, finest):
    """From 0 to `far` in steps that grow from the finest."""
    steps = [0.0]
    while steps[-1] < far:
        steps.append(steps[-1] + max(finest, 0.2 * steps[-1]))
    return np.array(steps) * far / steps[-1]


def joint(left, right):
    """Shear on the joint and the greatest tension beside it."""
    side = graded(2.5 * THICK, 0.002)
    x = np.concatenate([-side[:0:-1], side])
    y = THICK / 2 - graded(THICK / 2, 0.002)[::-1]
    basis = Basis(MeshQuad.init_tensor(x, y), ElementVector(ElementQuad2()), intorder=4)
    dl, dr = stiffness(left), stiffness(right)
    on = lambda w, i, j: np.where(w.x[0] < 0, dl[i, j], dr[i, j])
    voigt = lambda u: (u.grad[0, 0], u.grad[1, 1], u.grad[0, 1] + u.grad[1, 0])

    @BilinearForm
    def energy(u, v, w):
        a, b = voigt(u), voigt(v)
        return sum(on(w, i, j) * a[i] * b[j] for i in range(3) for j in range(3))

    @LinearForm
    def shrinking(v, w):
        b = voigt(v)
        return sum(np.where(w.x[0] < 0, 0.0, -APART) * on(w, i, 1) * b[i] for i in range(2))

    at = basis.mesh.p
    held = np.concatenate([
        basis.get_dofs(lambda p: np.isclose(p[1], 0.0)).all(["u^2"]),
        basis.nodal_dofs[0, np.isclose(at[0], 0.0) & np.isclose(at[1], 0.0)],
    ])
    moved = solve(*condense(energy.assemble(basis), shrinking.assemble(basis), D=held))

    strain = voigt(basis.interpolate(moved))
    where = basis.global_coordinates().value

    def near(sign):
        """Stress beside the joint at the quadrature point nearest to the place."""
        off = np.hypot(where[0] - sign * 1e-9, where[1] - THICK / 2 + NEAR * THICK) + np.where(where[0] * sign > 0, 0.0, 9.0)
        at = np.unravel_index(np.argmin(off), off.shape)
        d, free = (dl, 0.0) if sign < 0 else (dr, -APART)
        return d @ np.array([strain[0][at], strain[1][at] - free, strain[2][at]])

    return near(-1.0), near(1.0)


def row(left, right):
    one, other = joint(left, right)
    tension = max((it[0] + it[1]) / 2 + np.hypot((it[0] - it[1]) / 2, it[2]) for it in (one, other))
    along_rings = [WOODS[wood][0] * WOODS[wood][2] for wood in (left, right)]
    return [left, right, *(f"{it:.5f}" for it in (*along_rings, APART, abs(one[2]), tension))]


def main():
    rows = [row(*case) for case in CASES]
    if "--check" not in sys.argv:
        with FILE.open("w", newline="") as out:
            csv.writer(out, lineterminator="\n").writerows([HEADER, *rows])
        return 0
    with FILE.open() as kept:
        told = list(csv.reader(kept))[1:]
    worst = max(abs(float(a) - float(b)) for one, two in zip(rows, told, strict=True) for a, b in zip(one[2:], two[2:], strict=True))
    print(f"figure: joint.fem_difference_mpa {worst:.7f}")
    return 0 if worst <= LIMIT_MPA else 1


if __name__ == "__main__":
    sys.exit(main())
