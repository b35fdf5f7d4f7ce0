"""Truth for one flaw in a sound top, which the named flag has to stop, and for what looks as something else."""
import random

from truth_hunt import LANGUAGES, bow, furnished, straight, written
from truth_kit import Case, layer, rect, rounded


# ------------------------------------------------------ one flaw in a sound top

def around(top, reach=(60, 40), shift=(0, 0)):
    x, y = (top.zone[0] + top.zone[2]) / 2 + shift[0], (top.zone[1] + top.zone[3]) / 2 + shift[1]
    return rounded(x - reach[0], y - reach[1], x + reach[0], y + reach[1], 12)


def hidden(rng, top, s):
    s.poly(around(top, (250, 160)), "EXTRA")
    (s.off if rng.random() < 0.5 else s.frozen).add("EXTRA")
    return ["unmapped-layer"]


def gap(rng, top, s):
    size = rng.choice([3.2, 8, 30, 200])
    s.items = [i for i in s.items if i[1] != "COUNTER"]
    w = top.points[1][0]
    s.line((0, 0), (w - size, 0), "COUNTER").poly(top.points[1:] + top.points[:1], "COUNTER", close=False)
    return ["open-outline"]


def overlap(rng, top, s):
    s.circle((top.zone[0] + 90, 320), 30, "TAP HOLE").circle((top.zone[0] + rng.choice([105, 125, 148]), 320), 30, "TAP HOLE")
    return ["overlapping-cutouts"]


def point(rng, top, s):
    s.point((top.zone[0] + 90, 320), "XQ7")
    return ["unmapped-layer"]


def header(rng, top, s):
    s.unit, s.header = rng.choice([("in", "mm"), ("mm", "in"), ("m", "cm"), ("cm", "m"), ("mm", "m"), ("ft", "in")])
    return ["units-implausible"]


def no_header(rng, top, s):
    s.unit, s.header = rng.choice(["mm", "in", "cm"]), None
    return ["units-unknown"]


def one_layer(rng, top, s):
    lay = rng.choice(["0", "Layer 1", "XQ7"])
    s.items = [i[:1] + [lay] + i[2:] for i in s.items if i[1] == "COUNTER"]
    s.poly(around(top, (250, 160)), lay)
    return ["roles-guessed"]


def bare(rng, top, s):
    x = top.points[2][0]
    s.items = [i for i in s.items if i[1] not in ("CABINET", "WALL")]
    s.poly(rect(0, 30, x / 3, 600), "CABINET")
    return ["overhang", "overhang-share", "bare-top", "unsupported-span"]


def rail(rng, top, s):
    x = (top.zone[0] + top.zone[2]) / 2
    s.poly(rounded(x - 200, rng.choice([5, 12, 20]), x + 200, 420, 12), "SINK")
    return ["narrow-section"]


def sharp(rng, top, s):
    x = (top.zone[0] + top.zone[2]) / 2
    s.poly(rect(x - 200, 110, x + 200, 480), "SINK")
    return ["inside-radius"]


def short_seam(rng, top, s):
    x = (top.zone[0] + top.zone[2]) / 2
    s.line((x, 0), (x, 600 - rng.choice([20, 60, 200])), "SEAM")
    return ["seam-ambiguous", "stray-seam"]


def edge_hole(rng, top, s):
    s.circle(((top.zone[0] + top.zone[2]) / 2, 25), 17.5, "TAP HOLE")
    return ["hole-spacing"]


def outside(rng, top, s):
    s.poly(rounded(500, 2600, 1000, 3000, 12), "SINK")
    return ["cutout-outside"]


def stray(rng, top, s):
    x = (top.zone[0] + top.zone[2]) / 2
    s.line((x, 200), (x + rng.choice([60, 150, 300]), 330), rng.choice(["COUNTER", "SINK", "TAP HOLE"]))
    return ["stray-curve"]


def large(rng, top, s):
    s.poly(rect(0, 3000, rng.choice([3100, 3600]), 4400), "COUNTER")
    return ["too-big-for-slab"]


FLAWS = (hidden, gap, overlap, point, header, no_header, one_layer, bare, rail, sharp, short_seam, edge_hole, outside, stray, large)


def flawed(seed):
    out = []
    for k in range(60):
        rng = random.Random(f"flawed{seed}.{k}")
        make, flaw = (straight, bow)[k // len(FLAWS) % 2], FLAWS[k % len(FLAWS)]
        if flaw in (rail, edge_hole, gap):
            make = straight
        top = make(rng)
        s = furnished(rng, top, written(rng, top, "poly", "COUNTER"), LANGUAGES[0])
        rules = flaw(rng, top, s)
        s.text("GRANITE 30 MM", (900, -900), height=40)
        s, _ = s.moved(rng.uniform(0, 360), rng.random() < 0.5, (rng.uniform(-9000, 9000), rng.uniform(-9000, 9000)))
        if s.header == "same":
            s.unit = rng.choice(["mm", "cm", "in"])
        expect = "warn" if flaw is edge_hole else "stop"  # stone beside a hole is the shop's to judge
        out.append(Case(f"{flaw.__name__}-{make.__name__}-{k}", s, expect, rules=rules, why=f"{flaw.__name__.replace('_', ' ')} in a sound top, in {s.unit}"))
    return out, None


# --------------------------------------- what looks as something else, asked about

def asked(seed):
    rng = random.Random(f"asked{seed}")
    out = []

    def add(name, rule, why, change):
        top = straight(rng)
        s = furnished(rng, top, written(rng, top, "poly", "COUNTER"), LANGUAGES[0])
        s.text("GRANITE 30 MM", (900, -900), height=40)
        change(s, top)
        s, _ = s.moved(rng.choice([0, 90, rng.uniform(0, 360)]), rng.random() < 0.5, (rng.uniform(-900, 900), rng.uniform(-900, 900)))
        out.append(Case(name, s, "stop", rules=[rule], why=why))

    def donut(s, top):  # two half circles of a width as large as the radius: the dot that CAD programs draw
        s.poly([(600, 320, 1), (617.5, 320, 1)], "TAP HOLE", const_width=17.5)
    add("donut", "wide-line", "a tap hole drawn as a dot: a polyline with a width", donut)

    def dashed(s, top):
        def put(doc, space):
            doc.linetypes.add("DASHED", [12, 6, -6]) if "DASHED" not in doc.linetypes else None
        s.raw.append(put)
        s.poly(rect(0, 1500, 1200, 2100), "COUNTER", linetype="DASHED").poly(rect(0, 1500, 1200, 2100), "CABINET")
    add("dashed", "dashed-line", "a dashed closed line among continuous ones on the layer of outlines", dashed)

    def paper(s, top):
        def put(doc, space):
            layer(doc, "SINK")
            doc.layout("Layout1").add_lwpolyline([(600, 120), (1100, 120), (1100, 480), (600, 480)], close=True, dxfattribs={"layer": "SINK"})
        s.raw.append(put)
    add("paper", "unread-entity", "a sink drawn in paper space", paper)
    for k, lay in enumerate(["XQ7", "Ebene 3", "MISC"]):
        add(f"norole-{k}", "unmapped-layer", f"an open line through stone on layer {lay}, which has no role",
            lambda s, top, lay=lay: s.line((800, -5), (800, top.points[2][1] + 5), lay))
    for k, off in enumerate([38, 12, 75]):
        add(f"apart-{k}", "stray-curve", f"a line on the layer of outlines {off} mm outside the front, bounding nothing",
            lambda s, top, off=off: s.line((0, -off), (top.points[1][0], -off), "COUNTER"))
    for k, lay in enumerate(["COUNTER OLD", "OUTLINE COPY", "WOOD TOP"]):
        add(f"name-{k}", "layer-doubtful", f"a closed line on layer {lay}", lambda s, top, lay=lay: s.poly(rect(0, 1500, 1200, 2100), lay).poly(rect(0, 1500, 1200, 2100), "CABINET"))
    add("name-3", "layer-doubtful", "a sink on layer SINK RIM", lambda s, top: s.poly(rounded(600, 110, 1100, 480, 15), "SINK RIM"))
    for k, r in enumerate([12, 25]):
        add(f"shared-{k}", "narrow-section", "a sink and a cooktop that share a side",
            lambda s, top, r=r: s.poly(rounded(400, 110, 900, 490, r), "SINK").poly(rounded(900, 110, 1400, 490, r), "COOKTOP"))
    return out, None


CATEGORIES = {"flawed": flawed, "asked": asked}
