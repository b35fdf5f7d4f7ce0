"""Truth for what carries the stone: spans and overhangs by closed forms of the drawn rectangles."""
import math
import random

from shapely.geometry import box

from truth_base import counter, marks, note
from truth_kit import Case, Scene, Truth, rect, rounded, shape

SPAN, CANTILEVER, GRACE = 914.0, 254.0, 0.5  # 3 cm: Dimension Stone Design Manual 8.0 (2016), ch. 17
RULES = ["unsupported-span", "overhang", "overhang-share"]


def turned(s, t, rng, on=True):
    if not on:
        return s, t
    out, move = s.moved(angle=rng.uniform(0, 360), mirror=rng.random() < 0.5, at=(rng.uniform(-3000, 3000), rng.uniform(-3000, 3000)))
    return out, t.moved(move) if t else None


def measured(rule, want, tolerance=1.0):
    def check(result):
        got = [f["measured"] for f in result["flags"] if f["rule"] == rule]
        return [] if not got or any(abs(g - want) <= tolerance for g in got) else [f"{rule} measured {got}, wanted {want:.1f}"]
    return check


def support(seed):
    rng = random.Random(f"h{seed}")
    out = []

    def add(name, s, t, bad, rules=RULES, figures=None, why="", turn=True, silent=None):
        s, t = turned(s, t, rng, turn)
        out.append(Case(name, s, "stop" if bad else "ready", None if bad else t, rules=rules if bad else (), silent=(RULES if silent is None else silent) if not bad else (), figures=figures, why=why))

    for k, lip in enumerate([20, 38, 120, 180, 205, 220, 240, 253, 256, 300, 400]):
        depth = [640, 900][k % 2]
        s, t = counter(2000, depth, lip=lip)
        bad = lip > CANTILEVER + GRACE or lip / depth > 1 / 3 + 0.001
        add(f"lip-{k:02d}", s, t, bad, figures=measured("overhang", lip), why=f"front overhang of {lip} mm on {depth}")
    for k, gap in enumerate([100, 500, 800, 900, 912, 917, 1000, 1300]):
        s, t = counter(1200 + gap, 640, cabinet=False)
        s.poly(rect(0, 20, 600, 640), "CABINET").poly(rect(600 + gap, 20, 1200 + gap, 640), "CABINET")
        add(f"gap-{k}", s, t, gap > SPAN + GRACE, figures=measured("unsupported-span", gap), why=f"{gap} mm between two cabinets")
    for k, gap in enumerate([450, 600, 610, 900, 950, 1200]):
        s, t = counter(2400, 640, lip=38)
        s.poly(rect(700, 38, 700 + gap, 640), "DISHWASHER")
        add(f"dishwasher-{k}", s, t, gap > SPAN + GRACE, why=f"opening of {gap} mm with a lip of 38")
    for k, (w, d) in enumerate([(700, 700), (900, 700), (950, 950), (800, 600), (1030, 800), (1400, 800), (1800, 900), (1050, 1050), (600, 500), (1000, 400)]):
        leg = 60
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        for x in (0, w - leg):
            for y in (0, d - leg):
                s.poly(rect(x, y, x + leg, y + leg), "LEG")
        clear = max(w, d) - 2 * leg
        add(f"legs-{k}", s, Truth([box(0, 0, w, d)]), clear > SPAN + GRACE, figures=measured("unsupported-span", clear, 3), why=f"table {w} x {d} on legs of {leg} at its corners, {clear} mm clear")
    for k, (w, d) in enumerate([(1200, 700), (2000, 900), (1800, 1100), (2400, 1300)]):  # rails along the long sides
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        s.line((0, 40), (w, 40), "SUPPORT").line((0, d - 40), (w, d - 40), "SUPPORT")
        clear = d - 160
        add(f"rails-{k}", s, Truth([box(0, 0, w, d)]), clear > SPAN + GRACE, figures=measured("unsupported-span", clear), why=f"rails 40 mm in from both long sides, {clear} mm clear")
    for k in range(4):  # a frame of rails on legs
        w, d = [(1400, 700), (1700, 800), (800, 1400), (1500, 850)][k]
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        for a, b in zip(rect(40, 40, w - 40, d - 40), rect(40, 40, w - 40, d - 40)[1:] + rect(40, 40, w - 40, d - 40)[:1]):
            s.line(a[:2], b[:2], "SUPPORT RAIL")
        add(f"frame-{k}", s, Truth([box(0, 0, w, d)]), False, why=f"rails all round {w} x {d}")
    for k in range(4):  # cabinets as lines
        s, t = counter(2400, 640, cabinet=False)
        s.lines([(0, 30), (2400, 30), (2400, 640), (0, 640)], "CABINET", close=True)
        add(f"lines-{k}", s, t, False, why="cabinet as four lines")
    for k in range(4):  # a cabinet as its front line, the wall behind
        s, t = counter([2400, 1800, 3000, 1200][k], 640, cabinet=False)
        s.line((0, 30), ([2400, 1800, 3000, 1200][k], 30), "CABINET")
        add(f"frontline-{k}", s, t, False, why="cabinet drawn as its front line, wall along the back")
    for k in range(6):  # one end hangs
        free = [100, 200, 240, 260, 400, 700][k]
        s, t = counter(2400, 640, cabinet=False)
        s.poly(rect(0, 20, 2400 - free, 640), "CABINET")
        add(f"end-{k}", s, t, free > CANTILEVER + GRACE, figures=measured("overhang", free), why=f"the end hangs free by {free} mm")
    for k in range(5):  # nothing at all under a bar
        s, t = counter(2400, 640)
        s.poly(rect(2600, 0, 4200, 500))
        add(f"bare-{k}", s, None, True, rules=RULES + ["unsupported-top"], why="a second top lies over nothing while the first has cabinets")
    for k in range(12):  # seams over a gap, at many angles
        gap = [150, 300, 90, 40, 600, 200][k % 6]
        lean = [0, 60, -200, 500, 0, 120][k % 6]
        s, t = counter(3000, 640, cabinet=False)
        x = 1500
        s.poly(rect(0, 20, x - gap / 2 - abs(lean) * 0.5, 640), "CABINET").poly(rect(x + gap / 2 + abs(lean) * 0.5, 20, 3000, 640), "CABINET")
        s.line((x - lean / 2, 0), (x + lean / 2, 640), "SEAM")
        out_s, _ = turned(s, None, rng)
        out.append(Case(f"seamgap-{k:02d}", out_s, "stop", None, rules=["seam-unsupported"], why=f"seam leaning {lean} over a gap of {gap + abs(lean)} mm"))
    for k in range(6):  # seams well carried
        s, t = counter(3000, 640, cabinet=False)
        g = [0, 3, 6, 9, 0, 2][k]
        s.poly(rect(0, 20, 1500 - g / 2, 640), "CABINET").poly(rect(1500 + g / 2, 20, 3000, 640), "CABINET")
        x = [1500, 1500, 1502, 1500, 1700, 1300][k]
        s.line((x, 0), (x, 640), "SEAM")
        left, right = box(0, 0, x, 640), box(x, 0, 3000, 640)
        add(f"seamok-{k}", s, Truth([left, right]), False, silent=["seam-unsupported"] + RULES, why=f"seam over cabinets {g} mm apart")
    for k in range(4):  # a mitre in a corner with nothing under it
        s = note(Scene(), at=(900, -600))
        a = [640, 640, 700, 600][k]
        pts = [(0, 0, 0), (2400, 0, 0), (2400, a, 0), (a + 15, a, -math.tan(math.pi / 8)), (a, a + 15, 0), (a, 2200, 0), (0, 2200, 0)]
        s.poly(pts)
        s.poly(rect(a + 20, 0, 2400, a - 30), "CABINET").poly(rect(0, a + 20, a - 30, 2200), "CABINET")
        s.line((0, 0), (a, a), "SEAM")
        out_s, _ = turned(s, None, rng)
        out.append(Case(f"mitre-{k}", out_s, "stop", None, rules=["seam-unsupported"], why=f"mitre of {a * math.sqrt(2):.0f} mm over an empty corner"))
    return out, None


CATEGORIES = {"support": support}
