"""Layouts of the placing study, judged once more by shapely in double precision.

    layouts.py --check FOLDER    judges every layout that the study wrote there

A layout is refused where things overlap, come nearer to each other or to their
wood's line than they may, or lie on what they have to keep off.
"""

import sys

from shapely import STRtree
from shapely.geometry import Polygon

from folder import looked_at

# What is lost when places are written in double precision, in millimetres.
HAIR = 1e-6


def polygon(rings):
    return Polygon(rings[0], rings[1:])


def faults(layout):
    for face in layout["faces"]:
        wood = polygon(face["outline"])
        things = [polygon(it["rings"]) for it in face["things"]]
        for number, (thing, it) in enumerate(zip(things, face["things"])):
            if not thing.is_valid or thing.area <= 0:
                yield f"thing {number} is no shape"
            if thing.difference(wood).area > HAIR:
                yield f"thing {number} reaches past the wood"
            if thing.distance(wood.boundary) < face["edge"] - HAIR:
                yield f"thing {number} lies {thing.distance(wood.boundary)} from the edge"
            for area in map(Polygon, it["keeps_off"]):
                if thing.distance(area) < face["edge"] - HAIR or thing.intersection(area).area > HAIR:
                    yield f"thing {number} lies on a bad place"
        tree = STRtree(things)
        for number, thing in enumerate(things):
            for other in tree.query(thing.buffer(layout["gap"] + 1.0)):
                if other <= number:
                    continue
                if thing.intersection(things[other]).area > HAIR:
                    yield f"things {number} and {other} overlap"
                if thing.distance(things[other]) < layout["gap"] - HAIR:
                    yield f"things {number} and {other} are too close"


if __name__ == "__main__":
    sys.exit(looked_at(faults, "layouts_judged", "layouts_rejected"))
