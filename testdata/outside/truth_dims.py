"""Truth for dimensions: what a text says against the distance between the points it spans."""
import math
import random

from truth_base import counter
from truth_kit import Case

OVERRIDE = {"dimtxt": 30, "dimexe": 5, "dimasz": 10}


def dims(seed):
    rng = random.Random(f"j2{seed}")
    out = []

    def add(name, bad, put, why, unit="mm", expect=None, length=2400):
        s, t = counter(length, 640)
        s.unit = unit
        s.raw.append(put)
        out.append(Case(name, s, expect or ("stop" if bad else "ready"), None if bad else t, rules=["dimension-differs"] if bad else (),
                        silent=() if bad else ["dimension-differs"], why=why))

    def aligned(text, a=(0, 640), b=(2400, 640), k=1.0):
        def put(doc, space):
            space.add_aligned_dim((a[0] * k, a[1] * k), (b[0] * k, b[1] * k), distance=150 * k, text=text, dxfattribs={"layer": "DIM"},
                                  override={x: y * k for x, y in OVERRIDE.items()}).render()
        return put

    true_mm = ["2400", "2400 mm", "2400mm", "2.4 m", "2,4 m", "240 cm", "94 1/2\"", "7'-10 1/2\"", "7' 10 1/2\"", "94.49\"", "94.488 in", "2400.0", "2400 ref", "(2400)", "2400 %%p1",
               "L = 2400", "2 400", "<> mm", "<>", "", "%%u2400%%u", "{\\fArial;2400}", "2401", "TO WALL", "see note 3"]
    for k, text in enumerate(true_mm):
        add(f"true-{k:02d}", False, aligned(text), f"over 2400 mm: {text!r}")
    false_mm = ["2390", "2410 mm", "2.39 m", "239 cm", "94\"", "7'-10\"", "8'", "95.5 in", "2 390", "(2390)", "L = 2380", "2395.5", "24000", "{\\fArial;2350}", "%%u2350%%u", "2350 ref"]
    for k, text in enumerate(false_mm):
        add(f"false-{k:02d}", True, aligned(text), f"over 2400 mm: {text!r}")
    k = 1 / 25.4
    for n, (text, bad) in enumerate([("94 1/2\"", False), ("94.5", False), ("94 1/2", False), ("7'-10 1/2\"", False), ("94", True), ("93 1/2\"", True), ("7'-11\"", True), ("2400 mm", False), ("2350 mm", True), ("95 1/2", True), ("94-1/2", False), ("94-1/2\"", False)]):
        add(f"inch-{n:02d}", bad, aligned(text, b=(2400.3, 640), k=k), f"drawn in inches, over 94.5 in: {text!r}", unit="in", length=2400.3)
    for n, (text, bad) in enumerate([("2400", False), ("2464", True), ("2484", True), ("", False)]):  # horizontal, between points that are not level
        def put(doc, space, text=text):
            space.add_linear_dim((0, 900), (0, 0), (2400, 640), angle=0, text=text, dxfattribs={"layer": "DIM"}, override=OVERRIDE).render()
        add(f"level-{n}", bad, put, f"horizontal dimension of a diagonal, 2400 wide: {text!r}")
    for n, (text, bad) in enumerate([("640", False), ("600", True)]):
        def put(doc, space, text=text):
            space.add_linear_dim((-150, 0), (0, 0), (2400, 640), angle=90, text=text, dxfattribs={"layer": "DIM"}, override=OVERRIDE).render()
        add(f"upright-{n}", bad, put, f"upright dimension, 640 high: {text!r}")
    for n, (text, bad) in enumerate([("2483.9", False), ("2400", True)]):
        add(f"diagonal-{n}", bad, aligned(text, a=(0, 0), b=(2400, 640)), f"diagonal of 2483.9 mm: {text!r}")
    for n, layer in enumerate(["DIM", "DIMENSIONS", "0", "OUTLINE", "NOTES", "XYZ"]):
        def put(doc, space, layer=layer):
            space.add_aligned_dim((0, 640), (2400, 640), distance=150, text="2350", dxfattribs={"layer": layer}, override=OVERRIDE).render()
        add(f"layer-{n}", True, put, f"the false text on layer {layer}")
    for n, lfac in enumerate([0.5, 2.0]):  # the style's factor: 2400 shown as 1200 or 4800, as in a drawing to half or double scale
        def put(doc, space, lfac=lfac):
            space.add_aligned_dim((0, 640), (2400, 640), distance=150, dxfattribs={"layer": "DIM"}, override={**OVERRIDE, "dimlfac": lfac}).render()
        add(f"factor-{n}", True, put, f"measured text with a factor of {lfac}")
    for n in range(2):  # inside a block
        def put(doc, space, n=n):
            b = doc.blocks.new("D")
            b.add_aligned_dim((0, 640), (2400, 640), distance=150, text=["2350", "2400"][n], dxfattribs={"layer": "DIM"}, override=OVERRIDE).render()
            space.add_blockref("D", (0, 0), dxfattribs={"layer": "DIM"})
        add(f"block-{n}", n == 0, put, "dimension in a block")
    return out, None


CATEGORIES = {"dims": dims}
