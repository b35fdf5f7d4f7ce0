#!/usr/bin/env python3
"""Prints every workbook as LibreOffice would and reads the pages back.

Usage: report_print_check.py DIR

DIR is a folder that "trueup check --out DIR" wrote. LibreOffice turns each
report.xlsx into PDF; the summary and each piece must take one page, every sheet
at least one, in the order of the tabs; no cell may show # signs; and zbarimg
must read job-revision-piece out of the bar code of each piece's rendered page.
Needs Debian's libreoffice-calc, poppler-utils, zbar-tools, python3-openpyxl.
Ends with "print: N passed, M failed"; exits 1 on any failure, and when nothing
was printed.
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile

import openpyxl

RESOLUTION = 200  # dots an inch: an office printer's coarse setting


def run(*args):
    return subprocess.run(args, check=True, capture_output=True, text=True, timeout=300).stdout


def page_sheets(pdf, names):
    """The sheet of each page, told by the footer's left part."""
    pages = run("pdftotext", "-layout", str(pdf), "-").split("\f")[:-1]
    sheets = []
    for text in pages:
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        found = [n for n in names if lines and lines[-1].startswith(re.sub(r" +", " ", n) + "  ")]
        sheets.append((max(found, key=len) if found else None, text))
    return sheets


def expected_code(r, piece):
    """job-revision-piece, for jobs that Code 128 takes as they are."""
    job = r.get("job") or re.sub(r"\.dxf$", "", r["source"]["file"], flags=re.I)
    code = f"{job}-{r.get('revision', 0)}-{piece}".replace(" ", "_")
    return code if code.isascii() and len(code) <= 36 else None


def check_job(folder, work, profile, that):
    r = json.loads((folder / "result.json").read_text())
    book = openpyxl.load_workbook(folder / "report.xlsx")
    run("soffice", "--headless", f"-env:UserInstallation=file://{profile}", "--convert-to", "pdf", "--outdir", str(work), str(folder / "report.xlsx"))
    pdf = work / "report.pdf"
    pages = page_sheets(pdf, book.sheetnames)
    order = [s for i, (s, _) in enumerate(pages) if i == 0 or s != pages[i - 1][0]]
    that(order == book.sheetnames, f"pages follow {order}, tabs {book.sheetnames}")
    pieces = {f"Piece {p['id']}": p["id"] for p in r["pieces"]}
    for name in book.sheetnames:
        count = sum(1 for s, _ in pages if s == name)
        single = name == "Summary" or name in pieces
        that(count == 1 if single else count >= 1, f"sheet {name} takes {count} pages")
    for name, text in pages:
        that("###" not in text, f"sheet {name} shows ###")
    that("Page 1 of" in pages[0][1], "the summary has no page number")
    for i, (name, text) in enumerate(pages):
        if name not in pieces:
            continue
        picture = work / "page"
        run("pdftoppm", "-r", str(RESOLUTION), "-f", str(i + 1), "-l", str(i + 1), "-singlefile", "-png", str(pdf), str(picture))
        read = run("zbarimg", "--quiet", "--raw", "-Sdisable", "-Scode128.enable", str(picture) + ".png").splitlines()
        shown = book[name]["C2"].value
        that(read == [shown], f"{name}: the bar code reads {read}, the sheet says {shown!r}")
        want = expected_code(r, pieces[name])
        that(want is None or read == [want], f"{name}: the bar code reads {read}, want {want!r}")
    pdf.unlink()


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    passed = failed = 0
    profile = tempfile.TemporaryDirectory()  # LibreOffice's own; made once, it takes seconds
    for book in sorted(pathlib.Path(sys.argv[1]).rglob("report.xlsx")):

        def that(ok, text, where=book.parent):
            nonlocal passed, failed
            if ok:
                passed += 1
            else:
                failed += 1
                print(f"{where}: {text}", file=sys.stderr)

        with tempfile.TemporaryDirectory() as work:
            try:
                check_job(book.parent, pathlib.Path(work), profile.name, that)
            except subprocess.CalledProcessError as e:
                that(False, f"{e.cmd[0]} ended with {e.returncode}: {e.stderr.strip()}")
    print(f"print: {passed} passed, {failed} failed")
    sys.exit(1 if failed or not passed else 0)


if __name__ == "__main__":
    main()
