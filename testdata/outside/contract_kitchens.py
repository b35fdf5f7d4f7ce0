"""Kitchens that a shop would cut as drawn: no flag but weight and saw notes may
appear. Their figures (25.5 in tops on 24 in cabinets, 600 mm modules, tap holes
of 35 mm, sinks 70 mm and more from the edge, 10 in seating) are common practice,
no source, and keep every limit of the built-in settings."""
import math

from contract_kit import ROUND, circle, line, new, poly, rect, rounded, rules, text


def run_with_dishwasher():
    drawing = new(1)
    poly(drawing, rect(0, 0, 96, 25.5))
    poly(drawing, rect(0, 0, 96, 24), "CABINET")
    poly(drawing, rect(60, 0, 84, 24), "DISHWASHER")
    poly(drawing, rounded(16, 4.5, 46, 21.5, 0.5), "SINK")
    for x in -4, 0, 4:
        circle(drawing, (31 + x, 2.25), 0.6875)
    line(drawing, (96, 25.5), (0, 25.5), "FINISHED")
    line(drawing, (0, 0), (96, 0), "WALL")
    text(drawing, "Wall A", (70, 20))
    return drawing


def u_of_three():
    drawing = new()
    for r in (0, 0, 620, 2400), (621.5, 0, 2600, 620), (2601.5, 0, 3221.5, 2400):
        poly(drawing, rect(*r))
    for r in (0, 0, 580, 2400), (580, 0, 2640, 580), (2640, 0, 3221.5, 2400):
        poly(drawing, rect(*r), "CABINET")
    poly(drawing, rounded(1300, 70, 1860, 550, 12), "COOKTOP")
    poly(drawing, rounded(105, 1100, 520, 1700, 20), "SINK")
    circle(drawing, (60, 1400), 17.5)
    for a, b in ((620, 620), (620, 2400)), ((621.5, 620), (2600, 620)), ((2601.5, 620), (2601.5, 2400)):
        line(drawing, a, b, "FINISHED")
    return drawing


def peninsula():
    drawing = new(1)
    poly(drawing, [(0, 0), (66, 0, ROUND), (72, 6), (72, 28, ROUND), (66, 34), (0, 34)])
    poly(drawing, rect(0, 9.5, 71, 33), "CABINET")
    poly(drawing, [(0, 0), (66, 0, ROUND), (72, 6), (72, 28)], "FINISHED", close=False)
    return drawing


def island():
    drawing = new()
    poly(drawing, rect(0, 0, 2200, 1000))
    poly(drawing, rect(20, 230, 2180, 980), "CABINET")
    poly(drawing, rounded(1500, 350, 1900, 800, 20), "SINK")
    circle(drawing, (1700, 850), 17.5)
    poly(drawing, rect(0, 0, 2200, 1000), "FINISHED")
    return drawing


def vanity():
    drawing = new()
    poly(drawing, rect(0, 0, 1830, 560))
    poly(drawing, rect(15, 25, 1815, 560), "CABINET")
    for x in 480, 1350:
        drawing.modelspace().add_ellipse((x, 270), (215, 0), 0.78, dxfattribs={"layer": "SINK"})
        for k in -102, 0, 102:
            circle(drawing, (x + k, 505), 17.5)
    poly(drawing, rect(0, 700, 1830, 800), "SPLASH")
    line(drawing, (0, 0), (1830, 0), "FINISHED")
    return drawing


def beside_a_range():
    drawing = new(1)
    for x in 0, 66:
        poly(drawing, rect(x, 0, x + 36, 25.5))
    poly(drawing, rect(0, 0, 35.5, 24), "CABINET")
    poly(drawing, rect(66.5, 0, 102, 24), "CABINET")
    poly(drawing, rect(36, 0, 66, 24), "OPENING")
    return drawing


def laundry_on_ledgers():
    drawing = new()
    poly(drawing, rect(0, 0, 1500, 650))
    for a, b in ((0, 650), (1500, 650)), ((0, 0), (0, 650)), ((1500, 0), (1500, 650)):
        line(drawing, a, b, "SUPPORT")
    poly(drawing, rect(740, 0, 760, 650), "SUPPORT")
    line(drawing, (0, 0), (1500, 0), "FINISHED")
    return drawing


def curved_bar():
    def arc(r, n, sign):
        return [(r * math.sin(a), r * math.cos(a) - 3000) for a in (sign * (0.5 * i / n - 0.25) for i in range(n + 1))]
    drawing = new()
    poly(drawing, arc(3000, 24, 1) + arc(2550, 20, -1))
    poly(drawing, arc(2850, 24, 1) + arc(2570, 24, -1), "CABINET")
    return drawing


def add(cases):
    for make in run_with_dishwasher, u_of_three, peninsula, island, vanity, beside_a_range, laundry_on_ledgers, curved_bar:
        def check(d):
            cases.equal(rules(d), [], "the flags")
            cases.equal(d["verdict"], "ready", "the verdict")
        cases.add("kitchen-" + make.__name__, make(), check)
