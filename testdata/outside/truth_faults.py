"""Truth for flaws of drawing: doubled lines, frames, overlaps, strays, gaps, seams, and marks that contradict each other."""
import math
import random

from shapely.geometry import Polygon, box

from truth_base import counter, island, marks, note, vanity
from truth_kit import Case, Scene, Truth, disc, rect, rounded, shape

# -------------------------- f. doubled outlines, frames, overlaps, strays


def doubled(seed):
    rng = random.Random(f"f{seed}")
    out = []
    for k, d in enumerate([0, 0.02, 0.1, 0.3, 0.45, 0.6, 0.9, 1.4, 2, 2.9, 4, 7]):
        s, t = counter(2400, 640)
        inner = rect(d, d, 2400 - d, 640 - d)
        if k % 2:
            s.lines([(p[0], p[1]) for p in inner], close=True)
        else:
            s.poly(inner)
        c = Case(f"outline-{k:02d}", s, "ready" if d <= 0.02 else "honest", Truth(t.outlines, tolerance=d + 0.12), why=f"outline drawn twice, {d} mm apart")
        out.append(c)
    for k, d in enumerate([0, 0.05, 0.2, 0.45, 0.7, 1, 1.6, 2.5, 4, 8]):
        s, t = counter(2400, 640, sink=(800, 120, 1400, 500, 20))
        s.poly(rounded(800 + d, 120 + d, 1400 - d, 500 - d, max(20 - d, 10)), "SINK" if k % 2 else "CUTOUT")
        out.append(Case(f"sink-{k:02d}", s, "ready" if d == 0 else "honest", Truth(t.outlines, t.cutouts, tolerance=d + 0.12), why=f"sink drawn twice, {d} mm apart"))
    for k, d in enumerate([0, 0.1, 0.3, 0.6, 1.2, 3]):
        s, t = counter(2400, 640, taps=[((1200, 560), 17.5)])
        s.circle((1200 + (d if k % 2 else 0), 560), 17.5 + (0 if k % 2 else d), "CUTOUT")
        out.append(Case(f"tap-{k}", s, "ready" if d == 0 else "honest", Truth(t.outlines, t.cutouts, tolerance=d + 0.12), why=f"tap hole drawn twice, {d} mm apart"))
    for k in range(8):
        s, t = counter(2400, 640, sink=(800, 120, 1400, 500, 20) if k % 2 else None)
        m = rng.choice([40, 100, 300, 800])
        lay = ["OUTLINE", "OUTLINE", "FRAME", "0", "BORDER", "TITLE BLOCK", "COUNTER", "SHEET"][k]
        s.poly(rect(-m, -m, 2400 + m, 640 + m), lay)
        out.append(Case(f"frame-{k}", s, "ready" if lay in ("BORDER", "TITLE BLOCK") else "honest", t, why=f"a frame {m} mm round the top on layer {lay}"))
    for k in range(8):
        s, t = counter(2800, 640, sink=(600, 120, 1200, 500, 20))
        x = [1150, 1190, 1100, 700, 1195, 900, 1000, 1199][k]
        lay = ["SINK", "COOKTOP", "CUTOUT", "HOLE"][k % 4]
        s.poly(rounded(x, 150 + 5 * k, x + 500, 470 + 8 * k, 15), lay)
        out.append(Case(f"overlap-{k}", s, "stop", None, rules=["overlapping-cutouts"] if x != 700 else ["overlapping-cutouts", "cutout-ambiguous"], silent=["self-crossing"], why=f"a cutout on {lay} over the sink by {1200 - x} mm"))
    for k in range(4):  # a tap hole that runs into the sink
        s, t = counter(2800, 640, sink=(600, 120, 1200, 500, 20), taps=[((900, [500, 510, 488, 516][k]), 17.5)])
        out.append(Case(f"overtap-{k}", s, "stop", None, rules=["overlapping-cutouts"], why="a tap hole that runs into the sink"))
    for k in range(6):  # pieces over each other
        s, t = counter(2400, 640)
        o = [20, 60, 200, 5, 640, 300][k]
        s.poly(rect(500, 640 - o, 1500, 1240 - o))
        out.append(Case(f"pieces-{k}", s, "stop", None, why=f"a second top over the first by {o} mm"))
    for k in range(8):
        s, t = counter(2400, 640)
        lay = ["OUTLINE", "CUTOUT", "SINK", "COUNTER"][k % 4]
        length = [80, 200, 400, 60, 150, 90, 300, 70][k]
        s.line((700, 300), (700 + length, 340), lay)
        out.append(Case(f"stray-{k}", s, "stop", None, rules=["stray-curve"], why=f"a line of {length} mm in the stone on {lay}"))
    for k in range(4):  # two strays at one place are both told
        s, t = counter(2400, 640)
        s.line((700, 300), (900, 300), "CUTOUT")
        s.line(*[((700, 300), (640, 420)), ((800, 200), (800, 400)), ((700, 300), (800, 200)), ((750, 250), (850, 350))][k], ["OUTLINE", "CUTOUT"][k % 2])
        out.append(Case(f"strays-{k}", s, "stop", None, rules=["stray-curve", "open-outline"], figures=told("stray-curve", 2), why="two strays at one place"))
    return out, None


def told(rule, n):
    def check(result):
        got = sum(f["rule"] in (rule, "open-outline") for f in result["flags"])
        return [] if got >= n else [f"{got} flags {rule}, {n} wanted"]
    return check


# ------------------------------- g. gaps, shared edges, seams

def closing(seed):
    rng = random.Random(f"g{seed}")
    out = []
    for k, gap in enumerate([0.05, 0.2, 0.45, 0.6, 1, 1.8, 2.5, 2.95, 3.2, 4, 8, 25, 80]):
        for place in ("corner", "side"):
            s, t = counter(2400, 640)
            s.items = s.items[1:]
            if place == "corner":
                s.line((0, 0), (2400, 0)).line((2400, gap), (2400, 640)).line((2400, 640), (0, 640)).line((0, 640), (0, 0))
            else:
                s.line((0, 0), (1200, 0)).line((1200 + gap, 0), (2400, 0)).lines([(2400, 0), (2400, 640), (0, 640), (0, 0)])
            ok = gap <= 3
            out.append(Case(f"gap-{k:02d}-{place}", s, "ready" if ok else "stop", t, rules=() if ok else ["open-outline"],
                            figures=repair_size(gap) if ok else gap_measured(gap), why=f"gap of {gap} mm at a {place}"))
    for k, over in enumerate([0.1, 0.4, 1, 2, 2.9, 3.5, 6, 15, 40, 120]):
        s, t = counter(2400, 640)
        s.items = s.items[1:]
        s.line((-over, 0), (2400 + over, 0)).line((2400, -over), (2400, 640 + over)).line((2400 + over, 640), (-over, 640)).line((0, 640 + over), (0, -over))
        s.items = [i for i in s.items if i[1] != "WALL"]
        out.append(Case(f"overshoot-{k}", s, "ready" if over < 3 else "warn", t, rules=["stray-curve", "open-outline"] if over > 3 else (), why=f"lines run past the corners by {over} mm"))
    for k in range(6):  # two tops share a drawn line
        w, w2 = rng.randint(1000, 2000), rng.randint(600, 1500)
        y0, y1 = (0, 640) if k % 2 else (100, 500)
        s = note(Scene())
        s.lines([(0, 0), (w, 0)]).lines([(w, 0), (w, 640)]).lines([(w, 640), (0, 640), (0, 0)])
        s.lines([(w, y0), (w + w2, y0), (w + w2, y1), (w, y1)])
        out.append(Case(f"shared-{k}", s, "honest", Truth([box(0, 0, w, 640), box(w, y0, w + w2, y1)]), why="two tops share a line"))
    for k in range(8):  # apron sinks
        x, w, d, r = rng.randint(500, 1000), rng.randint(600, 900), rng.randint(420, 500), 15
        s, t = counter(2600, 640)
        s.items = [i for i in s.items if i[1] != "FINISHED"]
        loop = rounded(x, -60, x + w, d, r)
        s.poly(loop, ["SINK", "APRON SINK"][k % 2])
        marks(s, front=[((0, 0), (x, 0)), ((x + w, 0), (2600, 0))] if k % 3 else [((0, 0), (2600, 0))])
        out.append(Case(f"apron-{k}", s, "ready" if k % 3 else "honest", Truth([t.outlines[0].difference(shape(loop))]), why=f"apron sink {w} x {d}"))
    for k in range(4):  # a sink over an edge that is no front
        s, t = counter(2600, 640)
        if k % 2:
            s.poly(rounded(900, 300, 1500, 700, 15), "SINK")
            out.append(Case(f"mouth-{k}", s, "stop", None, why="a sink runs over the wall edge"))
        else:
            s.items = [i for i in s.items if i[1] != "WALL"]
            s.poly(rounded(900, 300, 1500, 700, 15), "SINK")
            out.append(Case(f"mouth-{k}", s, "warn", Truth([t.outlines[0].difference(shape(rounded(900, 300, 1500, 700, 15)))]), rules=["cutout-over-edge"],
                            figures=at_least("cutout-over-edge", "warn"), why="a sink's mouth on an unfinished edge of a piece with a finished one"))
    for k in range(16):  # seams across
        L, x, lean = rng.randint(2600, 3700), rng.randint(1000, 1500), rng.choice([0, 0, 60, -90])
        s, t = counter(L, 640)
        end = [0, 0.3, 2, 2.9, -0.4, -2.5, 20, 150, -6, -30][k % 10]  # positive: past the edges, negative: short of them
        u = math.hypot(lean, 640)
        a, b = (x - lean / u * end, -end * 640 / u), (x + lean + lean / u * end, 640 + end * 640 / u)
        s.line(a, b, "SEAM")
        left = Polygon([(0, 0), (x, 0), (x + lean, 640), (0, 640)])
        right = Polygon([(x, 0), (L, 0), (L, 640), (x + lean, 640)])
        if end >= -3:
            out.append(Case(f"seam-{k}", s, "ready" if abs(end) <= 3 else "honest", Truth([left, right]), why=f"seam across, ends {end} mm past the edges"))
        else:
            out.append(Case(f"seam-{k}", s, "stop", None, why=f"seam ends {-end} mm short of the edges"))
    for k in range(4):  # L with a mitre or straight seam from the inside corner
        s = note(Scene(), at=(900, -600))
        pts = [(0, 0), (2400, 0), (2400, 640), (640 + 15, 640), (640, 655), (640, 2200), (0, 2200)]
        pts = [(0, 0, 0), (2400, 0, 0), (2400, 640, 0), (655, 640, -math.tan(math.pi / 8)), (640, 655, 0), (640, 2200, 0), (0, 2200, 0)]
        s.poly(pts).poly(pts, "CABINET")
        s.line((640, 640), (0, 0), "SEAM") if k % 2 else s.line((640, 640), (0, 640), "SEAM")
        whole = shape(pts)
        cut = Polygon([(0, 0), (1000, 1000), (0, 1000), (-10, 3000), (-500, 3000), (-500, -500)])
        out.append(Case(f"corner-{k}", s, "honest", None, figures=two_pieces(whole.area), why="seam drawn to the sharp corner of a rounded inside corner"))
    for k in range(4):
        s, t = counter(2400, 640)
        s.line((300, 200 + 700 * (k % 2)), (1500, 200 + 700 * (k % 2)), "WALL")
        out.append(Case(f"wall-{k}", s, "warn" if k % 2 == 0 else "honest", t, figures=any_flag("WALL") if k % 2 == 0 else None, why="a wall mark in the stone that marks nothing"))
    return out, None


def repair_size(gap):
    """The sizes of repairs are the distance of the ends as drawn."""
    def check(result):
        got = [r["size_mm"] for r in result["repairs"]]
        if result["verdict"] == "ready" and not any(abs(g - gap) < 0.01 for g in got):
            return [f"repairs of {got} mm, the gap is {gap}"]
        return []
    return check


def gap_measured(gap):
    def check(result):
        got = [f["measured"] for f in result["flags"] if f["rule"] == "open-outline"]
        return [] if not got or any(abs(g - gap) < 0.02 for g in got) else [f"open-outline measured {got}, the gap is {gap}"]
    return check


def at_least(rule, severity):
    def check(result):
        got = [f["severity"] for f in result["flags"] if f["rule"] == rule]
        want = ("warn", "stop") if severity == "warn" else ("stop",)
        return [] if any(g in want for g in got) else [f"{rule} is {got}, wanted {severity}"]
    return check


def two_pieces(area):
    def check(result):
        if result["verdict"] != "ready":
            return []
        if len(result["pieces"]) != 2:
            return [f"{len(result['pieces'])} pieces released of 2"]
        got = sum(p["gross_area_mm2"] for p in result["pieces"])
        return [] if abs(got - area) < 250 else [f"areas sum to {got:.0f}, drawn {area:.0f}"]
    return check


def any_flag(word):
    def check(result):
        said = [f for f in result["flags"] if f["rule"] not in ("saw-short", "stock-assumed")]
        return [] if said else [f"no flag tells of the {word} mark"]
    return check


# -------------------------------- j. what a drawing says twice

def looks(seed):
    rng = random.Random(f"j{seed}")
    out = []
    for k in range(12):
        s, t = counter(2400, 640)
        text = ["2350", "<>", "2400", "94 1/2\"", "2400 mm", "2340 mm", "94\"", "2.40 m", "240 cm", "2405", "REF", "2399.8"][k]
        s.dim((0, 640), (2400, 640), text)
        bad = text in ("2350", "2340 mm", "94\"", "2405")
        out.append(Case(f"dim-{k:02d}", s, "stop" if bad else "ready", None if bad else t, rules=["dimension-differs"] if bad else (), silent=() if bad else ["dimension-differs"],
                        why=f"dimension over 2400 mm says {text}"))
    for k in range(4):
        s, t = counter(2400, 640)
        s.text("KITCHEN", (1200, 320), ["OUTLINE", "NOTES", "OUTLINE", "TEXT"][k], mirrored=k < 2, angle=[0, 180, 0, 180][k])
        out.append(Case(f"mirror-{k}", s, "stop" if k < 2 else "ready", None if k < 2 else t, rules=["mirrored-text"] if k < 2 else (), silent=() if k < 2 else ["mirrored-text"], why="a text that reads backwards" if k < 2 else "a text turned, not mirrored"))
    for k in range(4):  # a whole drawing seen from behind: block with scale -1
        s, t = counter(2400, 640)
        def fn(doc, space, k=k):
            b = doc.blocks.new("T")
            b.add_text("LEFT", height=40, dxfattribs={"layer": "NOTES", "insert": (0, 0)})
            space.add_blockref("T", (700, 200), dxfattribs={"layer": "NOTES", "xscale": [-1, 1, 1, -1][k], "yscale": [1, -1, 1, -1][k]})
        s.raw.append(fn)
        bad = k < 2
        out.append(Case(f"mirrorblock-{k}", s, "warn" if bad else "ready", t, rules=["mirrored-text"] if bad else (), why="a text in a mirrored block" if bad else "a text in a block, not mirrored"))
    for k in range(6):
        s, t = counter(2400, 640)
        a, b = [((0, 0), (2400, 0)), ((500, 0), (2000, 0)), ((0, 640), (2400, 640)), ((300, 640), (900, 640)), ((0, 0), (1200, 0)), ((2400, 0), (0, 0))][k]
        s.line(a, b, "WALL" if a[1] == 0 else "FINISHED")
        out.append(Case(f"contradiction-{k}", s, "stop", None, rules=["edge-contradiction"], why="an edge marked finished and wall"))
    for k in range(4):
        s, t = counter(2400, 640)
        s.poly(rect(0, 1500, 1800, 2140)).poly(rect(0, 1530, 1800, 2140), "CABINET")
        if k % 2:
            s.line((0, 1500), (1800, 1500), "FINISHED")
        out.append(Case(f"unfinished-{k}", s, "honest" if k % 2 else "warn", Truth(t.outlines + [box(0, 1500, 1800, 2140)]), rules=() if k % 2 else ["piece-unfinished"],
                        silent=["piece-unfinished"] if k % 2 else (), why="a piece without a finished edge beside one with" if k % 2 == 0 else "both pieces have a finished edge"))
    for k in range(8):
        out_by = [8, 20, 40, 6, -20, -30, 0, -10][k]
        s, t = counter(2400, 640, lip=-out_by)
        out.append(Case(f"proud-{k}", s, "warn" if out_by > 0 else "ready", t, rules=["cabinet-proud"] if out_by > 0 else (), silent=() if out_by > 0 else ["cabinet-proud"], why=f"cabinet {out_by} mm past the stone"))
    for k in range(8):
        s, t = counter(2400, 640, sink=(900, 100, 1500, 500, 20), cabinet=False)
        side = [1200, 1000, 1400, 920, 880, 1530, 800, 1600][k]
        s.poly(rect(0, 30, side, 640), "CABINET").poly(rect(side, 30, 2400, 640), "CABINET")
        over = 905 < side < 1495
        out.append(Case(f"side-{k}", s, "warn" if over else "ready", t, rules=["sink-over-cabinet-side"] if over else (), silent=() if over else ["sink-over-cabinet-side"], why=f"sink 900 to 1500, cabinet side at {side}"))
    for k in range(6):
        gap = [20, 35, 48, 350, 500, 640][k]
        s, t = counter(2400, 640, hob=(gap, 110, gap + 560, 540, 12))
        s.line((0, 0), (0, 640), "WALL")
        near = gap < 100
        out.append(Case(f"hob-{k}", s, "warn" if near else "ready", t, rules=["cooktop-near-wall"] if near else (), silent=() if near else ["cooktop-near-wall"], why=f"cooktop {gap} mm from the wall at its side"))
    for k in range(6):
        length = [2400, 2370, 2430, 2300, 2400, 2399.5][k]
        s, t = counter(2400, 640)
        s.poly(rect(0, 900, length, 1000), "SPLASH")
        bad = abs(length - 2400) > 5
        out.append(Case(f"splash-{k}", s, "warn" if bad else "ready", Truth(t.outlines + [box(0, 900, length, 1000)]), rules=["splash-differs"] if bad else (), silent=() if bad else ["splash-differs"], why=f"splash of {length} mm for a wall edge of 2400"))
    return out, None


CATEGORIES = {"doubled": doubled, "closing": closing, "looks": looks}
