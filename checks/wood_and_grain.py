"""Finds wood and grain in photographs of known truth with OpenCV and scikit-image, beside ours.

    wood_and_grain.py --check

Renders photographs of the study in a small size (`proving --render`), measures
each with the example `rectify` of the crate `photo`, both as `cargo build
--workspace --examples --bins` builds them, and in the same run

1. the wood: OpenCV's GrabCut (Rother, Kolmogorov and Blake 2004; cv2.grabCut,
   five rounds), which is told the true bounding box and whose largest part is
   filled; both by common area over union with the true wood in the photograph;
2. the grain: scikit-image's structure tensor (skimage.feature.structure_tensor)
   at the width that does best on these photographs; both by the angle, in the
   photograph, to the true fibres at every place of the truth.

Ours may not be worse than theirs by more than the tolerances below. Prints
`figure: NAME VALUE` lines with both sides' figures and times; ours is not built
for speed.
"""

import json
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import cv2
import numpy as np
from scipy.spatial import cKDTree
from skimage.feature import structure_tensor

ROOT = Path(__file__).resolve().parent.parent
PROGRAMS = ROOT / "target" / "debug"
STUDY = ROOT / "target" / "checks" / "study"
# Not among those that are published (1 to 200).
FIRST, COUNT = 1001, 3
WIDTH_PX = 2016
# GrabCut takes as the number of pixels; its own authors work on small ones.
CUT_PX = 672
# Ours may be worse by so much in the middle of the photographs.
IOU_SLACK = 0.005
GRAIN_SLACK_DEG = 0.5
WIDTHS_PX = (3, 6, 12, 24)
# Steps of ours, as the example names them, that find the wood and read the grain.
WOOD_STEPS, GRAIN_STEPS = r"wood|edge|outline", r"grain|fibre"


def run(*command):
    return subprocess.run([str(it) for it in command], cwd=ROOT, check=True, capture_output=True, text=True).stdout


def ours(picture, marks):
    """Our wood's line, and directions with their places, in the photograph; each step's time."""
    on_top = ["on-top"] if marks["sheets"] == "on_top" else []
    with tempfile.TemporaryDirectory() as folder:
        told = run(PROGRAMS / "examples" / "rectify", picture, folder, marks["thickness_mm"], *on_top)
        raw = np.fromfile(Path(folder) / "map.f32", dtype="<f4")
        lines = (Path(folder) / "outline.txt").read_text().split("\n")
        grain = np.loadtxt(Path(folder) / "grain.txt")
    width, height = int(raw[0]), int(raw[1])
    where = np.ascontiguousarray(raw[2:].reshape(height, width, 2))
    pixel = float(lines[0])
    corners = np.array([[float(it) for it in line.split()] for line in lines[1:] if line])

    def seen(places):
        at = np.stack([places[:, 0] / pixel - 0.5, height - places[:, 1] / pixel - 0.5], 1).astype(np.float32)
        return cv2.remap(where, at[:, None, :], None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)[:, 0]

    along = np.radians(grain[:, 2])
    step = 2 * np.stack([np.cos(along), np.sin(along)], 1)
    way = seen(grain[:, :2] + step) - seen(grain[:, :2] - step)
    steps = {name: float(ms) for name, ms in re.findall(r"^(.*): +(\d+) ms$", told, re.MULTILINE)}
    return seen(corners), seen(grain[:, :2]), np.arctan2(way[:, 1], way[:, 0]), steps


def mask(line, shape, scale):
    out = np.zeros(shape, np.uint8)
    cv2.fillPoly(out, [np.round(np.asarray(line) * scale).astype(np.int32)], 1)
    return out.astype(bool)


def cut(photograph, truth, scale):
    """OpenCV's wood, told the true bounding box."""
    small = cv2.resize(photograph, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    begun = time.perf_counter()
    labels = np.zeros(small.shape[:2], np.uint8)
    box = cv2.boundingRect(truth.astype(np.uint8))
    cv2.setRNGSeed(1)
    cv2.grabCut(small, labels, box, np.zeros((1, 65)), np.zeros((1, 65)), 5, cv2.GC_INIT_WITH_RECT)
    found = np.isin(labels, (cv2.GC_FGD, cv2.GC_PR_FGD)).astype(np.uint8)
    rings, _ = cv2.findContours(found, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    largest = max(rings, key=cv2.contourArea)
    return mask(largest[:, 0], found.shape, 1), time.perf_counter() - begun


def overlap(a, b):
    return (a & b).sum() / (a | b).sum()


def apart(a, b):
    """Degrees between two lines' directions."""
    return np.degrees(np.abs((a - b + np.pi / 2) % np.pi - np.pi / 2))


def tensor_directions(gray, places, width):
    begun = time.perf_counter()
    rr, rc, cc = structure_tensor(gray, sigma=width, order="rc")
    at = np.clip(np.round(places - 0.5).astype(int), 0, np.array(gray.shape[::-1]) - 1)
    rr, rc, cc = (it[at[:, 1], at[:, 0]] for it in (rr, rc, cc))
    # The slope runs across the fibres.
    return np.arctan2(2 * rc, cc - rr) / 2 + np.pi / 2, time.perf_counter() - begun


def check(picture):
    marks = json.loads(picture.with_suffix(".truth.json").read_text())
    photograph = cv2.imread(str(picture))
    line, places, directions, steps = ours(picture, marks)
    scale = CUT_PX / max(photograph.shape[:2])
    shape = cv2.resize(photograph, None, fx=scale, fy=scale).shape[:2]
    truth = mask(marks["wood_line_px"], shape, scale)
    theirs, cut_s = cut(photograph, truth, scale)
    at = np.array([it["at_px"] for it in marks["fibres"]])
    way = np.array([it["toward_px"] for it in marks["fibres"]]) - at
    fibres = np.arctan2(way[:, 1], way[:, 0])
    own = apart(directions[cKDTree(places).query(at)[1]], fibres)
    gray = cv2.cvtColor(photograph, cv2.COLOR_BGR2GRAY).astype(float)
    tensors = [tensor_directions(gray, at, width) for width in WIDTHS_PX]

    def took(pattern):
        return sum(ms for name, ms in steps.items() if re.search(pattern, name)) / 1000

    return {
        "iou": (overlap(mask(line, shape, scale), truth), overlap(theirs, truth)),
        "wood_s": (took(WOOD_STEPS), cut_s),
        "grain": own,
        "tensors": [apart(it, fibres) for it, _ in tensors],
        "grain_s": (took(GRAIN_STEPS), min(s for _, s in tensors)),
    }


def main():
    run(PROGRAMS / "proving", "--render", "--from", STUDY, "--seed", FIRST, "--count", COUNT, "--width-px", WIDTH_PX)
    all_ = [check(STUDY / f"{number:04}.jpg") for number in range(FIRST, FIRST + COUNT)]
    middle = {name: [float(np.median([it[name][side] for it in all_])) for side in (0, 1)] for name in ("iou", "wood_s", "grain_s")}
    grain = float(np.median(np.concatenate([it["grain"] for it in all_])))
    widths = [np.median(np.concatenate([it["tensors"][at] for it in all_])) for at in range(len(WIDTHS_PX))]
    tensor = float(min(widths))
    for name, values in [("wood_iou", middle["iou"]), ("wood_s", middle["wood_s"]), ("grain_deg", (grain, tensor)), ("grain_s", middle["grain_s"])]:
        print(f"figure: check.{name} ours {values[0]:.4f} theirs {values[1]:.4f}")
    for it in all_:
        print(f"  iou {it['iou'][0]:.4f} and {it['iou'][1]:.4f}, grain {np.median(it['grain']):.2f} degrees")
    faults = []
    if middle["iou"][0] < middle["iou"][1] - IOU_SLACK:
        faults.append(f"our wood's overlap is {middle['iou'][0]:.4f}, GrabCut's {middle['iou'][1]:.4f}")
    if grain > tensor + GRAIN_SLACK_DEG:
        faults.append(f"our grain is {grain:.2f} degrees off, the structure tensor's {tensor:.2f}")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main() if sys.argv[1:] == ["--check"] else print(__doc__) or 2)
