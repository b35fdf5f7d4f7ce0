"""The truth harness: templates with known truth against READY.

    truth.py PROGRAM FOLDER [--all] [--only CATEGORY[,CATEGORY]] [--seed N] [--cases PATTERN]

Without --all a fixed selection of each category runs. Prints the failed cases,
a line a category, and 'N passed, N failed'.
"""
import argparse
import collections
import fnmatch
import json
import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import truth_kit as kit  # noqa: E402

MODULES = ("truth_shapes", "truth_names", "truth_faults", "truth_dims", "truth_support", "truth_more", "truth_same", "truth_clean", "truth_hunt", "truth_flawed")


def categories():
    out = {}
    for name in MODULES:
        if (pathlib.Path(__file__).parent / f"{name}.py").exists():
            out.update(__import__(name).CATEGORIES)
    return out


def settings():
    out = {}
    for name in MODULES:
        out.update(getattr(__import__(name), "SETTINGS", {}))
    return out


def main():
    p = argparse.ArgumentParser()
    p.add_argument("program")
    p.add_argument("folder")
    p.add_argument("--all", action="store_true")
    p.add_argument("--only", default="")
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--cases", default="*")
    p.add_argument("--json", default="")
    a = p.parse_args()
    only = [c for c in a.only.split(",") if c]
    passed = failed = 0
    rows, report = [], []
    for name, make in categories().items():
        if only and name not in only:
            continue
        started = time.time()
        cases, overall = make(a.seed)
        assert len({c.name for c in cases}) == len(cases), [n for n, k in collections.Counter(c.name for c in cases).items() if k > 1]
        if not a.all:
            cases = selection(cases, name)
        cases = [c for c in cases if fnmatch.fnmatch(c.name, a.cases)]
        if not cases:
            continue
        outcomes = kit.run(a.program, pathlib.Path(a.folder) / name, cases, settings=settings().get(name))
        bad = 0
        for c in cases:
            faults = c.faults(*outcomes[c.name])
            if faults:
                bad += 1
                report.append({"category": name, "case": c.name, "faults": faults, "why": c.why,
                               "file": str(pathlib.Path(a.folder) / name / "in" / f"{c.name}.dxf")})
                print(f"FAILED {name}/{c.name}: " + "; ".join(faults[:4]) + (f" ({c.why})" if c.why else ""))
        for fault in (overall(cases, outcomes) if overall and cases and (a.all or name not in OPEN) else []):
            bad += 1
            report.append({"category": name, "case": "", "faults": [fault], "why": "", "file": ""})
            print(f"FAILED {name}: {fault}")
        failed += bad
        passed += max(0, len(cases) - bad)
        rows.append(f"truth {name}: {len(cases)} cases, {bad} failed, seed {a.seed}, {time.time() - started:.0f} s")
    print("\n".join(rows))
    if a.json:
        pathlib.Path(a.json).write_text(json.dumps(report, indent=1))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


# The gate's share: how many cases a category gives, spread over all of its kinds. All of them run with --all.
GATE = {"polygons": 16, "small": 12, "curves": 16, "figures": 10, "words": 10, "law": 4, "names": 28, "variants": 14, "single": 4, "units": 18, "doubled": 14, "closing": 18,
        "looks": 16, "dims": 10, "support": 18, "statics": 10, "seams": 8, "odd": 14, "outlines": 14, "mutants": 14, "clean": 12, "hunt": 20, "flawed": 20, "asked": 10}
SAME = (("kitchen", "corner", "facets", "seam-gap"), ("base", "mirror45", "turn201", "inches", "shuffled"))  # families and views of the category same
# Known and told, not yet mended: kept out of the gate, run with --all. Patterns of CATEGORY/CASE; a category alone is the figure over all of its cases.
OPEN = (
)


def selection(cases, category):
    def is_open(c):
        return any(fnmatch.fnmatch(f"{category}/{c.name}", p) for p in OPEN)

    if category == "same":
        return [c for c in cases if c.family in SAME[0] and c.name[len(c.family) + 1:] in SAME[1] and not is_open(c)]
    sound = [c for c in cases if not is_open(c)]
    n = GATE.get(category, 10)
    return [sound[i] for i in sorted({int(k * len(sound) / n) for k in range(n)})] if sound else []


if __name__ == "__main__":
    sys.exit(main())
