"""Brings odd files in as photographs of wood, as a maker may by mistake.

    odd_pictures.py --check TREEN SHOP

runs the program on each: a cat (skimage.data.chelsea, by Stefan van der Walt,
CC0), a large photograph of nothing, files that promise more than they hold
or are no pictures (cases/pictures/kinds), text, zeros. Each must be refused with
what it is and the way on, within ten seconds and a gigabyte as the kernel counts
it (never less than this script itself holds), and leave nothing in the shop.
"""

import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image
from skimage import data

KINDS = Path(__file__).resolve().parent.parent / "cases" / "pictures" / "kinds"
MOST_SECONDS = 10
MOST_MB = 1000


def odd_files(folder):
    """Each file, and a word that must be in what is told of it."""
    Image.fromarray(data.chelsea()).save(folder / "cat.png")
    grey = np.random.default_rng(1).integers(90, 160, (1000, 1500, 3), dtype=np.uint8)
    Image.fromarray(grey).resize((6000, 4000)).save(folder / "nothing.jpg", quality=60)
    (folder / "notes.txt").write_text("figured maple, two boards\n" * 50)
    (folder / "zeros.jpg").write_bytes(bytes(5000))
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "half.jpg").write_bytes((folder / "nothing.jpg").read_bytes()[:200_000])
    (folder / "half.heic").write_bytes((KINDS / "grid_turned.heic").read_bytes()[:9000])
    made = {
        "cat.png": "no scale sheet", "nothing.jpg": "no scale sheet", "notes.txt": "not a JPEG",
        "zeros.jpg": "not a JPEG", "empty.jpg": "empty", "half.jpg": "cut off", "half.heic": "HEIC",
    }
    kept = {
        "moving.png": "moves", "moving.webp": "moves", "moving.gif": "not a JPEG", "one_pixel.png": "only 1 by 1",
        "sixty_thousand.png": "60000 by 60000", "heavy.png": "could not be read", "exif_lies.jpg": "no scale sheet",
        "cmyk.jpg": "no scale sheet", "gray_16_bit.png": "no scale sheet", "palette.png": "no scale sheet",
        "gray.heic": "no scale sheet",
    }
    return [(folder / name, word) for name, word in made.items()] + [(KINDS / name, word) for name, word in kept.items()]


def brought_in(treen, shop, file):
    """What is told, the exit code, seconds and megabytes."""
    command = [treen, "rack", "photo", file, "Odd", "--species", "black_walnut", "--thickness", "40mm", "--shop", shop]
    begun = time.perf_counter()
    with tempfile.TemporaryFile() as out:
        child = subprocess.Popen([str(it) for it in command], stdout=out, stderr=out)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        told = out.read().decode()
    return told, child.returncode, time.perf_counter() - begun, used.ru_maxrss / 1000


def held(shop):
    """How many rows each table of the shop's file has, and which pictures lie beside it."""
    with sqlite3.connect(Path(shop) / "shop.sqlite") as file:
        names = [name for (name,) in file.execute("select name from sqlite_master where type = 'table'")]
        rows = {name: file.execute(f"select count(*) from {name}").fetchone()[0] for name in names}
    return rows, sorted(it.name for it in (Path(shop) / "pictures").rglob("*"))


def main():
    if len(sys.argv) != 4 or sys.argv[1] != "--check":
        print(__doc__)
        return 2
    treen, shop = sys.argv[2:]
    subprocess.run([treen, "rack", "list", "--shop", shop], check=True, capture_output=True)
    before, faults = held(shop), []
    worst_s = worst_mb = 0
    with tempfile.TemporaryDirectory() as folder:
        for file, word in odd_files(Path(folder)):
            told, code, seconds, mb = brought_in(treen, shop, file)
            worst_s, worst_mb = max(worst_s, seconds), max(worst_mb, mb)
            print(f"{file.name}: {told.strip()} [{seconds:.1f} s, {mb:.0f} MB]")
            if code == 0 or word not in told or "hint:" not in told or "panicked" in told:
                faults.append(f"{file.name}: {told.strip()}")
            if seconds > MOST_SECONDS or mb > MOST_MB:
                faults.append(f"{file.name}: took {seconds:.1f} s and {mb:.0f} MB")
    if held(shop) != before:
        faults.append(f"the shop holds {held(shop)}, and held {before}")
    print(f"figure: check.odd_seconds_worst {worst_s:.1f}")
    print(f"figure: check.odd_mb_worst {worst_mb:.0f}")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
