"""Holds the survey of a photograph against OpenCV and against the photograph's truth.

    python checks/opencv_rectify.py [--check] [PICTURE TRUTH [THICKNESS_MM [on-top]]]

takes the demo's slab and offcut if no picture is named; needs
opencv-python-headless and numpy. Runs the example `rectify` of the crate
`photo`, which writes the face's picture and where the photograph shows each of
its pixels, and checks

1. the face's picture: OpenCV remaps the photograph by the same map;
2. the map: OpenCV takes the true lens out of it, the true camera brings it to
   the plane of the face, and the face must be the true one but for a rigid
   motion: its scale is how far every length is off;
3. the scale sheets' tags: OpenCV's own reader finds the same scale between two
   tags far apart, on the plane of the sheets.

Exit code 0 if all holds, 1 if not.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np

ROOT = Path(__file__).resolve().parent.parent
# Both sides round to whole levels and the face is kept as JPEG: what may be
# left is about a level, and no shift of the mean.
MOST_MEAN_DIFFERENCE = 1.2
MOST_BIAS = 0.2
# The aim: lengths right to 0.3 %.
MOST_SCALE_ERROR = 0.003
# What a rigid motion leaves: a millimetre on a slab of a metre.
MOST_RESIDUAL_MM = 1.0


def rectify(picture, arguments, folder):
    command = ["cargo", "run", "-q", "-p", "photo", "--example", "rectify", "--", picture, folder]
    subprocess.run([*map(str, command), *arguments], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    raw = np.fromfile(Path(folder) / "map.f32", dtype="<f4")
    width, height = int(raw[0]), int(raw[1])
    pixel = float((Path(folder) / "outline.txt").read_text().split("\n")[0])
    return cv2.imread(str(Path(folder) / "face.jpg")), raw[2:].reshape(height, width, 2), pixel


def same_picture(photograph, face, where):
    # OpenCV counts from the middle of the first pixel.
    ours = where - np.float32(0.5)
    theirs = cv2.remap(photograph, ours[..., 0], ours[..., 1], cv2.INTER_LINEAR)
    height, width = photograph.shape[:2]
    inside = (ours > 1).all(-1) & (ours[..., 0] < width - 2) & (ours[..., 1] < height - 2)
    apart = face[inside].astype(float) - theirs[inside]
    return np.abs(apart).mean(), np.abs(apart.mean(0)).max()


def on_plane(points, truth, level):
    """Millimetres on the plane at a level, by the true camera."""
    camera = truth["camera"]
    focal, (x, y) = camera["focal_px"], camera["principal_px"]
    lens = np.array([[focal, 0, x], [0, focal, y], [0, 0, 1]])
    bend = np.array([camera["k1"], camera["k2"], 0, 0])
    # OpenCV's five rounds stop short of a hundredth of a pixel at the corners.
    rounds = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 50, 1e-12)
    points = points.reshape(-1, 1, 2).astype(float)
    if hasattr(cv2, "undistortPointsIter"):
        flat = cv2.undistortPointsIter(points, lens, bend, None, None, rounds)
    else:
        flat = cv2.undistortPoints(points, lens, bend, criteria=rounds)
    rays = np.concatenate([flat.reshape(-1, 2), np.ones((len(points), 1))], 1)
    pose = camera["pose"]
    rays = rays @ np.array(pose["rotation"])
    centre = np.array(pose["centre_mm"])
    return (centre + rays * ((level - centre[2]) / rays[:, 2:3]))[:, :2]


def similarity(own, true):
    """Scale of the best similarity (Umeyama 1991), and what it leaves."""
    a, b = own - own.mean(0), true - true.mean(0)
    u, s, v = np.linalg.svd(b.T @ a / len(a))
    flip = np.diag([1, np.sign(np.linalg.det(u) * np.linalg.det(v))])
    scale = np.trace(np.diag(s) @ flip) / a.var(0).sum()
    left = np.hypot(*(b - scale * a @ (u @ flip @ v).T).T)
    return scale, left


def map_is_true(where, pixel, truth, level):
    height, width = where.shape[:2]
    ys, xs = np.mgrid[0:height:25, 0:width:25]
    own = np.stack([(xs + 0.5) * pixel, (height - ys - 0.5) * pixel], -1).reshape(-1, 2)
    true = on_plane(where[ys, xs].reshape(-1, 2), truth, level)
    scale, left = similarity(own, true)
    return scale - 1, left


def tags_are_true(photograph, truth):
    """The true tags' distances by OpenCV's reader, true lens and pose: share off, and how many."""
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    asked = cv2.aruco.DetectorParameters()
    asked.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, ids, _ = cv2.aruco.ArucoDetector(family, asked).detectMarkers(photograph)
    found = {int(i): c.reshape(4, 2).mean(0) + 0.5 for i, c in zip(ids.ravel(), corners)}
    true = {t["id"]: np.mean(t["corners"], 0) for s in truth["sheets"] for t in s["tags"]}
    both = sorted(set(found) & set(true))
    seen = on_plane(np.array([found[i] for i in both]), truth, truth["sheets_level_mm"])
    scale, _ = similarity(np.array([true[i] for i in both]), seen)
    return scale - 1, len(both)


def check(picture, truth_file, arguments):
    truth = json.loads(Path(truth_file).read_text())
    thickness = truth["slab"]["thickness_mm"]
    with tempfile.TemporaryDirectory() as folder:
        face, where, pixel = rectify(Path(picture).resolve(), arguments or [str(thickness)], folder)
    photograph = cv2.imread(str(picture))
    difference, bias = same_picture(photograph, face, where)
    scale, left = map_is_true(where, pixel, truth, thickness)
    tag_scale, tags = tags_are_true(photograph, truth)
    checks = [
        (f"face against cv2.remap: mean difference {difference:.3f} of 255", difference <= MOST_MEAN_DIFFERENCE),
        (f"face against cv2.remap: bias {bias:.3f} of 255", bias <= MOST_BIAS),
        (f"every length off by {scale * 100:+.3f} %", abs(scale) <= MOST_SCALE_ERROR),
        (f"left by a rigid motion: mean {left.mean():.3f} mm, most {left.max():.3f} mm", left.max() <= MOST_RESIDUAL_MM),
        (f"OpenCV reads {tags} tags, their distances off by {tag_scale * 100:+.3f} %", abs(tag_scale) <= MOST_SCALE_ERROR),
    ]
    for told, holds in checks:
        print("holds" if holds else "FAILS", Path(picture).name, told)
    return all(holds for _, holds in checks)


def main():
    given = [it for it in sys.argv[1:] if it != "--check"]
    demo = ROOT / "assets/demo"
    cases = [(given[0], given[1], given[2:])] if given else [
        (demo / "walnut-slab.jpg", demo / "walnut-slab.truth.json", []),
        (demo / "cherry-offcut.jpg", demo / "cherry-offcut.truth.json", ["24", "on-top"]),
    ]
    return 0 if all([check(*case) for case in cases]) else 1


if __name__ == "__main__":
    sys.exit(main())
