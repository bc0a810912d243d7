"""Areas, offsets and relations of random shapes, worked out by shapely (GEOS).

    shapely_cases.py           writes crates/outline/tests/shapely.csv
    shapely_cases.py --check   works the file's cases out again and compares

The Rust test `shapely` reads the file. One line a case: the two shapes as
rings of corners on a 1/8 mm grid (so that both sides read the same numbers),
then shapely's figures. Arcs of offsets are so fine that they count as true.
"""

import csv
import math
import random
import sys
from pathlib import Path

from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

FILE = Path(__file__).parent.parent / "crates" / "outline" / "tests" / "shapely.csv"
CASES = 60
# Chords of 2048 to the quarter round stray 3e-6 mm at 10 mm.
ARC_STEPS = 2048
# Another release of shapely may round otherwise in the last places.
LIMIT_MM2 = 1e-4
FIGURES = ["area", "common", "union", "minus", "outside", "distance", "inset", "grown", "pieces"]
HEADER = ["name", "one", "other", "by"] + FIGURES


def snap(value):
    return round(value * 8) / 8


def star(rng, count, low, high, at=(0.0, 0.0)):
    """A ring about a middle that never crosses itself."""
    points = []
    for index in range(count):
        turn, radius = 2 * math.pi * index / count, rng.uniform(low, high)
        points.append((snap(at[0] + radius * math.cos(turn)), snap(at[1] + radius * math.sin(turn))))
    return points


def shape(rng):
    """A star, at times with one or two openings round its middle."""
    rings = [star(rng, rng.randint(5, 60), 60, 220)]
    if rng.random() < 0.4:
        rings.append(star(rng, rng.randint(4, 20), 5, 22, (-24.0, 0.0)))
        if rng.random() < 0.5:
            rings.append(star(rng, rng.randint(4, 20), 5, 22, (24.0, 0.0)))
    return rings


def polygon(rings):
    return Polygon(rings[0], rings[1:])


def written(rings):
    return "|".join(" ".join(f"{x:g} {y:g}" for x, y in ring) for ring in rings)


def read(text):
    rings = []
    for ring in text.split("|"):
        numbers = [float(it) for it in ring.split()]
        rings.append(list(zip(numbers[0::2], numbers[1::2])))
    return rings


def pieces(found, least=0.01):
    """How many pieces of more than `least` mm2."""
    parts = found.geoms if isinstance(found, MultiPolygon) else [found]
    return sum(part.area > least for part in parts)


def figures(one, other, by):
    one, other = polygon(one), polygon(other)
    return {
        "area": one.area,
        "common": one.intersection(other).area,
        "union": unary_union([one, other]).area,
        "minus": one.difference(other).area,
        "outside": other.difference(one).area,
        "distance": one.distance(other),
        "inset": one.buffer(-by, quad_segs=ARC_STEPS).area,
        "grown": one.buffer(by, quad_segs=ARC_STEPS).area,
        "pieces": pieces(one.buffer(-by, quad_segs=ARC_STEPS)),
    }


def cases():
    rng = random.Random(20_260)
    made = 0
    while made < CASES:
        one, other = shape(rng), shape(rng)
        far = rng.choice([0, 60, 150, 300, 500])
        dx, dy = snap(rng.uniform(-far, far)), snap(rng.uniform(-far, far))
        other = [[(x + dx, y + dy) for x, y in ring] for ring in other]
        if made % 6 == 0:  # a small one inside, for containment
            other = [[(snap(x / 16), snap(y / 16 + 12)) for x, y in ring] for ring in other[:1]]
        if not (polygon(one).is_valid and polygon(other).is_valid):
            continue
        by = rng.choice([0.5, 1.6, 3.2, 8.0])
        yield f"case{made:02}", one, other, by
        made += 1


def write():
    with FILE.open("w", newline="") as out:
        sheet = csv.DictWriter(out, HEADER, lineterminator="\n")
        sheet.writeheader()
        for name, one, other, by in cases():
            found = {key: f"{value:.6f}" for key, value in figures(one, other, by).items()}
            found["pieces"] = int(float(found["pieces"]))
            sheet.writerow({"name": name, "one": written(one), "other": written(other), "by": by, **found})
    print(f"wrote {FILE}")


def check():
    worst, count, wrong = 0.0, 0, []
    with FILE.open(newline="") as lines:
        for row in csv.DictReader(lines):
            count += 1
            found = figures(read(row["one"]), read(row["other"]), float(row["by"]))
            for key in FIGURES:
                off = abs(found[key] - float(row[key]))
                worst = max(worst, off)
                if off > LIMIT_MM2:
                    wrong.append(f"{row['name']}: {key} is {found[key]}, the file says {row[key]}")
    print(f"figure: shapely cases {count}")
    print(f"figure: shapely worst difference {worst:.2e} mm2")
    print("\n".join(wrong))
    return not wrong and count == CASES


if __name__ == "__main__":
    if "--check" in sys.argv:
        sys.exit(0 if check() else 1)
    write()
