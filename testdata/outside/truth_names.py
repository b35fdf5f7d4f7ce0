"""Truth for what layers are called, single-layer drawings, and units."""
import math
import random

from shapely.geometry import Polygon

from truth_base import counter, island, marks, note, vanity
from truth_kit import MM, Case, Scene, Truth, disc, rect, rounded, shape

# Words of the trade. A closed loop of its own on these layers is a slab of stone that somebody wants cut.
STONE = ["WATERFALL PANEL", "WATERFALL END PANEL", "SPLASH PANEL", "BACKSPLASH PANEL", "WINDOW LEDGE", "HALF WALL CAP", "PONY WALL CAP",
         "WALL CAP", "KNEE WALL TOP", "UPPER COUNTER", "UPPER TOP", "UPPER BAR TOP", "RAISED BAR TOP", "LEDGE TOP", "COUNTER BASE LEVEL",
         "ISLAND-UPPER", "WINDOW SILL LEDGE", "SHOWER LEDGE", "FIREPLACE SURROUND PANEL", "END PANEL STONE", "STONE PANEL", "UPPER LEVEL COUNTER",
         "BATH PANEL TOP", "TOP VIEW COUNTER", "DIMENSION STONE TOP", "BASE CABINET TOP", "WALL UNIT TOP", "UPPER_WORKTOP"]
# Nothing on these layers carries a top.
NO_SUPPORT = ["WALL CABINETS", "WALL CABINET", "WALL UNITS", "WALL-CABINET", "UPPER CABINETS", "CABINETS UPPER", "CABINET WALL", "CABINET DOORS",
              "CABINET DOOR SWING", "DRAWER FRONTS", "CABINETS OVERHEAD", "OVERHEAD CABINET", "HANGING CABINET", "CABINETS-WALL MOUNTED", "NO SUPPORT",
              "UNSUPPORTED", "CABINET LIGHTING", "CABINETS REMOVED", "NO CABINET", "CABINET OPENING", "FUTURE CABINETS", "CABINET HANDLES"]
NOT_POLISHED = ["NO POLISH", "NOT POLISHED", "NOT FINISHED", "UNFINISHED", "UNPOLISHED", "DO NOT POLISH", "NON FINISHED", "UN-FINISHED", "NON-POLISHED",
                "NO FINISH", "EDGE NOT FINISHED", "POLISH NO", "FINISH NONE", "WITHOUT POLISH", "UNFINISHED EDGE", "RAW NO POLISH", "FINISHED FLOOR", "NEVER POLISH"]
COOKTOPS = ["COOK TOP", "COOK-TOP", "COOK_TOP", "COOKTOP", "RANGE TOP", "STOVE TOP", "GAS TOP HOB", "INDUCTION TOP", "Cook Top Cutout", "HOB TOP"]
SINKS = ["KITCHEN SINK", "SINK TOP MOUNT", "UNDERMOUNT SINK", "TOP MOUNT SINK", "BASIN TOP", "FARM SINK", "SINK OUTLINE", "BOWL OUTLINE", "PREP SINK", "SINK COUNTER"]

# One kitchen a language: outline, sink, cooktop, tap hole, cabinet, wall, finished edge, seam.
LANGUAGES = {
    "german": ("ARBEITSPLATTE", "SPÜLE", "KOCHFELD", "HAHNLOCH", "UNTERSCHRANK", "WAND", "POLIERT"),
    "german2": ("Arbeitsplatte", "Spülbecken", "Kochfeld", "Bohrung", "Unterschränke", "Wand", "Kante poliert"),
    "german3": ("PLATTE AUSSENKONTUR", "SPUELE", "KOCHFELD", "HAHNLOCH", "SCHRANK", "WAND", "SICHTKANTE POLIERT"),
    "german4": ("KÜCHENARBEITSPLATTE", "AUSSCHNITT SPÜLE", "KOCHFELDAUSSCHNITT", "ARMATURENBOHRUNG", "UNTERSCHRÄNKE", "WAND", "POLIERTE KANTE"),
    "french": ("PLAN DE TRAVAIL", "EVIER", "PLAQUE DE CUISSON", "PERCAGE", "MEUBLE BAS", "MUR", "POLI"),
    "french2": ("Plan de travail", "évier", "plaque de cuisson", "perçage robinet", "meubles bas", "mur", "chant poli"),
    "french3": ("PLAN-DE-TRAVAIL", "DECOUPE EVIER", "DECOUPE PLAQUE", "TROU ROBINET", "CAISSON", "MURS", "POLI"),
    "spanish": ("ENCIMERA", "FREGADERO", "PLACA DE COCCION", "GRIFO", "MUEBLE BAJO", "PARED", "PULIDO"),
    "spanish2": ("Encimera", "fregadero", "placa de cocción", "taladro grifo", "muebles bajos", "pared", "canto pulido"),
    "italian": ("PIANO DI LAVORO", "LAVELLO", "PIANO COTTURA", "FORO RUBINETTO", "MOBILE BASE", "PARETE", "LUCIDATO"),
    "italian2": ("Piano cucina", "lavello", "piano cottura", "foro rubinetto", "mobili base", "muro", "costa lucida"),
    "portuguese": ("BANCADA", "CUBA", "COOKTOP", "FURO TORNEIRA", "ARMARIO", "PAREDE", "POLIDO"),
    "portuguese2": ("Tampo", "cuba", "placa de cozinha", "furo torneira", "armário inferior", "parede", "borda polida"),
    "dutch": ("WERKBLAD", "SPOELBAK", "KOOKPLAAT", "KRAANGAT", "ONDERKAST", "MUUR", "GEPOLIJST"),
    "dutch2": ("Aanrechtblad", "spoelbak", "kookplaat", "kraangat", "onderkasten", "muur", "gepolijste rand"),
}
FOREIGN_TRAPS = {  # a slab of stone in its language, in which a built-in word of another role stands
    "RÜCKWAND": "splash", "WANDANSCHLUSSPROFIL": "splash", "SPRITZWAND": "splash", "NISCHENRÜCKWAND": "splash", "SPATWAND": "splash", "ACHTERWAND": "splash",
    "CREDENCE": "splash", "CRÉDENCE": "splash", "DOSSERET": "splash", "COPETE": "splash", "ALZATINA": "splash", "RODABANCA": "splash", "FRONTON": "splash",
    "WANGE": "panel", "FENSTERBANK": "sill", "VENSTERBANK": "sill", "REBORD DE FENETRE": "sill", "ALFEIZAR": "sill", "DAVANZALE": "sill", "PEITORIL": "sill",
    "SEITENWANGE": "panel", "TABLETTE": "sill", "ZOCALO": "splash", "PLINTHE": "splash",
}
FOREIGN_NOT = {  # carries nothing, or is no finish
    "OBERSCHRANK": "cabinet", "OBERSCHRÄNKE": "cabinet", "HÄNGESCHRANK": "cabinet", "MEUBLE HAUT": "cabinet", "MEUBLES HAUTS": "cabinet", "MUEBLE ALTO": "cabinet",
    "MUEBLES ALTOS": "cabinet", "PENSILE": "cabinet", "MOBILE PENSILE": "cabinet", "ARMARIO SUPERIOR": "cabinet", "ARMÁRIO SUPERIOR": "cabinet", "BOVENKAST": "cabinet",
    "BOVENKASTEN": "cabinet", "NICHT POLIERT": "polish", "UNPOLIERT": "polish", "NON POLI": "polish", "NO PULIDO": "polish", "SIN PULIR": "polish",
    "NON LUCIDATO": "polish", "NAO POLIDO": "polish", "NÃO POLIDO": "polish", "NIET GEPOLIJST": "polish", "ONGEPOLIJST": "polish", "SANS POLI": "polish",
}
UNMAPPED = ["XYZ", "LAYER7", "MAGIC", "A-100", "RED", "Ebene3", "Calque 4", "NEW", "MISC", "MESSPUNKTE"]


def names(seed):
    rng = random.Random(f"c{seed}")
    out = []
    for k, name in enumerate(STONE):
        s, t = counter(2400, 640)
        extra = rect(0, 1500, rng.randint(700, 1400), 1500 + rng.randint(300, 500))
        s.poly(extra, name)
        out.append(Case(f"stone-{k:02d}", s, "honest", Truth(t.outlines + [shape(extra)]), why=f"a slab on layer {name}"))
    for k, name in enumerate(NO_SUPPORT):
        s, t = counter(2600, 640, cabinet=False)
        s.poly(rect(0, 30, 1000, 640), "CABINET")
        s.poly(rect(1000, 30, 2600, 640), name)
        out.append(Case(f"nosupport-{k:02d}", s, "stop", None, why=f"1600 mm of top over layer {name} only"))
    for k, name in enumerate(NOT_POLISHED):
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] != "WALL"]
        s.line((0, 640), (2400, 640), name)
        out.append(Case(f"nopolish-{k:02d}", s, "honest", t, figures=back_unfinished, why=f"back edge on layer {name}"))
    for k, name in enumerate(COOKTOPS + SINKS):
        s, t = counter(2600, 640)
        loop = rounded(900, 100, 1460, 540, 20)
        s.poly(loop, name)
        out.append(Case(f"cutout-{k:02d}", s, "honest", Truth(t.outlines, [shape(loop)]), why=f"cutout on layer {name}"))
    for k, name in enumerate(COOKTOPS[:5]):  # apart from the top it is no piece either
        s, t = counter(2600, 640)
        s.poly(rounded(900, 1500, 1460, 1940, 20), name)
        out.append(Case(f"loose-{k:02d}", s, "stop", None, why=f"a cooktop outside every piece on layer {name}"))
    for k, (lang, w) in enumerate(LANGUAGES.items()):
        s, t = foreign(w)
        out.append(Case(f"lang-{lang}", s, "ready", t, figures=language_figures, why=f"kitchen in {lang}: {', '.join(w)}"))
    for k, (name, what) in enumerate(FOREIGN_TRAPS.items()):
        s, t = counter(2400, 640)
        extra = rect(0, 1500, 1600, 1600 if what == "splash" else 1900)
        s.poly(extra, name)
        out.append(Case(f"foreign-stone-{k:02d}", s, "honest", Truth(t.outlines + [shape(extra)]), why=f"{what} on layer {name}"))
    for k, (name, what) in enumerate(FOREIGN_NOT.items()):
        if what == "cabinet":
            s, t = counter(2600, 640, cabinet=False)
            s.poly(rect(0, 30, 1000, 640), "CABINET").poly(rect(1000, 30, 2600, 640), name)
            out.append(Case(f"foreign-not-{k:02d}", s, "stop", None, why=f"1600 mm of top over layer {name} only"))
        else:
            s, t = counter(2400, 640)
            s.items = [i for i in s.items if i[1] != "WALL"]
            s.line((0, 640), (2400, 640), name)
            out.append(Case(f"foreign-not-{k:02d}", s, "honest", t, figures=back_unfinished, why=f"back edge on layer {name}"))
    return out + unseen(rng), readiness


def back_unfinished(result):
    if result["verdict"] != "ready":
        return []
    bad = [e for p in result["pieces"] for e in p["edges"] if e["finish"] == "finished" and min(e["from_mm"][1], e["to_mm"][1]) > 600]
    return ["READY-but-wrong: the back edge came out finished"] if bad else []


def foreign(w):
    s, t = counter(3000, 640, outline=w[0], cabinet=False)
    s.items = [i for i in s.items if i[1] not in ("WALL", "FINISHED")]
    sink, hob = rounded(400, 100, 900, 500, 30), rounded(1800, 100, 2360, 540, 12)
    s.poly(sink, w[1]).poly(hob, w[2]).circle((650, 570), 17.5, w[3])
    s.poly(rect(0, 30, 3000, 640), w[4]).line((0, 640), (3000, 640), w[5]).line((0, 0), (3000, 0), w[6])
    return s, Truth(t.outlines, [shape(sink), shape(hob), disc((650, 570), 17.5)])


def language_figures(result):
    out = []
    kinds = sorted(c["kind"] for p in result["pieces"] for c in p["cutouts"])
    if result["verdict"] == "ready" and kinds != ["cooktop", "hole", "sink"]:
        out.append(f"cutouts read as {kinds}")
    if result["verdict"] == "ready":
        fin = [e["finish"] for p in result["pieces"] for e in p["edges"]]
        if sorted(fin) != ["finished", "unmarked", "unmarked", "wall"]:
            out.append(f"edges read as {fin}")
    return out


def readiness(cases, outcomes):
    return []


def gap_loop(loop, gap, layer, s):
    """The loop as lines with one gap in the middle of its first side."""
    pts = [(p[0], p[1]) for p in loop]
    a, b = pts[0], pts[1]
    m = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    l = math.dist(a, b)
    u = ((b[0] - a[0]) / l, (b[1] - a[1]) / l)
    p, q = (m[0] - u[0] * gap / 2, m[1] - u[1] * gap / 2), (m[0] + u[0] * gap / 2, m[1] + u[1] * gap / 2)
    s.line(a, p, layer).line(q, b, layer)
    s.lines(pts[1:] + [pts[0]], layer)


def unseen(rng):
    out = []
    for k in range(10):
        s, t = counter(2400, 640)
        gap = [0, 0.3, 1, 2.5, 5, 12, 30, 60, -5, -12][k]  # negative: the ends run past each other
        gap_loop(rect(900, 150, 1400, 500), gap, UNMAPPED[k], s)
        out.append(Case(f"unmapped-{k}", s, "stop", None, why=f"a sink on layer {UNMAPPED[k]} with a gap of {gap} mm"))
    for k in range(8):
        s, t = counter(2400, 640, cabinet=bool(k % 2))
        name = ["SINK", "CUTOUT", "HOLE", "COOKTOP"][k % 4]
        if k % 3:
            s.circle((1200, 320), [17.5, 180][k % 2], name)
        else:
            gap_loop(rect(900, 150, 1400, 500), [0, 8][k % 2], name, s)
        (s.off if k < 4 else s.frozen).add(name)
        out.append(Case(f"hidden-{k}", s, "stop", None, why=f"{name} switched off" if k < 4 else f"{name} frozen"))
    for k in range(6):
        s, t = counter(2400, 640)
        name = UNMAPPED[k]
        s.point((1200 + 20 * k, 560), name)
        if k % 2:
            s.off.add(name)
        out.append(Case(f"point-{k}", s, "stop", None, why=f"a POINT in stone on layer {name}{', off' if k % 2 else ''}"))
    for k in range(4):
        s, t = counter(2400, 640)
        s.point((1200, 560), ["CUTOUT", "TAP", "HOLE", "FAUCET"][k])
        out.append(Case(f"pointhole-{k}", s, "honest", Truth(t.outlines, [disc((1200, 560), 17.5)]), why="a POINT on a cutout layer is a tap hole of 35 mm"))
    for k in range(6):
        s, t = counter(2400, 640)
        gap_loop(rect(0, 1500, 1500, 2100), [0, 2, 10, 40, -8, 0][k], UNMAPPED[k], s)
        if k == 5:
            s.frozen.add(UNMAPPED[k])
        out.append(Case(f"aspiece-{k}", s, "stop", None, why=f"as large as a piece, on layer {UNMAPPED[k]}"))
    for k in range(4):
        s, t = counter(2400, 640)
        name = ["OUTLINE2", "OUTLINE"][k % 2]
        if k % 2:
            s.items[0][1] = "COUNTER"
            s.poly(rect(0, 1500, 1500, 2100), "OUTLINE")
        else:
            s.poly(rect(0, 1500, 1500, 2100), "TOP 2")
            name = "TOP 2"
        (s.off if k < 2 else s.frozen).add(name)
        out.append(Case(f"hiddentop-{k}", s, "stop", None, why=f"a top on layer {name} that is {'off' if k < 2 else 'frozen'}"))
    for k in range(4):
        s, t = counter(2400, 640)
        for j in range(5):
            s.line((3000 + 40 * j, -900), (3030 + 40 * j, -880), UNMAPPED[k])
        out.append(Case(f"faraway-{k}", s, "ready", t, why="small lines far from the stone on a layer without a role"))
    return out


# ------------------------------------------------------- d. single layer

def single(seed):
    rng = random.Random(f"d{seed}")
    out = []
    for k in range(24):
        lay = ["0", "Layer 1", "DEFAULT", "0", "OUTPUT", "Ebene 1"][k % 6]
        s = Scene()
        loops, cuts = [], []
        n = 1 + k % 3
        for j in range(n):
            x = j * 3200
            o = rect(x, 0, x + rng.randint(1500, 2800), rng.randint(560, 680)) if k % 2 else rounded(x, 0, x + rng.randint(1500, 2800), 640, 25)
            loops.append(o)
            if k % 5 != 4:
                cuts.append(rounded(x + 400, 120, x + 900, 480, 30))
            if k % 4 == 1:
                s.circle((x + 1200, 500), 17.5, lay)
                cuts.append(disc((x + 1200, 500), 17.5))
        for loop in loops + [c for c in cuts if not isinstance(c, Polygon)]:
            if k % 3 == 2 and all(p[2] == 0 for p in loop):
                s.lines([(p[0], p[1]) for p in loop], lay, close=True)
            else:
                s.poly(loop, lay)
        if k % 6 == 5:
            s.text("30 MM GRANITE", (300, -400), lay)
        out.append(Case(f"single-{k}", s, "stop", None, rules=["roles-guessed"], figures=counts(len(loops), len(cuts)), why=f"everything on layer {lay}: {len(loops)} tops, {len(cuts)} cutouts"))
    return out, no_failed


def counts(pieces, cutouts):
    def check(result):
        p, c = len(result["pieces"]), sum(len(x["cutouts"]) for x in result["pieces"])
        return [] if (p, c) == (pieces, cutouts) else [f"{p} pieces and {c} cutouts, drawn {pieces} and {cutouts}"]
    return check


def no_failed(cases, outcomes):
    bad = [c.name for c in cases if outcomes[c.name][0] and outcomes[c.name][0]["verdict"] == "failed"]
    return [f"failed instead of read by nesting: {bad}"] if bad else []


# ---------------------------------------------------------------- e. units

def units(seed):
    rng = random.Random(f"e{seed}")
    out = []
    makers = {
        "kitchen": lambda: counter(rng.randint(1800, 2900), rng.randint(600, 680), sink=(400, 100, 1000, 500, 20), taps=[((700, 560), 17.5)]),
        "vanity": lambda: vanity(rng.randint(800, 1400), rng.randint(545, 580)),
        "island": lambda: island(rng.randint(1500, 2600), rng.randint(800, 1000)),
        "plain": lambda: counter(rng.randint(1200, 2800), rng.randint(560, 680)),
    }
    for u in ("mm", "cm", "m", "in", "ft"):
        for what, make in makers.items():
            s, t = make()
            s.unit = u
            out.append(Case(f"right-{u}-{what}", s, "ready", t, figures=unit_is(u), why=f"{what} drawn in {u}, header says so"))
    fillers = [(300, 600), (60, 600), (150, 640), (400, 100)]
    for k, (w, d) in enumerate(fillers * 2):
        u = ["mm", "in"][k // 4]
        s = note(Scene(unit=u)).poly(rect(0, 0, w, d))
        out.append(Case(f"filler-{k}", s, "honest", Truth([shape(rect(0, 0, w, d))]), silent=["units-implausible"] if w * d >= 90000 else [], why=f"a filler of {w} x {d} mm in {u}"))
    for u in ("mm", "cm", "m", "in", "ft"):
        for h in ("mm", "cm", "m", "in", "ft"):
            if u == h:
                continue
            for what in ("kitchen", "vanity"):
                s, t = makers[what]()
                s.unit, s.header = u, h
                out.append(Case(f"wrong-{u}-as-{h}-{what}", s, "stop", None, rules=["units-implausible"], silent=["narrow-section", "inside-radius", "hole-spacing"],
                                figures=names_unit(u), why=f"{what} drawn in {u}, header {h}: {MM[h] / MM[u]:.3g} times its size"))
    for u in ("mm", "in", "cm", "m", "ft"):
        for what in ("kitchen", "vanity"):
            s, t = makers[what]()
            s.unit, s.header = u, None
            out.append(Case(f"absent-{u}-{what}", s, "stop", None, rules=["units-unknown"], figures=names_unit(u) if u in ("mm", "in") else None, why=f"{what} drawn in {u}, header names none"))
    for u, h in (("in", "mm"), ("mm", "in"), ("cm", "mm"), ("mm", "m"), ("m", "mm"), ("in", "cm"), ("mm", "cm"), ("in", "m")):
        s, t = makers["kitchen"]()
        p = s.items[0][2]
        s.items[0] = ["poly", "OUTLINE", p[:3] + [(p[3][0], p[3][1], 0), (p[0][0], p[0][1] + 40, 0)], False, {}]
        s.unit, s.header = u, h
        out.append(Case(f"open-{u}-as-{h}", s, "stop", None, rules=["units-implausible"], figures=names_unit(u), why=f"open outline drawn in {u}, header {h}"))
    return out, None


WORDS = {"mm": ("mm", "millimet"), "cm": ("cm", "centimet"), "m": (" m", "metre", "meter"), "in": (" in", "inch"), "ft": ("ft", "feet", "foot")}


def unit_is(u):
    def check(result):
        return [] if result["units"]["drawing"] == u else [f"unit read as {result['units']}"]
    return check


def names_unit(u):
    def check(result):
        said = " ".join(f["message"] + " " + f.get("remedy", "") for f in result["flags"] if f["rule"].startswith("units"))
        return [] if not said or any(w in said for w in WORDS[u]) else [f"the unit {u} that fits is not named: {said[:120]}"]
    return check


# ------------------------------------ words as people write them

VARIANTS = {
    "outline": ["COUNTERTOP", "CounterTop", "counter_tops", "COUNTERTOPS-01", "01_COUNTER", "A-COUNTER", "Kitchen Counter", "KITCHEN_COUNTERTOP_30MM", "WORKTOPS", "Worktop1", "BENCHTOPS", "OUTLINES",
                "Outline_2", "TOP", "TOP1", "TOP_01", "TOPS", "VANITY", "VANITIES", "VANITYTOP", "ISLAND", "ISLAND_1", "ISLANDTOP", "PERIMETER", "PIECE_A", "PIECES", "TEMPLATE", "STONE OUTLINE", "Counter-Perimeter", "KITCHENTOP"],
    "sink": ["SINK", "SINKS", "SINK1", "SINK_01", "Sink-Cutout", "SINKCUTOUT", "CUTOUT_SINK", "UNDERMOUNT SINK", "KITCHENSINK", "Sink Cut Out", "CUTOUTS_SINKS", "BOWL", "BASIN-2", "VANITY BASIN", "FARMHOUSE_SINK", "sinkcutout_1"],
    "hob": ["COOKTOP", "COOKTOPS", "CookTop", "COOK TOP", "COOKTOP_CUTOUT", "HOB", "HOBS", "HOB_1", "HOBCUTOUT", "GAS HOB", "STOVETOP"],
    "tap": ["TAP", "TAPS", "TAP_HOLE", "TAPHOLE", "TAPHOLES", "FAUCET", "FAUCETS", "FAUCETHOLE", "FAUCET_HOLES", "HOLE", "HOLES", "HOLE_35", "DRILL HOLES", "CUTOUT", "CUTOUTS"],
    "cabinet": ["CABINET", "CABINETS", "BASE CABINETS", "BASECABINETS", "BASE_CABINET", "CABINET_BASE", "SUPPORT", "SUPPORTS", "CARCASS", "CARCASSES", "BASES", "KITCHEN CABINETS", "Base-Units", "BASE UNITS", "CABINETRY"],
    "finish": ["FINISHED", "FINISHED_EDGE", "FINISHED EDGES", "FINISH", "POLISH", "POLISHED", "POLISHED_EDGE", "POLISHING", "FRONT", "FRONT_EDGE", "EDGE_FINISHED", "FinishedEdge", "EDGE POLISH"],
    "wall": ["WALL", "WALLS", "WALL_LINE", "WALLLINE", "BACK WALL", "WALL-1", "Walls_Kitchen"],
    "splash": ["SPLASH", "BACKSPLASH", "BACK_SPLASH", "BACKSPLASHES", "SPLASHBACK", "UPSTAND", "UPSTANDS", "SIDE SPLASH", "SPLASH_1"],
    "seam": ["SEAM", "SEAMS", "SEAM_1", "JOINT", "JOINTS", "SEAMLINE", "SEAM LINE"],
}


def variants(seed):
    """English trade words with numbers, plurals, underscores and compounds are read."""
    rng = random.Random(f"v{seed}")
    plain = {"outline": "OUTLINE", "sink": "SINK", "hob": "COOKTOP", "tap": "TAP", "cabinet": "CABINET", "finish": "FINISHED", "wall": "WALL"}
    out = []
    for role, words in VARIANTS.items():
        for k, word in enumerate(words):
            w = dict(plain)
            if role in w:
                w[role] = word
            s, t = foreign((w["outline"], w["sink"], w["hob"], w["tap"], w["cabinet"], w["wall"], w["finish"]))
            if role == "splash":
                s.poly(rect(0, 1200, 3000, 1300), word)
                t.outlines.append(shape(rect(0, 1200, 3000, 1300)))
            figures = language_figures if role != "splash" else None
            if role == "seam":
                s.line((1350, 0), (1350, 640), word)
                t.outlines = [shape(rect(0, 0, 1350, 640)), shape(rect(1350, 0, 3000, 640))]
                figures = None
            out.append(Case(f"{role}-{k:02d}", s, "ready", t, figures=figures, why=f"{role} on layer {word}"))
    return out, None


# ------------------------------------------- words put together at random

PLACES = ["WINDOW", "SHOWER", "BATH", "TUB DECK", "FIREPLACE", "HEARTH", "BAR", "PONY WALL", "HALF WALL", "WALL", "UPPER", "RAISED", "CABINET", "PANTRY", "LAUNDRY", "DESK", "ISLAND",
          "FRONT", "LEFT", "SINK", "COOKTOP", "BASE", "KNEE WALL", "DOOR", "RANGE", "DISHWASHER", "HOOD", "LOWER", "NICHE", "SUPPORT", "CORNER"]
SLABS = ["TOP", "COUNTER", "LEDGE", "CAP", "SILL", "PANEL", "SLAB", "STONE", "SURROUND", "SHELF", "DECK", "CURB", "THRESHOLD", "WATERFALL", "RISER", "TREAD", "LEG PANEL", "WORKTOP", "COUNTERTOP", "PIECE"]
HANGING = ["UPPER", "WALL", "WALL HUNG", "OVERHEAD", "HANGING", "REMOVED", "DEMO", "DEMOLISHED", "FUTURE", "NO", "WITHOUT", "ABOVE", "HIGH"]
CARRIERS = ["CABINET", "CABINETS", "UNIT", "UNITS", "CUPBOARD", "CUPBOARDS", "CABINETRY"]
PARTS = ["CABINET DOOR", "CABINET DOORS", "CABINET HANDLES", "CABINET LIGHTS", "CABINET TEXT", "CABINET DIMENSIONS", "CABINET HARDWARE", "CABINET SHADE", "CABINET DRAWER", "SUPPORT NOTES", "BRACKET TEXT", "CABINET NUMBERS"]
NEGATIONS = ["NO", "NOT", "NON", "UN", "WITHOUT", "DO NOT", "DONT", "DON'T", "NEVER", "NOT TO BE", "NO NEED TO"]
POLISH = ["POLISH", "POLISHED", "FINISH", "FINISHED"]


def put_together(seed):
    rng = random.Random(f"w{seed}")
    out = []
    join = lambda *w: rng.choice([" ", "_", "-", " "]).join(w)
    seen = set()

    def fresh(make):
        while True:
            name = make()
            if name.upper() not in seen:
                seen.add(name.upper())
                return rng.choice([name, name.title(), name.lower()])

    for k in range(50):
        name = fresh(lambda: join(rng.choice(PLACES), rng.choice(SLABS)) + rng.choice(["", "", " 2", "_01"]))
        s, t = counter(2400, 640)
        extra = rect(0, 1500, rng.randint(700, 1400), 1500 + rng.randint(300, 500))
        s.poly(extra, name)
        out.append(Case(f"slab-{k:02d}", s, "honest", Truth(t.outlines + [shape(extra)]), why=f"a slab on layer {name}"))
    for k in range(20):  # the same words under the top: nothing of stone, nothing that surely carries
        name = fresh(lambda: join(rng.choice(HANGING), rng.choice(CARRIERS)) if rng.random() < 0.6 else rng.choice(PARTS) + rng.choice(["", " 1", "_02"]))
        s, t = counter(2600, 640, cabinet=False)
        s.poly(rect(0, 30, 1000, 640), "CABINET").poly(rect(1000, 30, 2600, 640), name)
        out.append(Case(f"carrier-{k:02d}", s, "stop", None, why=f"1600 mm of top over layer {name} only"))
    for k in range(20):
        neg, pol = rng.choice(NEGATIONS), rng.choice(POLISH)
        name = fresh(lambda: rng.choice([join(rng.choice(NEGATIONS), rng.choice(POLISH)), join("EDGE", rng.choice(NEGATIONS), rng.choice(POLISH)), join(rng.choice(POLISH), rng.choice(["NO", "NONE", "NOT"]))]))
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] != "WALL"]
        s.line((0, 640), (2400, 640), name)
        out.append(Case(f"raw-{k:02d}", s, "honest", t, figures=back_unfinished, why=f"back edge on layer {name}"))
    return out, None


# ---------------------------------------------- the shop's word is law

LAW = """[pieces.roles]
outline = ["*ledge*", "*outline*", "plan*", "window*"]
ignore = ["*old*", "wall cabinet*", "note*"]
support = ["*hood*", "cabinet*"]
cutout = ["*top", "sink*", "rand*"]
finished = ["no polish", "kante*"]
"""


def law(seed):
    """The shop's own patterns hold, whatever the built-in words say of the name."""
    out = []

    def add(name, s, expect, t, why, figures=None, **more):
        out.append(Case(name, s, expect, t, why=why, figures=figures, silent=["layer-doubtful", "roles-guessed"], **more))

    for k, lay in enumerate(["WINDOW LEDGE", "SHOWER LEDGE", "PLAN", "WINDOW SEAT", "WALL LEDGE"]):
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] not in ("FINISHED", "WALL")]
        s.poly(rect(0, 1500, 1500, 2000), lay)
        s.poly(rect(0, 1530, 1500, 2000), "CABINET")  # a top that nothing carries beside one that is carried is asked about
        add(f"outline-{k}", s, "ready", Truth(t.outlines + [shape(rect(0, 1500, 1500, 2000))]), f"the shop says *ledge*, plan*, window* are outlines: {lay}")
    for k, lay in enumerate(["SINK OLD", "OLD COUNTER", "OLD OUTLINE"]):
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] not in ("FINISHED", "WALL")]
        s.poly(rounded(900, 100, 1400, 500, 20), lay)
        add(f"ignore-{k}", s, "honest", None, f"the shop says *old* is ignored: {lay}")
    for k, lay in enumerate(["RANGE HOOD", "HOOD CABINET"]):
        s, t = counter(2400, 640, cabinet=False)
        s.items = [i for i in s.items if i[1] not in ("FINISHED", "WALL")]
        s.poly(rect(0, 30, 2400, 640), lay)
        add(f"support-{k}", s, "ready", t, f"the shop says *hood* carries: {lay}")
    for k, lay in enumerate(["COUNTER TOP", "RAND 7", "SINK"]):
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] not in ("FINISHED", "WALL")]
        loop = rounded(900, 100, 1400, 500, 20)
        s.poly(loop, lay)
        add(f"cutout-{k}", s, "ready", Truth(t.outlines, [shape(loop)]), f"the shop says *top, rand*, sink* are cutouts: {lay}")
    for k, lay in enumerate(["NO POLISH", "KANTE FERTIG"]):
        s, t = counter(2400, 640)
        s.items = [i for i in s.items if i[1] not in ("FINISHED", "WALL")]
        s.line((0, 0), (2400, 0), lay)
        add(f"finished-{k}", s, "ready", t, f"the shop says this is finished: {lay}", figures=one_finished)
    return out, None


def one_finished(result):
    got = [e["finish"] for p in result["pieces"] for e in p["edges"]]
    return [] if got.count("finished") == 1 else [f"edges read as {got}"]


SETTINGS = {"law": LAW}
CATEGORIES = {"words": put_together, "law": law, "names": names, "variants": variants, "single": single, "units": units}
