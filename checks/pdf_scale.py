"""Measures printed sheets with an independent PDF reader (pdfplumber).

    pdf_scale.py --check FILE.pdf ...

A scale sheet: every black square, its pitch, the check line. A packet: the
check bar on every template sheet, and each template pasted together again by
its registration crosses, whose extent must be the one printed on it. Prints
`figure: NAME VALUE` lines; the exit code says whether all is within limits.
"""

import math
import re
import sys
from collections import defaultdict

import pdfplumber

MM = 25.4 / 72.0
# A hundredth of a point: what the reader's own rounding leaves.
BAR_LIMIT_PT = 0.01
# The finest that anybody reads off a steel rule, halved.
PASTED_LIMIT_MM = 0.1
SQUARE_LIMIT_MM = 0.01
CROSS_LIMIT_MM = 0.02

TAG_MM, PITCH_MM, LINE_MM, BAR_MM = 34.0, 42.0, 200.0, 100.0
# As written in the file: the reader does not scale widths of lines.
CUT_LINE, WINDOW_LINE = 0.5, 0.1 / MM
PAPERS = {"letter": (612.0, 792.0), "a4": (595.2756, 841.8898)}


class Failed(Exception):
    """A measure beyond its limit."""


def figure(name, value):
    print(f"figure: {name} {value}")


def hold(good, words):
    if not good:
        raise Failed(words)


def paper_of(page):
    """Which paper a page is on, either way round."""
    sides = sorted((float(page.width), float(page.height)))
    for name, size in PAPERS.items():
        if all(abs(a - b) < 0.01 for a, b in zip(sides, size)):
            return name
    raise Failed(f"page {page.page_number} is {sides[0]:.2f} by {sides[1]:.2f} pt, no known paper")


def straight(page):
    """Every straight stroke as (x0, top, x1, bottom), in points."""
    for it in page.lines:
        yield it["x0"], it["top"], it["x1"], it["bottom"]


def scale_sheet(page):
    """Squares and check line of one scale sheet: the largest errors, in mm."""
    squares = [it for it in page.rects if it["fill"] and it["width"] * MM > 20 and it["height"] * MM > 20]
    hold(len(squares) == 24, f"page {page.page_number} has {len(squares)} squares, 24 expected")
    side = max(max(abs(it["width"] * MM - TAG_MM), abs(it["height"] * MM - TAG_MM)) for it in squares)
    columns = sorted({round(it["x0"] * MM, 3) for it in squares})
    rows = sorted({round(it["top"] * MM, 3) for it in squares})
    hold((len(columns), len(rows)) == (4, 6), f"{len(columns)} columns and {len(rows)} rows of squares")
    steps = [b - a for line in (columns, rows) for a, b in zip(line, line[1:])]
    pitch = max(abs(it - PITCH_MM) for it in steps)
    lengths = [(bottom - top) * MM for x0, top, x1, bottom in straight(page) if abs(x1 - x0) < 0.01]
    line = min((abs(it - LINE_MM) for it in lengths), default=math.inf)
    return side, pitch, line


def check_bar(page):
    """The length of the check bar in points: the level line nearest to 100 mm."""
    level = [x1 - x0 for x0, top, x1, bottom in straight(page) if abs(bottom - top) < 0.01]
    level = [it for it in level if abs(it * MM - BAR_MM) < 10]
    hold(level, f"page {page.page_number} has no check bar")
    return min(level, key=lambda it: abs(it * MM - BAR_MM))


def window_of(page):
    """The printed window: the largest rectangle with its own thin line."""
    stroked = [it for it in page.rects if it["stroke"] and abs(it["linewidth"] - WINDOW_LINE) < 0.001]
    hold(stroked, f"page {page.page_number} has no window")
    best = max(stroked, key=lambda it: it["width"] * it["height"])
    return best["x0"] * MM, best["top"] * MM, best["x1"] * MM, best["bottom"] * MM


def crosses_of(page, window):
    """Registration crosses in the window: number -> middle in mm."""
    words = [it for it in page.extract_words() if it["text"].isdigit()]
    found = {}
    for it in page.curves:
        points = [(x * MM, y * MM) for x, y in it["pts"]]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        if it["fill"] or abs(wide - 4.0) > 0.02 or abs(high - 4.0) > 0.02:
            continue
        x, y = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
        if not (window[0] < x < window[2] and window[1] < y < window[3]):
            continue
        near = [w for w in words if math.hypot(w["x0"] * MM - x - 1.6, w["top"] * MM - y + 4.2) < 2.5]
        hold(near, f"page {page.page_number}: the cross at {x:.1f}, {y:.1f} mm has no number")
        found[int(near[0]["text"])] = (x, y)
    return found


def cut_strokes(page, window):
    """Pieces of the cut outline inside the window, as pairs of points in mm."""
    for it in page.curves + page.rects + page.lines:
        if it["fill"] or not it["stroke"] or abs(it["linewidth"] - CUT_LINE) > 0.001:
            continue
        points = [(x * MM, y * MM) for x, y in it["pts"]]
        for a, b in zip(points, points[1:] + points[:1]):
            kept = clipped(a, b, window)
            if kept:
                yield kept


def clipped(a, b, window):
    """The part of a stroke inside a window (Liang and Barsky), or None."""
    left, top, right, bottom = window
    dx, dy = b[0] - a[0], b[1] - a[1]
    low, high = 0.0, 1.0
    for way, room in ((-dx, a[0] - left), (dx, right - a[0]), (-dy, a[1] - top), (dy, bottom - a[1])):
        if way == 0:
            if room < 0:
                return None
            continue
        share = room / way
        low, high = (max(low, share), high) if way < 0 else (low, min(high, share))
    if low > high:
        return None
    return [(a[0] + t * dx, a[1] + t * dy) for t in (low, high)]


def paste(sheets):
    """Lays sheets on each other by their crosses: extent in mm, worst cross."""
    offset = {0: (0.0, 0.0)}
    worst = 0.0
    waiting = [0]
    while waiting:
        one = waiting.pop()
        for other in range(len(sheets)):
            shared = sheets[one]["crosses"].keys() & sheets[other]["crosses"].keys()
            if other == one or not shared:
                continue
            moves = []
            for number in sorted(shared):
                (ax, ay), (bx, by) = sheets[one]["crosses"][number], sheets[other]["crosses"][number]
                moves.append((offset[one][0] + ax - bx, offset[one][1] + ay - by))
            if other not in offset:
                offset[other] = moves[0]
                waiting.append(other)
            for move in moves:
                worst = max(worst, math.dist(move, offset[other]))
    hold(len(offset) == len(sheets), f"{len(sheets) - len(offset)} sheets share no cross with the others")
    xs, ys = [], []
    for index, sheet in enumerate(sheets):
        for stroke in sheet["strokes"]:
            for x, y in stroke:
                xs.append(x + offset[index][0])
                ys.append(y + offset[index][1])
    return (max(xs) - min(xs), max(ys) - min(ys)), worst


def packet(pdf):
    """Check bars and pasted templates of a packet."""
    patterns = defaultdict(list)
    bars = []
    for page in pdf.pages:
        text = page.extract_text()
        name = re.match(r"([A-Z]+)(\d+) ", text)
        hold(bool(name) == ("measure this bar" in text), f"page {page.page_number} is half a template sheet")
        if not name:
            continue
        bars.append(check_bar(page))
        window = window_of(page)
        said = re.search(r"(\d+\.\d) mm by (\d+\.\d) mm", text)
        hold(said, f"page {page.page_number} does not say how large the pattern is")
        patterns[said.group(0)].append(
            {"crosses": crosses_of(page, window), "strokes": list(cut_strokes(page, window)), "said": said.groups(), "name": name.groups()}
        )
    hold(bars, "no template sheet was found")
    worst_bar = max(abs(it - BAR_MM / MM) for it in bars)
    figure("pdf.template_sheets", len(bars))
    figure("pdf.check_bar_error_pt", f"{worst_bar:.5f}")
    hold(worst_bar <= BAR_LIMIT_PT, f"a check bar is {worst_bar:.4f} pt off")
    for sheets in patterns.values():
        said = sorted(float(it) for it in sheets[0]["said"])
        names = {it["name"] for it in sheets}
        # Sheets without a line are left out; were one with a line missing, the
        # extent would be short or the rest would hang together no more.
        hold(len(sheets) == len(names), f"a sheet is printed twice: {sorted(it['name'] for it in sheets)}")
        extent, cross = paste(sheets)
        off = max(abs(a - b) for a, b in zip(said, sorted(extent)))
        name = "x".join(f"{it:.1f}" for it in said)
        figure(f"pdf.pasted_{name}_sheets", len(sheets))
        figure(f"pdf.pasted_{name}_error_mm", f"{off:.4f}")
        figure(f"pdf.pasted_{name}_cross_mm", f"{cross:.4f}")
        hold(off <= PASTED_LIMIT_MM, f"the pasted template is {off:.3f} mm off {name} mm")
        hold(cross <= CROSS_LIMIT_MM, f"crosses miss each other by {cross:.3f} mm")


def sheets(pdf):
    """Every scale sheet of a file."""
    worst = [max(it) for it in zip(*(scale_sheet(page) for page in pdf.pages))]
    for name, it in zip(("square", "pitch", "check_line"), worst):
        figure(f"pdf.{name}_error_mm", f"{it:.5f}")
        hold(it <= SQUARE_LIMIT_MM, f"a scale sheet's {name.replace('_', ' ')} is {it:.4f} mm off")


def measure(path):
    """Measures one file, whichever kind it is."""
    with pdfplumber.open(path) as pdf:
        papers = {paper_of(page) for page in pdf.pages}
        hold(len(papers) == 1, f"pages on {', '.join(sorted(papers))}")
        print(f"{path}: {len(pdf.pages)} pages on {papers.pop()}")
        viewer = pdf.doc.catalog.get("ViewerPreferences") or {}
        scaling = getattr(viewer.get("PrintScaling"), "name", None)
        hold(scaling == "None", f"viewers may shrink the pages: PrintScaling is {scaling}")
        if "Scale sheet" in pdf.pages[0].extract_text():
            sheets(pdf)
        else:
            packet(pdf)


def main(arguments):
    paths = [it for it in arguments if not it.startswith("--")]
    if not paths:
        print(__doc__)
        return 2
    bad = 0
    for path in paths:
        try:
            measure(path)
        except Failed as fault:
            print(f"{path}: {fault}")
            bad = 1
    return bad


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
