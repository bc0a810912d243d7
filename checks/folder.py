"""Every file that a study wrote into a folder, looked at once more."""

import json
import sys
from pathlib import Path


def looked_at(faults, seen, refused):
    """Prints what `faults` finds in each file of the folder named last, and the
    two figures; whether it found anything, as an exit code."""
    paths = sorted(Path(sys.argv[-1]).glob("*.json"))
    assert paths, f"the study wrote nothing to {sys.argv[-1]}"
    wrong = 0
    for path in paths:
        found = list(faults(json.loads(path.read_text())))
        wrong += bool(found)
        for fault in found:
            print(f"{path.stem}: {fault}")
    print(f"figure: check.{seen} {len(paths)}")
    print(f"figure: check.{refused} {wrong}")
    return wrong > 0
