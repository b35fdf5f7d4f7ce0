package piece

import (
	"fmt"
	"strings"
	"testing"
)

// layerNames are names of layers by what they say: a role, none, or in brackets the
// roles in question. Names are separated by commas. Common practice, no source.
const layerNames = `
outline: COUNTER, COUNTERS, Countertop, COUNTER TOP, COUNTER-TOP, CounterTop, counter_top_1, COUNTERTOP2, COUNTERTOPS, OUTLINE, OUTLINES, TOP, TOPS, TOP-1, TOP1, bar top, BARTOP, ISLAND, KITCHEN ISLAND, ISLAND 2, KITCHEN_TOP,
 VANITY, VANITY TOP, VanityTop, PIECE-NAME, PIECES, STONE OUTLINE, WORKTOP, WORK TOP, Worktops, BENCHTOP, BENCH-TOP, TEMPLATE, PERIMETER, PENINSULA, COUNTER OUTLINE, ISLAND OUTLINE, ISLAND TOP, ISLAND_COUNTER, SOAPSTONE TOP,
 COUNTER SOAPSTONE, COUNTER NO 2, TOP NO. 1, UPPER COUNTER, UPPER COUNTERTOP, UPPER TOP, UPPER BAR TOP, LOWER COUNTER, WATERFALL, WATERFALL PANEL, WATERFALL PANELS, WATERFALL-END, WATERFALL LEG PANEL?, HALF WALL CAP, PONY WALL CAP, WALL CAP,
 CAP, WINDOW SILL, WINDOWSILL, THRESHOLD, kitchen$0$COUNTER, site|COUNTER, Breakfast Bar, TOP EDGE, COUNTER EDGE, QUARTZ COUNTER, COUNTER 30MM, TABLE TOP, BATH COUNTER, MASTER BATH VANITY, McCounter?, COUNTERtop
splash: SPLASH, BACKSPLASH, BACK SPLASH, Back-Splash, BackSplash, BACKSPLASHES, SPLASH OUTLINE, WALL SPLASH, UPSTAND, UPSTANDS, SPLASH PANEL, SPLASH PANELS, BACKSPLASH PANEL, SIDE SPLASH, SINK BACKSPLASH, COOKTOP SPLASH, RANGE SPLASH,
 COUNTER SPLASH, ISLAND SPLASH, WINDOW SPLASH, SPLASH PIECE, SPLASH1, FULL SPLASH?
cutout: SINK, SINKS, SINK1, Sink_2, KITCHEN SINK, SINK_CUTOUT, SINK CUT-OUT, SinkCutout, SINKCUTOUT, SINKCUTOUTS, SINK OUTLINE, COUNTER SINK, COUNTERTOP SINK, ISLAND SINK, SINK ISLAND, COOKTOP, COOK TOP, COOK-TOP, CookTop, COOKTOPS,
 ISLAND COOKTOP, STOVETOP, STOVE TOP, RANGETOP, RANGE TOP, TAP HOLES, TAP_HOLE, TAPS, TAP, FAUCET, FAUCETS, FAUCET HOLE, BASIN, BASINS, BOWL, CUT-OUT, CUTOUT, CUTOUTS, CUT OUTS, CUTOUT-SINK, CUTOUT-HOLE, CUTOUT-COOKTOP, HOB, HOBS, HOB CUTOUT,
 SINK OPENING, POP-UP OUTLET, POPUP_OUTLET, ISLAND POP UP, POPUPS, DOWNDRAFT, DOWN-DRAFT VENT, GROMMETS, DESK GROMMET, TRASH CHUTE, TRASH-CHUTE, SOAP, SOAP DISPENSER, COUNTER SOAP, AIR SWITCH, AIRSWITCH, AIR_GAP, DW AIR GAP, SPLASH CUTOUT,
 SINK-POLISHED, POLISHED SINK, RANGE CUTOUT, APPLIANCE CUTOUT, SPLASH OUTLET, OUTLET, OUTLETS, OUTLET SPLASH, SOCKET, WALL OUTLET, UNDERMOUNT SINK, TOPMOUNT SINK, TOP MOUNT SINK, SINK TOPMOUNT, FARM SINK, APRON SINK, HOLES, HOLE_35, COUNTER HOLES,
 VANITY SINK, VANITY BOWL, PREP SINK, LAVATORY, SINK HOLE, SINK TEMPLATE, KNEE SPACE OUTLET
seam: SEAM, SEAMS, SEAM_1, COUNTER SEAM, ISLAND SEAM, SEAM ISLAND, SEAM COUNTER, JOINT, JOINTS, SPLASH SEAM, SEAM LINE, WALL SEAM, SINK SEAM, WATERFALL SEAM
support: SUPPORT, SUPPORTS, Cleats, WALL CLEAT, CABINET, CABINETS, CABINETRY, BASE CABINETS, BASE, BASES, BASE UNITS, SINK CABINET, SINK BASE, SinkBase, COOKTOP CABINET, WALL LEDGE, LEDGER, KNEE WALL, PONY_WALL, HALF WALL, LEGS, LEG, BRACKET,
 BRACKETS, STEEL BRACKET, CORBEL, CORBELS, CARCASS, TRASH CABINET, ISLAND CABINET, ISLAND BASE, ISLAND LEGS, VANITY CABINET, VANITY BASE, COUNTER SUPPORT, COUNTERTOP BRACKETS, TOP SUPPORT, SEAM SUPPORT, WALL BRACKET, SUPPORT WALL, SHELF BRACKET, SHELF SUPPORT, CABINET OUTLINE,
 SUPPORT OUTLINE, CABINET FRONT, PANEL, END PANEL, LEDGE, DISHWASHER SUPPORT, RANGE BRACKET, KNEE SPACE BRACKET, CABINETS-LOWER, LOWER CABINET, SPLASH SUPPORT, EXISTING CABINETS, CAB, CABS, UNFINISHED CABINET
opening: DISHWASHER, DISHWASHERS, DISH WASHER, DW, DW1, DW 2, OPENING, OPENINGS, KNEE-SPACE, KNEESPACE, KNEE SPACE, KNEE HOLE, CABINET OPENING, SUPPORT OPENING, RANGE, RANGES, DISHWASHER CUTOUT, DISHWASHER OPENING, RANGE OPENING, DWOpening, ISLAND DW,
 APPLIANCE, APPLIANCES, DISHWASHER OUTLINE, FRIDGE, STOVE, OVEN
finished: FINISHED, FINISHED EDGE, FINISHED EDGES, FinishedEdge, FINISH, POLISH, POLISHED, POLISHED EDGE, POLISH-EASED, COUNTER FINISHED EDGE, COUNTER POLISH, SPLASH FINISHED, FRONT EDGE, FRONT, FINISHED END, EXPOSED EDGE, FINISHED FRONT, TOP POLISH, ISLAND FINISH
wall: WALL, WALLS, WALL LINE, COUNTER WALL EDGE, COUNTER WALL, WALL OPENING, BACK WALL, WALL EDGE, WALL1, UNFINISHED WALL EDGE
ignore: NOTES, NOTE, COUNTER NOTES, SINK NOTES, DIMENSIONS, DIM, DIMS, SINK DIM, DIM LINES, DEFPOINTS, WALL CABINETS, WALL CABINET, WALL UNITS, WALL UNIT, WALLUNITS, UPPER CABINETS, UPPERS, UPPER, UNFINISHED EDGE, UNFINISHED, UNPOLISHED, UNPOLISHED EDGE,
 CABINETS UPPER, ABOVE-CABINETS, WALL-CABINETRY, HIGH_CABINETS, HANGING_CABINETRY, un polish, un_finish, CABINET NUMBERS_02, PIECE NUMBERS, CABINET LIGHTING, CABINET LIGHTS, CABINET HANDLES, Cabinet Shade 1, wall hung cabinet, CABINET DIMENSIONS, POLISH NONE, FINISH NO, Finished No, polished_no, DONT POLISH, DON'T POLISH, UN-FINISHED, Un_Finished, FINISHED FLOOR,
 NO POLISH, NOT POLISHED, NOT FINISHED, NOT-FINISHED, NO_FINISH, NON-POLISHED, NON POLISHED EDGE, NoPolish, NOT POLISHED EDGE, EDGE NOT POLISHED, POLISH NO, WITHOUT POLISH, RAW EDGE, COUNTER UNFINISHED EDGE, RANGE HOOD, HOOD, TEXT, TOP TEXT, TITLE, TITLE BLOCK,
 BORDER, CONSTRUCTION, LABELS, VIEWPORT, TOP VIEW, ANNOTATION, DOORS, DOOR, CABINET DOORS, CABINET DOOR, DOOR SWING, DOOR SWINGS, TALL UNITS, HANGING CABINET, FLAG-narrow-section, ignore me, WINDOW, WINDOWS, SINK CENTERLINE, TOP DIMENSIONS, DOOR OPENING
none: 0, LASER 3, TAPE, BASEBOARD, STOPPER, LAPTOP, ENCOUNTER, DESKTOP PUBLISHING?, SINKHOLM, TOPAZ, TOPOGRAPHY, BASEMENT, WALLPAPER, RANGER, HOBBY, TAPER, LEGEND-ARY?, ABOUT, STEEL, CAPITAL, NOTEBOOK, POLISHER?, JOINTER?, SOAPBOX, WHOLE, Layer1, LINES, EDGE, KITCHEN, FLOOR, PROFILE, MISC, PLYWOOD,
 SEAMLESS, BASED, THUMB, COUNTY, FINISHING?, BRACKEN, LEGAL, DWELLING, HOLIDAY, STAPLE, SPLASHED?, UNWALLED, INTERSECTION, BOWLING, SHELF, SHELVES, TREAD, RISER 2, CURB, SURROUND, étagère, mensola, repisa, 123, A-B, MODEL
[outline support]: WINDOW LEDGE, WINDOW PANEL, ISLAND PANEL, CABINET TOP, BASE TOP, COUNTER PANEL, CABINET COUNTER, COUNTER LEDGE
[outline cutout]: SINK TOP, SINK COUNTER, CUTOUT COUNTER
[outline finished]: FRONT STONE, FINISHED TOP, POLISHED COUNTER, FRONT COUNTER, COUNTER FRONT, ISLAND FRONT, Front_Shelf
[outline wall]: WALL COUNTER, WALL RISER 2, WALL SHELF
[outline opening]: range-piece, RANGE_STONE 2, range tread, DISHWASHER SHELF
[outline ignore]: WINDOW-PIECE, hood_stone, STONE HOOD, window_deck_01, Hood-Ledge, door slab_01, EXISTING COUNTER, COUNTER BY OTHERS, NO COUNTER, COUNTER OLD, OLD_TOP, OUTLINE BACKUP, COUNTER-COPY, COUNTER OPTION 2, ALTERNATE TOP, WOOD TOP, LAMINATE COUNTER, COUNTER PLYWOOD, Butcher Block Top, UNFINISHED TOP, COUNTER DOOR
[splash ignore]: GLASS SPLASH, STEEL BACKSPLASH, NO SPLASH, NO BACKSPLASH, WITHOUT SPLASH
[cutout ignore]: SINK RIM, COOKTOP FLANGE, COOKTOP GLASS, SINK OLD, NO SINK, SINK BY OTHERS, HOOD CUTOUT, NO CUTOUT
[seam ignore]: NO SEAM
[support opening]: FUTURE CABINETS, DEMOLISHED CABINETRY, Demo Cabinets, NO SUPPORT, WITHOUT SUPPORT, DISHWASHER PANEL, DW CABINET
[splash wall]: SPLASH WALL
[cutout support]: CABINET SINK, BASE CUTOUT, SUPPORT HOLE
[cutout finished]: SINK FINISHED EDGE, COOKTOP POLISHED EDGE
[finished wall]: FINISHED WALL, WALL FINISH
[support finished]: FINISHED PANEL

outline: Arbeitsplatte, ARBEITSPLATTEN, Arbeitsplatte 2, Küchenplatte, KUECHENPLATTE, Kontur, Umriss, Aussenkontur, Insel, Kücheninsel, Arbeitsplattenkontur, Abdeckung, Fensterbank, Tischplatte, Fensterbrett, rebord de fenêtre, REBORD DE FENETRE, tablette de fenêtre
cutout: Spüle, SPUELE, Spuele, SPULE, Spülbecken, SPUELBECKEN, Spülenausschnitt, Induktionskochfeld, Kochstelle, Ausschnitt, AUSSCHNITTE, Ausschnitt Spüle, Kochfeld, KOCHFELDAUSSCHNITT, Kochfeld-Ausschnitt, Waschbecken, Bohrung, Bohrungen, Hahnloch, Hahnlöcher, Aussparung, Steckdose, Becken
seam: Fuge, Fugen, Stoßfuge, STOSSFUGE
support: Unterschrank, Unterschränke, UNTERSCHRAENKE, Unterbau, Auflage, Konsole, Konsolen, Stütze, STUETZEN, Spülenunterschrank, Träger
opening: Geschirrspüler, GESCHIRRSPUELER, Spülmaschine, Herd
finished: poliert, Kante poliert, Sichtkante, SICHTKANTEN, Politur
ignore: unpoliert, nicht poliert, Rohkante, Bemaßung, BEMASSUNG, Maße, Notizen, Beschriftung, Oberschrank, Oberschränke, HAENGESCHRAENKE, Dunstabzug, Rahmen, Hilfslinien, Türen, Fenster, ohne Politur
splash: Rückwand, RUECKWAND, Nischenrückwand, Aufkantung
wall: Wand, Wände, WAENDE, Mauer
[splash ignore]: ohne Rückwand
[outline ignore]: Arbeitsplatte alt, ALTE PLATTE, Platte Kopie, Holz-Arbeitsplatte
[outline cutout]: Spüle Arbeitsplatte

outline: plan de travail, PLAN DE TRAVAIL 1, PLAN_TRAVAIL, Plans de travail, comptoir, îlot, ILOT, contour, Ilot central?
cutout: évier, EVIER, Éviers, découpe, DECOUPE, découpe évier, DECOUPES, plaque de cuisson, PLAQUE_DE_CUISSON, plaque cuisson, vasque, lavabo, robinet, trou, trous, percement, découpe plaque de cuisson, découpe plaque, DECOUPE PLAQUE, plaque induction, évidement
seam: joint, JOINTS, jonction, joint plan de travail
support: meuble bas, MEUBLES BAS, meuble évier, support plan de travail, caisson, équerre, EQUERRES
opening: lave-vaisselle, LAVE VAISSELLE, ouverture
finished: poli, chant poli, CHANTS POLIS, polie
ignore: non poli, chant brut, cotes, cotation, texte, cartouche, hotte, meubles hauts, meuble haut, porte, sans finition
splash: crédence, CREDENCE, CRÉDENCES, dosseret
wall: mur, murs, MURS
[outline cutout]: plan de travail évier

outline: encimera, ENCIMERAS, Encimera cocina, isla, contorno
cutout: fregadero, FREGADEROS, placa de cocina, PLACA INDUCCION, orificio grifería, placa de cocción, PLACA COCCION, vitrocerámica, recorte fregadero, grifo, lavabo, agujeros, hueco, hueco fregadero
seam: junta, JUNTAS, unión, UNIONES
support: mueble bajo, muebles bajos, soporte, SOPORTES, mueble fregadero, ménsula
opening: lavavajillas
finished: pulido, canto pulido, CANTOS PULIDOS, acabado
ignore: sin pulir, cotas, texto, campana, mueble alto, MUEBLES ALTOS, puertas
splash: salpicadero, copete
wall: pared, PAREDES, muro

outline: piano, PIANO DI LAVORO, piano lavoro, piano cucina, isola, penisola, sagoma
cutout: lavello, LAVELLI, piano induzione, intaglio lavello, piano cottura, PIANO-COTTURA, foro, fori, foro rubinetto, lavandino, scasso
seam: giunto, GIUNTI, giunzione
support: supporto, SUPPORTI, basi, staffa, STAFFE
opening: lavastoviglie
finished: lucido, lucidato, bordo finito, finitura
ignore: non lucidato, grezzo, quote, pensili, cappa, testo, senza finitura
splash: alzatina, ALZATINE, schienale
wall: muro, parete, PARETI

outline: bancada, BANCADAS, tampo, TAMPO 1, balcão, ilha
cutout: cuba, CUBAS, pia, lavatório, furo, FUROS, torneira, recorte, placa de cozedura, placa de cozinha, placa de indução, recorte placa cozinha
seam: emenda, junta
support: armário inferior, suporte, SUPORTES, móveis
opening: máquina de lavar louça, geladeira
finished: polido, borda polida, acabamento
ignore: sem polimento, não polido, cotas, armário superior, exaustor, coifa
splash: frontão, rodabanca
wall: parede, PAREDES

outline: werkblad, WERKBLADEN, aanrechtblad, keukenblad, eiland, kookeiland, omtrek
cutout: spoelbak, SPOELBAKKEN, gootsteen, wasbak, kookplaat, gaskookplaat, uitsparing, uitsparing spoelbak, kraangat, boorgaten
seam: naad, NADEN, voeg
support: onderkast, ONDERKASTEN, steun, beugel
opening: vaatwasser, afwasmachine, fornuis
finished: gepolijst, zichtkant, afgewerkt
ignore: ongepolijst, niet gepolijst, maatvoering, tekst, bovenkast, BOVENKASTEN, afzuigkap, deuren
splash: achterwand, spatwand
wall: muur, MUREN
`

// namesBy returns the names of the table with what each says. Names with a question
// mark behind are settled by nobody and left out.
func namesBy(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	says := ""
	for _, line := range strings.Split(layerNames, "\n") {
		names := line
		if !strings.HasPrefix(line, " ") {
			says, names, _ = strings.Cut(line, ": ")
		}
		for _, name := range strings.Split(names, ",") {
			if name = strings.TrimSpace(name); name == "" || strings.HasSuffix(name, "?") {
				continue
			}
			if before, twice := out[name]; twice && before != says {
				t.Errorf("%q stands in the table as %s and as %s", name, before, says)
			}
			out[name] = says
		}
	}
	return out
}

func TestLayerNames(t *testing.T) {
	roles := Default().Roles
	names := namesBy(t)
	if len(names) < 600 {
		t.Fatalf("only %d names", len(names))
	}
	for name, want := range names {
		forms := []string{name}
		if len(camel(name)) == 1 { // capital letters alone part the words of the others
			forms = append(forms, strings.ToUpper(name), strings.ReplaceAll(name, " ", "_"), strings.ReplaceAll(strings.ToLower(name), " ", "-"))
		}
		for _, form := range forms {
			r := roles.Read(form)
			got := string(r.Role)
			if got == "" {
				got = "none"
			}
			if r.Doubt != nil {
				got = fmt.Sprint(r.Doubt)
			}
			if got != want {
				t.Errorf("%q says %s by %q, want %s", form, got, r.By, want)
			}
		}
	}
}
