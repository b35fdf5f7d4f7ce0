package piece

// sense is what a word in a layer's name speaks of. Names are phrases: of
// "SINK CABINET" the last word says what the layer holds, of "COUNTER NOTES" the
// notes win wherever they stand. The senses keep apart what such rules need.
type sense uint8

const (
	unknownWord   sense = iota
	neutralWord         // says where or of what: kitchen, left, stone
	edgeWord            // an edge or a line of something
	formWord            // the shape of something; alone, of a top
	placeWord           // a top, or where another thing belongs: island, vanity
	productWord         // a top or another piece of stone that is no splash
	splashWord          // a backsplash
	sinkWord            // a cutout for a sink
	cooktopWord         // a cutout for a cooktop
	holeWord            // any other opening through stone that has a name of its own
	cutWord             // an opening through stone without saying for what
	openingWord         // an opening without saying in what
	applianceWord       // what stands under tops and does not carry
	rangeWord           // what stands between tops, or in a notch of one
	seamWord            // where pieces meet
	supportWord         // what carries
	bearerWord          // what is there only to carry: a bracket under anything is one
	slabWord            // may be a piece of stone or something else: shelf, tread, curb
	panelWord           // carries, or is a piece of stone: panel, ledge
	finishedWord        // an edge to polish
	frontWord           // the front of something; alone, an edge to polish
	bareWord            // an edge that is not polished
	wallWord            // a wall
	draftingWord        // notes, dimensions, frames
	labelWord           // notes that may hold the names of pieces
	overheadWord        // what hangs over the top or stands in the room: wall unit, hood, door
	windowWord          // where something belongs; alone, a part of the room
	upperWord           // above something; alone, what hangs there
	unsupportWord       // without support
	negationWord        // no, not, without
	absentWord          // there already, made by others or of something else than stone, kept from before, one of two, or the rim of what a cutout is for
)

// wordList is a list of words and phrases of one sense, separated by commas. A
// phrase of two words is also met written as one.
type wordList struct {
	sense sense
	words string
}

// vocabulary are the words of the trade in layer names, in the languages in which
// they are unambiguous. Common practice, no source. Words with umlauts are met with
// and without them, and with ae, oe, ue.
var vocabulary = [...]struct {
	language  string
	headFirst bool // the first noun of a phrase says what it is: découpe évier
	lists     []wordList
}{
	{"English", false, englishWords}, {"German", false, germanWords}, {"Dutch", false, dutchWords},
	{"French", true, frenchWords}, {"Spanish", true, spanishWords}, {"Italian", true, italianWords}, {"Portuguese", true, portugueseWords},
}

var englishWords = []wordList{
	{neutralWord, "kitchen, bath, bathroom, master, main, left, right, back, rear, side, new, lower, large, small, double, single, bar, breakfast, powder, guest, laundry, utility, hall, room, butler, pantry, " +
		"office, desk, prep, farm, apron, farmhouse, undermount, under mount, topmount, top mount, drop in, stone, soap stone, granite, quartz, quartzite, marble, porcelain, ceramic, bullnose, eased, layer, mm, cm, in, inch, of, for, at, to, with, and, the, cook, center, centre, all, inside, outside, l, u, real"},
	{edgeWord, "edge, line, side line, end, nose"},
	{formWord, "outline, perimeter, contour, boundary, shape, template, piece"},
	{placeWord, "island, peninsula, vanity"},
	{productWord, "counter, counter top, work top, work surface, bench top, bar top, table top, vanity top, island top, top, breakfast bar, waterfall, wall cap, half wall cap, pony wall cap, knee wall cap, ledge cap, cap, sill, window sill, threshold, hearth"},
	{splashWord, "splash, back splash, side splash, end splash, upstand, up stand"},
	{sinkWord, "sink, basin, bowl, lavatory, wash basin"},
	{cooktopWord, "cook top, stove top, range top, hob"},
	{holeWord, "hole, tap hole, faucet hole, tap, faucet, mixer, outlet, socket, pop up, down draft, grommet, chute, soap, soap dispenser, air switch, air gap"},
	{cutWord, "cut out, void"},
	{openingWord, "opening"},
	{applianceWord, "dish washer, dw, knee, knee space, knee hole, fridge, refrigerator, washer, dryer, washing machine"},
	{rangeWord, "range, appliance, stove, oven"},
	{seamWord, "seam, joint, join"},
	{supportWord, "cabinet, cabinetry, carcass, carcase, base, base unit, base cabinet, base cab, cab, leg, pony wall, half wall, knee wall, stub wall, support wall, carrying wall, bearing wall, wall ledge"},
	{bearerWord, "support, cleat, bracket, corbel, ledger, flat bar"},
	{panelWord, "panel, end panel, ledge"},
	{finishedWord, "finish, finished, polish, polished, polishing, exposed edge"},
	{frontWord, "front"},
	{bareWord, "unfinished, unpolished, unfinish, unpolish, un finished, un polished, un finish, un polish, raw edge, rough edge, nonpolished, nonfinished"},
	{wallWord, "wall"},
	{draftingWord, "ignore, dim, dimension, measure, measurement, title, title block, border, defpoints, construction, viewport, top view, plan view, legend, revision, rev cloud, leader, symbol, north arrow, schedule, logo, centerline, " +
		"center line, centre line, guide line, guide"},
	{labelWord, "note, text, txt, anno, annotation, label, tag, number, numbering, nr"},
	{overheadWord, "hood, range hood, wall cabinet, wall cabinetry, wall unit, wall cab, high cabinet, high cabinetry, high unit, upper cabinetry, hanging cabinetry, upper cabinet, upper unit, upper cab, overhead, overhead cabinet, hanging cabinet, tall cabinet, tall unit, door, doorway, door swing, drawer, swing, lights, lighting, cabinet light, led, lamp, shade, handle, knob, hinge, hardware, finished floor, finish floor"},
	{windowWord, "window"},
	{upperWord, "upper, above, hung, wall hung, wall mounted"},
	{slabWord, "shelf, shelve, tread, riser, curb, kerb, surround, step, stair, mantel, slab, deck"},
	{unsupportWord, "unsupported, nonsupport"},
	{negationWord, "no, not, non, without, never, none, dont, don t, future, demo, demolished, demolition, omit, omitted, delete, deleted, removed, exclude, excluded"},
	{absentWord, "existing, exist, by others, by other, reference, ref, old, backup, back up, copy, superseded, obsolete, previous, draft, option, alternate, alternative, wood, timber, butcher block, laminate, plywood, ply, substrate, sub top, sub deck, steel, stainless, glass, rim, flange"},
}

var germanWords = []wordList{
	{neutralWord, "küche, küchen, bad, links, rechts, vorne, hinten, naturstein, anschluss, mit, für, und, der, die, das"},
	{edgeWord, "kante, linie, rand"},
	{formWord, "kontur, umriss, aussenkontur, außenkontur, werkstück"},
	{placeWord, "insel, kücheninsel"},
	{productWord, "arbeitsplatte, arbeits platte, küchenplatte, tischplatte, platte, abdeckung, waschtischplatte, theke, thekenplatte, fensterbank, fensterbänke, fensterbrett, fenstersims, sohlbank"},
	{slabWord, "regal, ablage, stufe, sims"},
	{splashWord, "rückwand, nischenrückwand, rückwände, wischleiste, aufkantung, spritzschutz"},
	{sinkWord, "spüle, spülbecken, becken, waschbecken, spülenausschnitt"},
	{cooktopWord, "kochfeld, kochfelder, kochmulde, ceranfeld, induktionsfeld, kochplatte, herdplatte, glaskeramikkochfeld, gaskochfeld, induktion, induktionskochfeld, kochstelle, herdausschnitt"},
	{holeWord, "loch, löcher, bohrung, hahnloch, hahnlöcher, hahnlochbohrung, armatur, steckdose, seifenspender"},
	{cutWord, "ausschnitt, aussparung"},
	{openingWord, "öffnung"},
	{applianceWord, "geschirrspüler, spülmaschine, kniefreiraum, kühlschrank, waschmaschine, trockner"},
	{rangeWord, "herd, backofen"},
	{seamWord, "fuge, stoßfuge, plattenfuge, naht"},
	{supportWord, "unterschrank, unterschränke, unterbau, schrank, schränke, korpus, stützwand, bein"},
	{bearerWord, "auflage, konsole, stütze, unterkonstruktion, träger, tragleiste"},
	{finishedWord, "poliert, politur, polieren, polierkante, sichtkante, sichtseite, fertigkante"},
	{bareWord, "unpoliert, rohkante, unbearbeitet"},
	{wallWord, "wand, wände, mauer"},
	{draftingWord, "maß, maße, masse, maßlinie, bemaßung, bemassung, hilfslinie, titel, rahmen, schriftfeld, schriftkopf, legende, mittellinie, achse"},
	{labelWord, "notiz, beschriftung, hinweis, anmerkung"},
	{overheadWord, "oberschrank, oberschränke, hängeschrank, hängeschränke, hochschrank, hochschränke, dunstabzug, dunstabzugshaube, dunsthaube, tür, türen"},
	{windowWord, "fenster"},
	{negationWord, "ohne, nicht, kein, keine, entfällt"},
	{absentWord, "bestand, bauseits, alt, alte, kopie, entwurf, variante, holz, sperrholz, schichtstoff, edelstahl, flansch"},
}

var dutchWords = []wordList{
	{neutralWord, "keuken, badkamer, links, rechts, voor, met, en, van"},
	{edgeWord, "kant, lijn, rand"},
	{formWord, "omtrek, contour"},
	{placeWord, "eiland, kookeiland, keukeneiland, schiereiland"},
	{productWord, "werkblad, werkbladen, aanrechtblad, aanrecht, keukenblad, vensterbank, raamdorpel"},
	{slabWord, "plank, trede, dorpel"},
	{splashWord, "achterwand, spatwand, spatscherm, opstand"},
	{sinkWord, "spoelbak, gootsteen, wasbak, spoelbakken"},
	{cooktopWord, "kookplaat, kookplaten, inductieplaat, inductiekookplaat, gaskookplaat, kooktoestel, inductie"},
	{holeWord, "gat, gaten, boorgat, boorgaten, kraangat, kraan, stopcontact, zeeppomp"},
	{cutWord, "uitsparing, uitsnede"},
	{applianceWord, "vaatwasser, afwasmachine, koelkast, wasmachine"},
	{rangeWord, "fornuis"},
	{seamWord, "naad, naden, voeg, voegen"},
	{supportWord, "onderkast, onderkasten, kast, kasten, poot, poten"},
	{bearerWord, "steun, ondersteuning, beugel, draagbalk"},
	{finishedWord, "gepolijst, polijsten, zichtkant, zichtzijde, afgewerkt"},
	{bareWord, "ongepolijst, onafgewerkt"},
	{wallWord, "muur, muren, wanden"},
	{draftingWord, "maat, maten, maatvoering, maatlijn, kader, hartlijn, hulplijn, hulplijnen"},
	{labelWord, "tekst, teksten, notitie, opmerking"},
	{overheadWord, "bovenkast, bovenkasten, hangkast, hangkasten, afzuigkap, deur, deuren"},
	{windowWord, "raam"},
	{negationWord, "zonder, geen, niet"},
	{absentWord, "bestaand, bestaande, oud, oude, optie, hout, multiplex"},
}

var frenchWords = []wordList{
	{neutralWord, "cuisine, salle de bain, gauche, droite, avant, arrière, pour, avec, de, du, des, la, le, les, sous, pierre"},
	{edgeWord, "chant, bord, arête, ligne"},
	{formWord, "contour, périmètre, gabarit"},
	{placeWord, "îlot, presqu île"},
	{productWord, "plan de travail, plan travail, plans de travail, plan vasque, comptoir, dessus, appui de fenêtre, rebord de fenêtre, tablette de fenêtre, table de bar"},
	{slabWord, "étagère, tablette, rebord, marche"},
	{splashWord, "crédence, dosseret"},
	{sinkWord, "évier, vasque, lavabo, cuve, bac, timbre"},
	{cooktopWord, "découpe plaque, découpes plaque, découpe plaques, trou plaque, emplacement plaque, plaque de cuisson, plaque cuisson, plaque induction, plaque à induction, plaque gaz, plaque vitrocéramique, vitrocéramique, plaques de cuisson, table de cuisson, tables de cuisson"},
	{holeWord, "trou, percement, perçage, robinet, mitigeur, prise"},
	{cutWord, "découpe, découpes, découpage, évidement, réservation"},
	{openingWord, "ouverture"},
	{applianceWord, "lave vaisselle, lave linge, réfrigérateur, frigo"},
	{rangeWord, "cuisinière"},
	{seamWord, "jonction, raccordement"},
	{supportWord, "meuble, meubles, meuble bas, meubles bas, caisson, pied, piètement"},
	{bearerWord, "équerre, tasseau, renfort, appui"},
	{finishedWord, "poli, polie, polis, polir, finition, chant poli, chants polis"},
	{bareWord, "chant brut, bord brut, brut"},
	{wallWord, "mur"},
	{draftingWord, "cote, cotation, cartouche, cadre, légende, axe"},
	{labelWord, "texte, remarque"},
	{overheadWord, "meuble haut, meubles hauts, hotte, porte"},
	{windowWord, "fenêtre"},
	{negationWord, "sans, pas"},
	{absentWord, "existant, existante, ancien, ancienne, bois, stratifié, contreplaqué, inox"},
}

var spanishWords = []wordList{
	{neutralWord, "cocina, baño, izquierda, derecha, del, para, con, piedra"},
	{edgeWord, "canto, borde, línea"},
	{formWord, "contorno, perímetro, plantilla"},
	{placeWord, "isla, península"},
	{productWord, "encimera, mesón, cubierta, mostrador, alféizar, vierteaguas"},
	{slabWord, "repisa, estante, peldaño"},
	{splashWord, "salpicadero, copete"},
	{sinkWord, "fregadero, lavamanos, lavabo, bacha, pileta, poza"},
	{cooktopWord, "placa de cocción, placa cocción, placa de cocina, placa cocina, placa de inducción, placa inducción, placa de gas, encimera de gas, placa vitrocerámica, cocina encimera, vitrocerámica, vitro, anafe"},
	{holeWord, "agujero, orificio, barreno, grifería, monomando, taladro, perforación, grifo, enchufe"},
	{cutWord, "recorte, hueco, calado"},
	{openingWord, "abertura, apertura"},
	{applianceWord, "lavavajillas, lavadora, nevera, frigorífico"},
	{rangeWord, "horno"},
	{seamWord, "junta, unión"},
	{supportWord, "mueble bajo, mueble, gabinete, pata"},
	{bearerWord, "soporte, apoyo, ménsula, escuadra"},
	{finishedWord, "pulido, pulida, pulir, canto pulido, acabado, canto visto"},
	{wallWord, "pared, muro"},
	{draftingWord, "cota, acotación, leyenda, marco, cajetín, eje"},
	{labelWord, "texto, nota"},
	{overheadWord, "mueble alto, muebles altos, campana, puerta, alacena"},
	{windowWord, "ventana"},
	{negationWord, "sin"},
	{absentWord, "existente, viejo, vieja, antiguo, antigua, copia, opción, madera, inoxidable"},
}

var italianWords = []wordList{
	{neutralWord, "cucina, bagno, sinistra, destra, di, da, per, con, pietra"},
	{edgeWord, "bordo, costa"},
	{formWord, "perimetro, sagoma"},
	{placeWord, "isola, penisola"},
	{productWord, "piano, piano di lavoro, piano lavoro, piano cucina, piano bagno, piani, davanzale, bancone"},
	{slabWord, "mensola, ripiano, gradino"},
	{splashWord, "alzatina, alzatine, alzata, schienale, paraschizzi"},
	{sinkWord, "lavello, lavelli, lavandino, lavabo, vasca"},
	{cooktopWord, "piano cottura, piani cottura, piano a induzione, piano induzione"},
	{holeWord, "foro, fori, miscelatore, rubinetto, presa"},
	{cutWord, "scasso, ritaglio, intaglio, traforo"},
	{applianceWord, "lavastoviglie, lavatrice"},
	{rangeWord, "forno"},
	{seamWord, "giunto, giunti, giunzione, giunzioni, giunta, fuga"},
	{supportWord, "mobili, basi, gamba, gambe"},
	{bearerWord, "supporto, supporti, staffa, staffe, sostegno"},
	{finishedWord, "lucido, lucida, lucidato, lucidatura, finito, finitura, bordo finito"},
	{bareWord, "grezzo, grezza"},
	{wallWord, "muri, parete, pareti"},
	{draftingWord, "quota, quote, cartiglio, squadratura, asse, assi, legenda"},
	{labelWord, "testo, testi"},
	{overheadWord, "pensile, pensili, cappa, porta, anta"},
	{windowWord, "finestra"},
	{negationWord, "senza"},
	{absentWord, "esistente, vecchio, vecchia, opzione, legno, compensato"},
}

var portugueseWords = []wordList{
	{neutralWord, "cozinha, banheiro, esquerda, direita, do, da, para, com, pedra"},
	{edgeWord, "borda, linha"},
	{formWord, "gabarito"},
	{placeWord, "ilha"},
	{productWord, "bancada, tampo, balcão, soleira, peitoril"},
	{slabWord, "prateleira, degrau"},
	{splashWord, "frontão, rodabanca, roda bancada, rodopia, respingadeira"},
	{sinkWord, "cuba, pia, lavatório"},
	{cooktopWord, "placa de cozedura, placa de cozinha, placa cozinha, placa de indução, placa vitrocerâmica, placa a gás, cooktop, fogão de mesa"},
	{cutWord, "recorte, rasgo"},
	{holeWord, "furo, torneira, tomada, misturadora"},
	{openingWord, "vão"},
	{applianceWord, "máquina de lavar, máquina de lavar louça, geladeira"},
	{rangeWord, "fogão"},
	{seamWord, "emenda"},
	{supportWord, "armário, armário inferior, móvel, móveis, perna"},
	{bearerWord, "suporte, apoio, mão francesa"},
	{finishedWord, "polido, polida, polimento, acabamento, borda polida"},
	{bareWord, "bruto"},
	{wallWord, "parede"},
	{draftingWord, "carimbo, eixo"},
	{overheadWord, "armário superior, armário alto, exaustor, coifa, janela"},
	{negationWord, "sem, não"},
	{absentWord, "existente, velho, velha, antigo, antiga, cópia, opção, madeira"},
}
