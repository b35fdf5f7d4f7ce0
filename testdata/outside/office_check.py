#!/usr/bin/env python3
"""Decides in workbooks as people do, with openpyxl and LibreOffice, under a running service.

usage: office_check.py PROGRAM FOLDER   (FOLDER is made, with a shop folder in it)

Each job is a top with two stop flags, a rail of 45 mm before its sink and one of 35 mm
behind its cooktop, both under narrow_stop (50 mm). What has to become of it stands
beside each case: DESIGN, section 8, and the README's section on the shop's folder.
"""
import datetime
import pathlib
import shutil
import subprocess
import sys
import time

import openpyxl

from contract_kit import new, poly, rect, rounded

program, base = sys.argv[1], pathlib.Path(sys.argv[2])
shop = base / "shop"
passed, failed = 0, 0


def report(ok, what):
    global passed, failed
    passed, failed = passed + ok, failed + (not ok)
    if not ok:
        print("FAILED", what)


def until(happened, seconds=40):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if happened():
            return True
        time.sleep(0.1)
    return False


class Flags:
    """The sheet Flags by its headings."""

    def __init__(self, path):
        self.path, self.book = path, openpyxl.load_workbook(path)
        self.sheet = self.book["Flags"]
        self.head = next(r for r in range(1, 30) if any(c.value == "Decision" for c in self.sheet[r]))
        self.column = {c.value: c.column for c in self.sheet[self.head] if c.value}
        self.rows = [r for r in range(self.head + 1, self.sheet.max_row + 1) if self.sheet.cell(r, self.column["Severity"]).value == "stop"]

    def put(self, row, decision="accept", by="Rosa Field", why="liner strip glued under it"):
        for name, value in ("Decision", decision), ("By", by), ("Why", why):
            self.sheet.cell(row, self.column[name]).value = value

    def all(self, **what):
        for row in self.rows:
            self.put(row, **what)


def turned_round(f):
    """Sorted by hand: the rows stand the other way round, each with its decision."""
    f.put(f.rows[0], why="first")
    f.put(f.rows[1], "return", why="second")
    rows = [[c.value for c in f.sheet[r]] for r in range(f.head + 1, f.sheet.max_row + 1) if f.sheet.cell(r, 1).value]
    for i, values in enumerate(reversed(rows)):
        for k, value in enumerate(values):
            f.sheet.cell(f.head + 1 + i, k + 1).value = value


def column_before(f):
    f.all()
    f.sheet.insert_cols(1)


def hidden(f):
    f.all()
    for row in f.rows:
        f.sheet.row_dimensions[row].hidden = True


def one_returned(f):
    f.put(f.rows[0])
    f.put(f.rows[1], "return", why="the cooktop 15 mm forward")


def renamed(f):
    f.all()
    f.sheet.title = "Flags done"


CASES = {  # name: what is done, the folder it ends in, a note beside it, words in the note
    "accepted": (Flags.all, "ready", "decided.txt", ["READY", "Rosa Field"]),
    "capitals and spaces": (lambda f: f.all(decision=" Accept "), "ready", "decided.txt", []),
    "one returned": (one_returned, "returned", "note.txt", ["the cooktop 15 mm forward"]),
    "sorted": (turned_round, "returned", "note.txt", ["second"]),
    "a column more": (column_before, "ready", "decided.txt", []),
    "filtered": (hidden, "ready", "decided.txt", []),
    "a date for a name": (lambda f: f.all(by=datetime.date(2026, 5, 4)), "ready", "decided.txt", []),
    "by libreoffice": (Flags.all, "ready", "decided.txt", ["Rosa Field"]),
    "no name": (lambda f: f.all(by=None), "review", "decisions-missing.txt", ["By is empty"]),
    "one without": (lambda f: f.put(f.rows[0]), "review", "decisions-missing.txt", ["F2", "no decision"]),
    "another word": (lambda f: f.all(decision="yes"), "review", "decisions-missing.txt", ['"yes"', "accept or return"]),
    "a formula": (lambda f: f.all(decision='="acc"&"ept"'), "review", "decisions-missing.txt", ["formula"]),
    "sheet renamed": (renamed, "review", "decisions-missing.txt", ["no sheet Flags"]),
    "cut short": (None, "review", "decisions-missing.txt", ["not an .xlsx file"]),
    "held open": (Flags.all, "review", None, []),
}


def top(i):
    drawing = new()
    poly(drawing, rect(0, 0, 2000 + i, 650))
    poly(drawing, rounded(800, 45, 1300, 500, 20), "SINK")
    poly(drawing, rounded(100, 120, 500, 615, 20), "COOKTOP")
    return drawing


def decide():
    for name, (change, *_) in CASES.items():
        path = shop / "review" / name / "1" / "report.xlsx"
        if change is None:
            path.write_bytes(path.read_bytes()[:3000])
            continue
        flags = Flags(path)
        if len(flags.rows) != 2:
            report(False, f"{name}: {len(flags.rows)} stop flags, expected 2")
            continue
        change(flags)
        if name == "held open":
            (path.parent / ".~lock.report.xlsx#").write_text(",rosa,desk,04.05.2026 10:00,file:///;")
        if name != "by libreoffice":
            aside = base / "aside.xlsx"
            flags.book.save(aside)
            shutil.move(aside, path)
            continue
        elsewhere = base / "libreoffice"
        elsewhere.mkdir()
        flags.book.save(elsewhere / "report.xlsx")
        subprocess.run(["soffice", f"-env:UserInstallation=file://{base}/profile", "--headless", "--convert-to", "xlsx", "--outdir", base / "saved", elsewhere / "report.xlsx"],
                       check=True, capture_output=True)
        shutil.move(base / "saved" / "report.xlsx", path)


def ended():
    for name, (_, folder, note, words) in CASES.items():
        there = shop / folder / name / "1"
        what = there / note if note else there / "result.json"
        if not until(what.is_file):
            report(False, f"{name}: no {what.relative_to(shop)}; there are {sorted(str(p.relative_to(shop)) for p in shop.glob(f'*/{name}/1/*.txt'))}")
            continue
        text = what.read_text(encoding="utf-8")
        report(all(w in text for w in words), f"{name}: {what.name} lacks one of {words}: {text}")
        report(sum((shop / f / name).is_dir() for f in ("review", "ready", "returned")) == 1, f"{name}: in more than one folder")
    for words in "review/held open/1", "cut short, revision 1", "no name, revision 1":
        report(until(lambda: words in status(), 15), f"status does not tell of {words}:\n{status()}")


def status():
    return subprocess.run([program, "status", shop], capture_output=True, text=True).stdout


base.mkdir(parents=True)
subprocess.run([program, "init", shop], check=True, capture_output=True)
(shop / "trueup.toml").write_text('[watch]\nsettle = "0.3s"\nrescan = "0.5s"\ndecisions = "0.5s"\n')
for i, name in enumerate(CASES):
    top(i).saveas(base / "one.dxf")
    shutil.move(base / "one.dxf", shop / "drop" / f"{name}.dxf")
with open(base / "log.txt", "w") as log:
    service = subprocess.Popen([program, "watch", shop], stdout=log, stderr=log)
    try:
        report(until(lambda: all((shop / "review" / n / "1" / "report.xlsx").is_file() for n in CASES)), "not every template came to review/")
        decide()
        ended()
    finally:
        service.terminate()
        report(service.wait(30) == 0, "the service did not stop cleanly")
print(f"office: {passed} passed, {failed} failed")
sys.exit(1 if failed or not passed else 0)
