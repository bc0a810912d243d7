"""Strips laid by a general packing library, to be held beside ours.

    peers.py SECONDS INSTANCE...    needs the package spyrrow, on two threads

Prints density, seconds on the clock and processor seconds of each instance of
cases/placing/strip. Not part of ./test: a fair run wants a machine to itself.
"""

import json
import resource
import sys
import time
from pathlib import Path

import spyrrow

FOLDER = Path(__file__).parent.parent / "cases" / "placing" / "strip"


def item(index, written):
    corners = [tuple(corner) for corner in written["shape"]["data"]]
    turns = written["allowed_orientations"]
    return spyrrow.Item(str(index), corners, demand=written["demand"], allowed_orientations=turns)


def main():
    seconds, names = int(sys.argv[1]), sys.argv[2:]
    for name in names:
        written = json.loads((FOLDER / f"{name}.json").read_text())
        items = [item(index, it) for index, it in enumerate(written["items"])]
        instance = spyrrow.StripPackingInstance(name, strip_height=written["strip_height"], items=items)
        config = spyrrow.StripPackingConfig(
            early_termination=False, total_computation_time=seconds, num_workers=2, seed=1
        )
        begun, used = time.time(), resource.getrusage(resource.RUSAGE_SELF)
        found = instance.solve(config)
        now = resource.getrusage(resource.RUSAGE_SELF)
        cpu = now.ru_utime + now.ru_stime - used.ru_utime - used.ru_stime
        print(
            f"{name}: density {100 * found.density:.2f} %, length {found.width:.3f}, "
            f"{time.time() - begun:.1f} s, {cpu:.1f} s of processor"
        )


if __name__ == "__main__":
    main()
