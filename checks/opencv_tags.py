"""OpenCV reads the scale sheets in the demo pictures.

    opencv_tags.py --check [FOLDER, default assets/demo]

Outside reader: cv2.aruco, dictionary DICT_APRILTAG_36h11, which holds the open
tag family's codes by itself. Checks that every fully visible tag is found with
its number, and that its corners are where the truth beside the picture says.
Prints `figure: NAME VALUE` lines; the exit code says whether all is within limits.
"""

import json
import sys
from pathlib import Path

import cv2
import numpy as np

# OpenCV starts this family's corners at the one that is lower right on our sheets.
HALF_TURN = 2
# OpenCV counts from the middle of the first pixel, the truth from its corner.
PIXEL_MIDDLE = 0.5
# Most that one corner may lie off, in pixels, once the picture's mean inset is
# taken out. Blur and tone curve move every black edge the same small way into
# the black, so a corner finder that does not model them lies inside by a
# steady 0.4 to 0.8 px; only what is left over tells of a wrong truth.
CORNER_LIMIT = 0.8
# The inset itself may not be larger than that (measured 0.65 to 0.75 px by
# three corner finders on other rendered pictures).
INSET_LIMIT = 1.1
# The mean over all corners of a picture has no inset left in it: opposite
# corners cancel. In pixels.
MEAN_LIMIT = 0.1


def found_tags(picture):
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    corners, ids, _ = cv2.aruco.ArucoDetector(dictionary, parameters).detectMarkers(picture)
    if ids is None:
        return {}
    upright = [np.roll(quad.reshape(4, 2), HALF_TURN, axis=0) + PIXEL_MIDDLE for quad in corners]
    return {int(number): quad for number, quad in zip(ids.ravel(), upright)}


def check(path):
    truth = json.loads(path.with_suffix(".truth.json").read_text())
    picture = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    found = found_tags(picture)
    tags = {tag["id"]: tag for sheet in truth["sheets"] for tag in sheet["tags"]}
    expected = {number for number, tag in tags.items() if tag["visible"]}
    faults = []
    if missed := sorted(expected - set(found)):
        faults.append(f"tags not found: {missed}")
    if strange := sorted(set(found) - set(tags)):
        faults.append(f"tags that are not in the picture: {strange}")
    both = sorted(expected & set(found))
    if not both:
        return [*faults, "nothing to compare"]
    true = np.array([tags[number]["corners_px"] for number in both])
    off = np.array([found[number] for number in both]) - true
    inward = true.mean(axis=1, keepdims=True) - true
    inward /= np.linalg.norm(inward, axis=2, keepdims=True)
    inset = float((off * inward).sum(axis=2).mean())
    left = np.linalg.norm(off - inset * inward, axis=2)
    mean = np.linalg.norm(off.mean(axis=(0, 1)))
    name = path.stem
    print(f"figure: {name} tags found {len(both)} of {len(expected)}")
    print(f"figure: {name} corner inset, px {inset:.3f}")
    print(f"figure: {name} corner rms less the inset, px {np.sqrt((left**2).mean()):.3f}")
    print(f"figure: {name} corner largest less the inset, px {left.max():.3f}")
    print(f"figure: {name} mean shift, px {mean:.3f}")
    if left.max() > CORNER_LIMIT:
        faults.append(f"a corner is {left.max():.2f} px off; at most {CORNER_LIMIT} is allowed")
    if abs(inset) > INSET_LIMIT:
        faults.append(f"corners lie {inset:.2f} px inside; at most {INSET_LIMIT} is known")
    if mean > MEAN_LIMIT:
        faults.append(f"all corners are shifted by {mean:.3f} px; at most {MEAN_LIMIT} is allowed")
    return faults


def main():
    arguments = sys.argv[1:]
    if not arguments or arguments[0] != "--check" or len(arguments) > 2:
        print(__doc__)
        return 2
    demo = Path(__file__).resolve().parent.parent / "assets" / "demo"
    folder = Path(arguments[1]) if len(arguments) == 2 else demo
    paths = [path for path in sorted(folder.glob("*.jpg")) if path.with_suffix(".truth.json").exists()]
    if not paths:
        print(f"no pictures with truth in {folder}")
        return 2
    faults = [f"{path.name}: {fault}" for path in paths for fault in check(path)]
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
