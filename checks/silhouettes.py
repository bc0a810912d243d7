"""Silhouettes on real photographs, by scikit-image and Shapely.

cases/pictures/leaf holds camera photographs of leaves beside a red square of
20 x 20 mm. Each thing's area in pixels is measured here without anything of
ours: the channel that parts it best from its ground by Otsu's threshold
(skimage.filters.threshold_otsu) finds it, and its edge is the level half way
between both sides' own light (skimage.measure.find_contours, in linear light),
whose area Shapely works out. What is as dark as the thing but has less than half
of its colour is its shadow and left out. `--write` keeps the areas as areas.json, which
`cargo run --release -p proving -- --silhouettes` is held against; `--check`
works them out anew and looks at the squares: all four sides of a square must
agree within 1 %, and its area must be that of the quadrangle through the middles
of its sides within 1 % (their corners are cut by hand).
"""

import json
import sys
from pathlib import Path

import numpy as np
from scipy import ndimage
from shapely.geometry import Polygon
from PIL import Image, ImageOps
from skimage import filters, measure

FOLDER = Path(__file__).parent.parent / "cases" / "pictures" / "leaf"


def linear(srgb):
    """Linear light of sRGB values (IEC 61966-2-1)."""
    share = srgb.astype(float) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def has_its_colour(light, dark):
    """Where there is more than half of the thing's colour, however it is lit."""
    soft = np.stack([ndimage.gaussian_filter(light[..., it], 2) for it in range(3)], axis=-1)
    share = soft / soft.sum(axis=-1, keepdims=True)
    within = ndimage.binary_erosion(dark, iterations=15)
    without = ~ndimage.binary_dilation(dark, iterations=15)
    own, other = np.median(share[within], axis=0), np.median(share[without], axis=0)
    way = own - other
    return (share - other) @ way > 0.5 * way @ way


def line_round(part):
    """The thing's outer line, in pixels."""
    light = linear(part)
    best = None
    for channel in range(3):
        values = part[..., channel]
        threshold = filters.threshold_otsu(values)
        dark = values < threshold
        if dark.all() or not dark.any():
            continue
        apart = values[~dark].mean() - values[dark].mean()
        spread = values[~dark].std() + values[dark].std() + 1
        if best is None or apart / spread > best[0]:
            best = (apart / spread, channel, dark)
    _, channel, dark = best
    coloured = has_its_colour(light, dark)
    labels = measure.label(dark & coloured)
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    thing = ndimage.binary_fill_holes(labels == sizes.argmax())
    within = ndimage.binary_erosion(thing, iterations=6)
    near = ndimage.binary_dilation(thing, iterations=20) & ~ndimage.binary_dilation(thing, iterations=6)
    values = light[..., channel]
    # Both sides' light about every place, so that shade over the sheet does not count.
    def around(mask):
        weight = ndimage.gaussian_filter(mask.astype(float), 12)
        return ndimage.gaussian_filter(values * mask, 12) / np.maximum(weight, 1e-9)
    own, other = around(within), around(near)
    share = np.clip((other - values) / np.maximum(other - own, 0.01), 0, 1)
    share[within] = 1
    share[~ndimage.binary_dilation(thing, iterations=6)] = 0
    # Beside a shadow, which is dark and has no colour, half of the colour is the edge.
    shadow = ndimage.binary_opening(dark & ~coloured, iterations=2)
    beside = ndimage.binary_dilation(shadow, iterations=8)
    share[beside & ~ndimage.binary_dilation(coloured)] = 0
    share = ndimage.gaussian_filter(share, 0.7)
    lines = measure.find_contours(np.pad(share, 1), 0.5)
    return max((Polygon(line) for line in lines if len(line) > 3), key=lambda it: it.area)


def square_faults(name, shape):
    """How well a square's line is a square, in words; empty if it is."""
    points = np.array(shape.exterior.coords)[:-1]
    middle = points.mean(axis=0)
    # The square's turn: the fourth harmonic of its radius is largest at its corners.
    way = points - middle
    angle, radius = np.arctan2(way[:, 1], way[:, 0]), np.hypot(way[:, 0], way[:, 1])
    turn = np.angle(np.sum(radius**4 * np.exp(4j * angle))) / 4
    sides = []
    for side in range(4):
        off = (angle - turn - np.pi / 4 - side * np.pi / 2 + np.pi) % (2 * np.pi) - np.pi
        some = points[np.abs(off) < 0.6]
        centre = some.mean(axis=0)
        direction = np.linalg.svd(some - centre)[2][0]
        sides.append((centre, direction))
    corners = []
    for (a, d), (b, e) in zip(sides, sides[1:] + sides[:1]):
        t = np.linalg.solve(np.array([d, -e]).T, b - a)[0]
        corners.append(a + t * d)
    quadrangle = Polygon(corners)
    lengths = [np.linalg.norm(corners[i] - corners[i - 1]) for i in range(4)]
    fill = shape.area / quadrangle.area
    print(f"{name}: sides {' '.join(f'{it:.1f}' for it in lengths)} px, fill {fill:.4f}")
    unlike = max(lengths) / min(lengths) - 1
    faults = []
    if unlike > 0.01:
        faults.append(f"{name}: sides differ by {unlike:.2%}")
    if abs(fill - 1) > 0.01:
        faults.append(f"{name}: fills {fill:.4f} of its quadrangle")
    return faults


def measured():
    parts = json.loads((FOLDER / "parts.json").read_text())
    areas, faults = {}, []
    for file, things in parts.items():
        picture = np.asarray(ImageOps.exif_transpose(Image.open(FOLDER / file)))
        areas[file] = {}
        for thing, (left, top, width, height) in things.items():
            shape = line_round(picture[top : top + height, left : left + width])
            areas[file][thing] = round(shape.area, 1)
            if thing == "square":
                faults += square_faults(f"{file} square", shape)
        leaf, square = areas[file]["leaf"], areas[file]["square"]
        print(f"{file}: leaf {leaf / square * 4:.3f} cm2")
    return areas, faults


def main():
    areas, faults = measured()
    kept = FOLDER / "areas.json"
    if "--write" in sys.argv:
        kept.write_text(json.dumps(areas, indent=2) + "\n")
        return
    for file, things in json.loads(kept.read_text()).items():
        for thing, area in things.items():
            off = areas[file][thing] / area - 1
            if abs(off) > 0.0005:
                faults.append(f"{file} {thing}: {areas[file][thing]} px2 now, {area} are kept")
    for fault in faults:
        print(fault, file=sys.stderr)
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
