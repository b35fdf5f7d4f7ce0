#!/usr/bin/env python3
"""Compares every workbook with the result document beside it, read by openpyxl.

Usage: report_check.py DIR

DIR is a folder that "trueup check --out DIR" wrote. Each folder in it with a
report.xlsx is opened with openpyxl (Debian package python3-openpyxl), every
sheet is read, and every row of the tables must agree with result.json; nothing
may be a formula; inches must be the millimetres over 25.4 and shown as the
nearest reduced sixteenth. Ends with "report: N passed, M failed"; exits 1 on
any failure, and when nothing was compared.
"""

import json
import math
import pathlib
import sys
import zipfile
from fractions import Fraction
from xml.etree import ElementTree

import openpyxl

HEADER = 3  # row of the titles
DETAILS = "Details"  # of the short tables
ALWAYS = ["Summary", "Flags", "Pieces", "Edges", "Set-up", "Limits"]
IN, FT2, LB = 25.4, 92903.04, 0.45359237  # NIST SP 811


class Check:
    def __init__(self):
        self.passed = self.failed = 0
        self.where = ""

    def that(self, ok, text):
        if ok:
            self.passed += 1
        else:
            self.failed += 1
            print(f"{self.where}: {text}", file=sys.stderr)

    def same(self, what, got, want):
        if isinstance(want, float) and isinstance(got, (int, float)):
            ok = math.isclose(got, want, rel_tol=1e-12, abs_tol=1e-9)
        else:
            ok = (got or "") == (want or "")
        self.that(ok, f"{what}: workbook {got!r}, result {want!r}")


def rows_of(book, name):
    """The rows of a table; a table without rows has no sheet. Short tables stand
    one below the other on a sheet of their own, each below its name."""
    if name in book.sheetnames:
        return table(book[name])
    if DETAILS in book.sheetnames:
        for (cell,) in book[DETAILS].iter_rows(max_col=1):
            if cell.value == name:
                return table(book[DETAILS], cell.row + 2)
    return []


def table(ws, header=HEADER):
    """The rows below the titles, by title, up to the first empty one; a title that
    comes twice gets a number."""
    titles, seen = [], {}
    for cell in ws[header]:
        name = str(cell.value).replace("\n", " ")
        seen[name] = seen.get(name, 0) + 1
        titles.append(name if seen[name] == 1 else f"{name} {seen[name]}")
    rows = []
    for row in ws.iter_rows(min_row=header + 1):
        if all(c.value is None for c in row):
            break
        if len(titles) > 1 and row[0].value and all(c.value is None for c in row[1:]):
            continue  # the sentence of an empty table
        rows.append(dict(zip(titles, row)))
    return rows


def length(check, what, row, title, mm):
    if mm is None:
        check.that(row[title + " mm"].value is None and row[title + " in"].value is None, f"{what}: not empty")
        return
    check.same(what, row[title + " mm"].value, float(mm))
    cell = row[title + " in"]
    check.same(what + " in inches", cell.value, mm / IN)
    nearest = Fraction(math.floor(abs(mm) / IN * 16 + 0.5), 16)
    want = "0" if nearest.denominator == 1 else f"# ?/{nearest.denominator}"
    if abs(abs(mm) / IN * 16 % 1 - 0.5) > 1e-9 and cell.number_format != "0.000":
        check.that(cell.number_format == want, f"{what}: {mm} mm is shown as {cell.number_format}, want {want}")


def rows_match(check, sheet, rows, expected):
    check.that(len(rows) == len(expected), f"{sheet}: {len(rows)} rows, result has {len(expected)}")
    return list(zip(rows, expected))


def check_pieces(check, book, r):
    for row, p in rows_match(check, "Pieces", rows_of(book, "Pieces"), r["pieces"]):
        who = "Pieces " + p["id"]
        check.same(who, row["Piece"].value, p["id"])
        check.same(who, row["Kind"].value, p["kind"])
        for title, key in [("Thickness", "thickness_mm"), ("Length", "length_mm"), ("Width", "width_mm"), ("Perimeter", "perimeter_mm")]:
            length(check, f"{who} {title}", row, title, p[key])
        check.same(who + " area", row["Net area m²"].value, p["area_mm2"] / 1e6)
        check.same(who + " area ft2", row["Net area ft²"].value, p["area_mm2"] / FT2)
        check.same(who + " whole area", row["Whole area m²"].value, p["gross_area_mm2"] / 1e6)
        check.same(who + " mass", row["Mass kg"].value, float(p["mass_kg"]))
        check.same(who + " pounds", row["Mass lb"].value, p["mass_kg"] / LB)
        check.same(who + " edges", row["Edges"].value, float(len(p["edges"])))
        check.same(who + " cg", row["Centre of gravity x mm"].value, float(p["centroid_mm"][0]))


def check_parts(check, book, r):
    edges = [(p, e) for p in r["pieces"] for e in p["edges"]]
    for row, (p, e) in rows_match(check, "Edges", rows_of(book, "Edges"), edges):
        who = f"Edges {p['id']} {e['n']}"
        check.same(who, row["Piece"].value, p["id"])
        check.same(who, row["Edge"].value, float(e["n"]))
        check.same(who, row["Finish"].value, e["finish"])
        length(check, who + " length", row, "Length", e["length_mm"])
        length(check, who + " radius", row, "Radius", e["radius_mm"] or None)
        check.same(who + " corner", row["Corner deg"].value, float(e["corner_deg"]))
        check.same(who + " to", row["To y mm"].value, float(e["to_mm"][1]))
    cutouts = [(p, c) for p in r["pieces"] for c in p["cutouts"]]
    for row, (p, c) in rows_match(check, "Cutouts", rows_of(book, "Cutouts"), cutouts):
        who = "Cutouts " + c["id"]
        check.same(who, row["Cutout"].value, c["id"])
        for title, key in [("Length", "length_mm"), ("Width", "width_mm"), ("Least radius", "min_radius_mm"), ("Perimeter", "perimeter_mm")]:
            length(check, f"{who} {title}", row, title, c[key])
        length(check, who + " diameter", row, "Diameter", c["diameter_mm"] or None)
        check.same(who + " area", row["Area m²"].value, c["area_mm2"] / 1e6)
    seams = [(s, t) for s in r["seams"] for t in (s["steps"] or [None])]
    for row, (s, t) in rows_match(check, "Seams", rows_of(book, "Seams"), seams):
        check.same("Seams", row["Seam"].value, s["id"])
        length(check, "Seams " + s["id"], row, "Length", s["length_mm"])
        check.same("Seams gap", row["Largest gap mm"].value, float(s["max_gap_mm"]))
        if t:
            length(check, "Seams step", row, "Step at", t["at_mm"])
            length(check, "Seams step", row, "Step depth", t["depth_mm"])


def check_setup(check, book, r):
    rows = rows_of(book, "Set-up")
    for p in r["pieces"]:
        mine = {}
        for row in rows:
            if row["Piece"].value == p["id"]:
                mine.setdefault(row["Machine"].value, []).append(row)
        s = p["setup"]
        length(check, p["id"] + " saw", mine["saw"][0], "Length", s["saw_mm"])
        length(check, p["id"] + " router", mine["router"][0], "Length", s["router_mm"])
        check.same(p["id"] + " minutes", mine["all machines"][0]["Time min"].value, float(s["run_minutes"]))
        for row, q in rows_match(check, "Set-up passes", mine.get("edge polisher", []), [q for q in s["polish"] if not q["hand_work"]]):
            length(check, p["id"] + " pass", row, "Length", q["length_mm"])
            check.same(p["id"] + " pass", row["Edges or cutout"].value, ", ".join(map(str, q["edges"])))
        steps = [t for q in s["polish"] if not q["hand_work"] for t in q["steps_lead_start"] + q["steps_lead_end"]]
        for row, t in rows_match(check, "Set-up steps", mine.get("edge polisher, step", []), steps):
            length(check, p["id"] + " step", row, "Step at", t["at_mm"])
            length(check, p["id"] + " step", row, "Step offset", t["offset_mm"])
        for row, c in rows_match(check, "Set-up cuts", mine.get("saw cut", []), s["cuts"]):
            length(check, p["id"] + " cut", row, "Length", c["length_mm"])


def check_flags(check, book, r):
    ws = book["Flags"]
    words = {"stop": "stop", "warn": "warning", "note": "note"}
    for row, f in rows_match(check, "Flags", table(ws), r["flags"]):
        who = "Flags " + f["id"]
        check.same(who, row["No."].value, f["id"])
        check.same(who, row["Severity"].value, words[f["severity"]])
        check.same(who, row["What is wrong"].value, f["message"])
        check.same(who, row["What to do"].value, f["remedy"])
        check.same(who, row["Key (do not change)"].value, f["key"])
        check.that(abs((row["Measured"].value or 0) - f["measured"]) <= 0.5, f"{who}: measured {row['Measured'].value}")
        check.same(who, row["Where x mm"].value, float(f["at_mm"][0]))
        for title in ("Decision", "By", "Why"):
            check.that(not row[title].protection.locked, f"{who}: {title} is locked")
        for title in ("No.", "What is wrong", "Key (do not change)"):
            check.that(row[title].protection.locked, f"{who}: {title} is not locked")
    check.that(ws.protection.sheet, "Flags is not protected")
    if r["flags"]:
        check.that(ws.auto_filter.ref is not None and ws.freeze_panes == f"A{HEADER + 1}", "Flags has no filter or no frozen header")
        lists = [v for v in ws.data_validations.dataValidation if v.type == "list"]
        check.that(len(lists) == 1 and lists[0].formula1 == '"accept,return"', "Flags has no list of decisions")


def check_rest(check, book, r):
    for row, c in rows_match(check, "Repairs", rows_of(book, "Repairs"), r["repairs"]):
        check.same("Repairs", row["Kind"].value, c["kind"].replace("-", " "))
        check.same("Repairs", row["Size mm"].value, float(c["size_mm"]))
        check.same("Repairs", row["Layer"].value, c["layer"])
    lines = [("rule " + u["rule"], u["why"]) for u in r["unchecked"]] + [("entity " + u["type"], u.get("why", "")) for u in r["unread"]]
    for row, (what, why) in rows_match(check, "Not checked", rows_of(book, "Not checked"), lines):
        check.same("Not checked", row["What"].value, what)
        check.same("Not checked", row["Why"].value, why)
    limits = rows_of(book, "Limits")
    check.that(len(limits) > 20 and all(row["What it is"].value for row in limits), "Limits is empty or unexplained")
    verdict = book["Summary"]["A4"].value
    check.that(verdict.startswith(r["verdict"].upper() + ":"), f"Summary says {verdict!r}, result {r['verdict']}")


def check_book(check, path, r):
    book = openpyxl.load_workbook(path)
    for name in ALWAYS if r["pieces"] else ["Summary", "Flags"]:
        check.that(name in book.sheetnames, f"no sheet {name}")
    for ws in book.worksheets:
        empty = ws.title not in ("Summary", "Flags", "Changes") and not ws.title.startswith("Piece ") and not table(ws)
        check.that(not empty, f"sheet {ws.title} has no rows")
    shops = [n for n in book.sheetnames if n.startswith("Piece ")]
    check.that(len(shops) == len(r["pieces"]), f"{len(shops)} sheets of pieces for {len(r['pieces'])} pieces")
    for ws in book.worksheets:
        for row in ws.iter_rows():
            for cell in row:
                if cell.data_type in ("f", "e"):
                    check.that(False, f"{ws.title}!{cell.coordinate} holds {cell.value!r}")
        for link in [c.hyperlink for row in ws.iter_rows() for c in row if c.hyperlink]:
            sheet = link.location.rsplit("!", 1)[0].strip("'").replace("''", "'")
            check.that(sheet in book.sheetnames, f"{ws.title}!{link.ref} leads to {link.location}")
        if ws.title in shops:
            check.that(len(ws._images) == 2, f"{ws.title} has {len(ws._images)} pictures, want drawing and bar code")
            check.that(ws.page_setup.orientation == "landscape" and ws.page_setup.fitToHeight == 1 and ws.sheet_properties.pageSetUpPr.fitToPage, f"{ws.title} is not one page")
    check_pieces(check, book, r)
    check_parts(check, book, r)
    check_setup(check, book, r)
    check_flags(check, book, r)
    check_rest(check, book, r)
    with zipfile.ZipFile(path) as z:
        check.that(z.testzip() is None, "the package is damaged")
        for name in [n for n in z.namelist() if n.startswith("xl/drawings/drawing")]:
            for e in ElementTree.fromstring(z.read(name)).iter():
                if e.tag.endswith("cNvPr"):
                    check.that(bool(e.get("descr")), f"{name}: a picture without a description")


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    check = Check()
    for result in sorted(pathlib.Path(sys.argv[1]).rglob("result.json")):
        check.where = str(result.parent)
        r = json.loads(result.read_text())
        book = result.parent / "report.xlsx"
        if r["verdict"] == "failed":
            check.that(bool(r["error"]), "failed without a reason")
        else:
            check.that(book.exists(), "no report.xlsx")
        if book.exists():
            check_book(check, book, r)
    print(f"report: {check.passed} passed, {check.failed} failed")
    sys.exit(1 if check.failed or not check.passed else 0)


if __name__ == "__main__":
    main()
