"""Sound templates that the truth harness bends and breaks."""
import math
import random

from truth_kit import QUARTER, Scene, Truth, rect, rounded


def note(scene, value="GRANITE 30 MM", at=(600, -500)):
    """Says what stone, outside every piece, so that nothing is assumed."""
    return scene.text(value, at, layer="NOTES", height=40)


def marks(scene, front=(), wall=()):
    for a, b in front:
        scene.line(a, b, "FINISHED")
    for a, b in wall:
        scene.line(a, b, "WALL")
    return scene


def counter(length=2400, depth=640, sink=None, hob=None, taps=(), cabinet=True, lip=30, x=0.0, y=0.0, outline="OUTLINE"):
    """A straight counter along a wall, front at y. sink and hob: (x0, y0, x1, y1, r) from the lower left corner."""
    s = Scene()
    s.poly(rect(x, y, x + length, y + depth), outline)
    cuts = []
    if sink:
        x0, y0, x1, y1, r = sink
        s.poly(rounded(x + x0, y + y0, x + x1, y + y1, r), "SINK")
        cuts.append(rounded(x + x0, y + y0, x + x1, y + y1, r))
    if hob:
        x0, y0, x1, y1, r = hob
        s.poly(rounded(x + x0, y + y0, x + x1, y + y1, r), "COOKTOP")
        cuts.append(rounded(x + x0, y + y0, x + x1, y + y1, r))
    for c, r in taps:
        s.circle((x + c[0], y + c[1]), r, "CUTOUT")
    if cabinet:
        s.poly(rect(x, y + lip, x + length, y + depth), "CABINET")
    marks(s, front=[((x, y), (x + length, y))], wall=[((x, y + depth), (x + length, y + depth))])
    note(s, at=(x + length / 3, y - 500))
    from truth_kit import disc, shape
    return s, Truth([shape(rect(x, y, x + length, y + depth))],
                    [shape(c) for c in cuts] + [disc((x + c[0], y + c[1]), r) for c, r in taps])


def vanity(length=1200, depth=560, x=0.0, y=0.0):
    return counter(length, depth, sink=(length / 2 - 250, 100, length / 2 + 250, 420, 60),
                   taps=[((length / 2, 485), 17.5)], lip=20, x=x, y=y)


def island(length=2000, depth=900, radius=30, x=0.0, y=0.0):
    s = Scene()
    o = rounded(x, y, x + length, y + depth, radius)
    s.poly(o)
    s.poly(o, "FINISHED")
    s.poly(rect(x + 30, y + 30, x + length - 30, y + depth - 200), "CABINET")
    note(s, at=(x + 500, y - 500))
    from truth_kit import shape
    return s, Truth([shape(o)])
