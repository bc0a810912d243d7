"""Plans of bandsaw cuts that the judge has sawn, sawn once more by shapely.

    kerfs.py --check FOLDER    saws every plan that `sawn` wrote there

Compared are the dust of each cut, what fell with its area and its balance
point, and what is left round each part. Kerfs are buffers of the way with flat
ends; what hangs together is what shapely says does.
"""

import json
import math
import sys

from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

from folder import looked_at

# The judge knows areas on rows some 0.43 mm apart: square millimetres, and a share.
AREA, SHARE = 4.0, 0.004
# Its balance points and what is left, in millimetres.
MIDDLE, MEAN, MOST = 0.6, 0.02, 0.5
# What is smaller than this, in square millimetres, is a crumb.
CRUMB = 1.0


def polygon(outline):
    return Polygon(outline["outer"], outline["openings"])


def pieces(shape):
    return [it for it in getattr(shape, "geoms", [shape]) if it.area > CRUMB]


def kerf(cut, width):
    """All that a cut takes, and the line that it follows."""
    ways = [LineString(leg["way"]) for leg in cut["legs"] if leg["is"] == "sawn"]
    return unary_union([it.buffer(width / 2, cap_style="flat", quad_segs=64) for it in ways]), unary_union(ways)


def close(found, told):
    return abs(found - told) <= AREA + SHARE * max(found, told)


def faults(sawn):
    """Everything in which the two do not agree."""
    yield from sawn["refusals"]
    wood = polygon(sawn["wood"])
    for hole in sawn["plan"]["holes"]:
        wood = wood.difference(Point(hole["at"]).buffer(hole["diameter"] / 2, quad_segs=256))
    parts = {json.dumps(key): polygon(outline) for key, outline in sawn["parts"]}
    kept = pieces(wood)
    for number, (cut, told) in enumerate(zip(sawn["plan"]["cuts"], sawn["cuts"])):
        taken, way = kerf(cut, sawn["kerf"])
        names = [json.dumps(it) for it in cut["parts"]]
        holding = [it for it in kept if any(it.intersection(parts[name]).area > CRUMB for name in names)]
        hand = next(it for it in (holding or kept) if it.intersects(way))
        kept.remove(hand)
        dust = hand.intersection(taken).area
        if not close(dust, told["dust"]):
            yield f"cut {number}: dust of {dust:.1f} mm2, told {told['dust']:.1f}"
        after = pieces(hand.difference(taken))
        with_parts = [it for it in after if any(it.intersection(part).area > CRUMB for part in parts.values())]
        kept += with_parts
        waste = [it for it in after if it not in with_parts]
        fallen = [it for it in told["falls"] if not it["parts"]]
        if len(waste) != len(fallen):
            yield f"cut {number}: {len(waste)} pieces of waste, told {len(fallen)}"
        for it in waste:
            near = [fall for fall in fallen if it.centroid.distance(Point(fall["middle"])) < MIDDLE]
            if not any(close(it.area, fall["area"]) for fall in near):
                yield f"cut {number}: waste of {it.area:.1f} mm2 was not told"
    for (name, part), told in zip(parts.items(), sawn["left"]):
        piece = next(it for it in kept if it.intersection(part).area > CRUMB)
        mean = piece.difference(part).area / part.exterior.length
        most = max(part.distance(Point(it)) for it in piece.exterior.coords)
        if abs(mean - told["mean"]) > MEAN or abs(most - told["most"]) > MOST:
            yield f"{name}: {mean:.3f} and {most:.2f} mm left, told {told['mean']:.3f} and {told['most']:.2f}"
        if math.isclose(piece.intersection(part).area, part.area, abs_tol=0.01) is False:
            yield f"{name}: wood of the part is gone"


if __name__ == "__main__":
    sys.exit(looked_at(faults, "plans_sawn_again", "plans_sawn_otherwise"))
