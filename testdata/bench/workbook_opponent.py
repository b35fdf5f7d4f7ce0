"""The same workbook by openpyxl, with a matplotlib picture a piece.

usage: workbook_opponent.py FOLDER [RUNS]   (a job folder written by `trueup check --out`)

Cell values, fonts, fills, borders, alignments, number formats, widths and merged
cells are taken from the report.xlsx there before the clock starts; the clock
covers building the workbook anew, drawing each piece at the same size, and
saving. Prints the least processor seconds of RUNS (5).
"""
import copy
import io
import json
import math
import pathlib
import sys
import time

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt  # noqa: E402
import openpyxl  # noqa: E402
from openpyxl.drawing.image import Image  # noqa: E402

folder = pathlib.Path(sys.argv[1])
runs = int(sys.argv[2]) if len(sys.argv) > 2 else 5
source = openpyxl.load_workbook(folder / "report.xlsx")
result = json.loads((folder / "result.json").read_text())
styles = {}  # one object a style, so that nothing is created twice
sheets = []
for ws in source:
    cells = []
    for row in ws.iter_rows():
        for c in row:
            if c.value is None and not c.has_style:
                continue
            key = c._style
            if key not in styles:
                styles[key] = tuple(copy.copy(x) for x in (c.font, c.fill, c.border, c.alignment, c.number_format))
            cells.append((c.row, c.column, c.value, styles[key]))
    widths = {k: d.width for k, d in ws.column_dimensions.items()}
    sheets.append((ws.title, cells, widths, [str(r) for r in ws.merged_cells.ranges], len(ws._images)))


def picture():
    fig, ax = plt.subplots(figsize=(12, 8), dpi=100)
    for p in result["pieces"]:
        for e in p["edges"]:
            (x1, y1), (x2, y2) = e["from_mm"], e["to_mm"]
            ax.plot((x1, x2), (y1, y2), "k", lw=1.2)
            ax.annotate("%d: %.1f" % (e["n"], e["length_mm"]), ((x1 + x2) / 2, (y1 + y2) / 2), fontsize=7)
        for c in p["cutouts"]:
            x, y = c["centroid_mm"]
            w, h = c["length_mm"] / 2, c["width_mm"] / 2
            ax.plot((x - w, x + w, x + w, x - w, x - w), (y - h, y - h, y + h, y + h, y - h), "b", lw=0.8)
    for f in result["flags"]:
        ax.annotate(f["id"], f["at_mm"], color="r")
    ax.set_aspect("equal")
    buffer = io.BytesIO()
    fig.savefig(buffer, format="png")
    plt.close(fig)
    buffer.seek(0)
    return buffer


def build():
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, cells, widths, merged, images in sheets:
        ws = book.create_sheet(title)
        for k, w in widths.items():
            ws.column_dimensions[k].width = w
        for row, column, value, (font, fill, border, alignment, fmt) in cells:
            c = ws.cell(row, column, value)
            c.font, c.fill, c.border, c.alignment, c.number_format = font, fill, border, alignment, fmt
        for r in merged:
            ws.merge_cells(r)
        for _ in range(images):
            ws.add_image(Image(picture()), "A5")
    book.save(io.BytesIO())


least = math.inf
for _ in range(runs):
    begin = time.process_time()
    build()
    least = min(least, time.process_time() - begin)
print("%d sheets, %d cells, %d styles: %.1f ms of processor time"
      % (len(sheets), sum(len(s[1]) for s in sheets), len(styles), least * 1000))
