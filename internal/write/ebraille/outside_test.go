package ebraille_test

import (
	"bytes"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"continuo/internal/demo"
	"continuo/internal/ebrl"
	"continuo/internal/testkit"
	"continuo/internal/write/ebraille"
)

// everything is a book with all kinds, forms, parts and links.
func everything(tb testing.TB) *ebraille.Edition {
	tb.Helper()
	return written(tb, build(tb,
		"title/-/titlepage ,! ,p", "title/-/titlepage by ,ada", "rule/-/titlepage 333333",
		"heading@1/-/prelims ,preface", "para/-/prelims x", "para/tn/prelims ,tn3 y", "label/-/prelims ,two",
		"heading@1/-/contents ,3t5ts", "entry/-/contents <10=,! ,p> #a", "entry/-/contents:2-6 <15=,! ,weir> #b",
		`+heading@1 *apt] #a {"3#a}`, "heading@1 ,! ,p", "para a <40=99#a> b", `turn {"3#b}`, "~para c", "+para:0-0 d <40=99#a> see <15=page #b>",
		"heading@3 ,! ,weir", "line/verse:0-4 e", `turn {-----#c}`, "line/verse:2-6 f", "+line/verse g", "line h   i", "+line:2-4 j", "turn ------",
		"line/item k", "line/item:2-4 l", "line/item:4-6 m", `turn {"3#d}`, "line/item:2-4 n", "line/item o",
		"line/row day  high", "line/row 333  3333", `turn {"3#e}`, "line/row mon  #a", "line/row tue  #b",
		"+line/row p  q", "line/row r", "line/fixed #a  +  #b", `turn {"3#f}`, "line/fixed:3-0 333",
		"para/speech ,ann4 hi", "line/note 99#a <14=s>", "line/more t", "line/recipe #a egg", "line/exercise #a4 add {\"3#g} u", "rule \"9 \"9",
		"heading@2 ,glossary", "para/term ,ebb3 go+", `turn {"3#h}`, "para/term ,weir3 dam", "label v",
		"heading@1/-/notes ,notes", "label/-/notes *apt] #a", "para/note/notes #a w", "para/more/notes x", `turn/-/notes {"3#i}`, "para/note/notes #b y",
		"heading@1/-/back ,9dex", "line/term/back ,ebb #c", "line/term/back:2-4 ,spr+ <13=#d>", "line/term/back ,weir #e", "rule/-/back 333333",
	), metadata("The Pond"), ueb)
}

// publications are the editions that every checker must pass: all demo titles,
// a book with everything, and one of 600 pages.
func publications(tb testing.TB) map[string]*ebraille.Edition {
	out := map[string]*ebraille.Edition{"everything": everything(tb)}
	for _, d := range demo.Titles {
		res := demoBook(tb, d)
		out[d.Folder] = written(tb, res.Book, metadata(d.Name), options(res))
	}
	res := large(tb)
	out["large"] = written(tb, res.Book, metadata("Novels"), options(res))
	return out
}

// TestOwnChecker: the project's checker, which shares no code with the writer,
// finds nothing, not even against recommendations, packaged and unpackaged.
func TestOwnChecker(t *testing.T) {
	for name, ed := range publications(t) {
		pack, err := ed.Pack()
		if err != nil {
			t.Fatal(err)
		}
		rep, err := ebrl.Package(name+".ebrl", bytes.NewReader(pack), int64(len(pack)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range rep.Findings {
			t.Errorf("%s: %s %s: %s", name, f.Rule, f.Place(), f.Text)
		}
		dir := fstest.MapFS{}
		for _, f := range ed.Files {
			dir[f.Name] = &fstest.MapFile{Data: f.Data}
		}
		folder, err := ebrl.Folder(dir)
		if err != nil || len(folder.Findings) > 0 || folder.Pages != ed.Pages {
			t.Errorf("%s as a folder: %v %v", name, err, folder)
		}
		if rep.Pages != ed.Pages || rep.Documents != ed.Chapters || rep.Files != len(ed.Files) {
			t.Errorf("%s: the checker counts %d pages, %d documents, %d files; the writer %d, %d, %d", name,
				rep.Pages, rep.Documents, rep.Files, ed.Pages, ed.Chapters, len(ed.Files))
		}
	}
}

// TestHTMLValidate: html-validate (npm, rule set "standard") has nothing to say of
// any XHTML file; EPUBCheck alone sees some nesting, this one more.
func TestHTMLValidate(t *testing.T) {
	all := map[string]*ebraille.Edition{"everything": everything(t)}
	if testkit.Required() {
		all = publications(t)
	}
	dir := t.TempDir()
	var files []string
	for name, ed := range all {
		for _, f := range ed.Files {
			if ext := path.Ext(f.Name); ext != ".xhtml" && ext != ".html" {
				continue
			}
			p := filepath.Join(dir, name+"-"+strings.TrimSuffix(path.Base(f.Name), path.Ext(f.Name))+".html")
			if err := os.WriteFile(p, f.Data, 0o666); err != nil {
				t.Fatal(err)
			}
			files = append(files, p)
		}
	}
	faults, err := testkit.HTMLValidate("../testdata/htmlvalidate.json", files...)
	testkit.Need(t, err)
	for _, f := range faults {
		t.Error(f)
	}
	bad := filepath.Join(dir, "bad.html") // the validator reads such files
	text := []byte(strings.Replace(fileOf(t, everything(t), "index.html"), "</nav>", "", 1))
	if err := os.WriteFile(bad, text, 0o666); err != nil {
		t.Fatal(err)
	}
	if faults, err = testkit.HTMLValidate("../testdata/htmlvalidate.json", bad); err != nil || len(faults) == 0 {
		t.Errorf("an element left open passes: %v", err)
	}
}

// TestValidators: EPUBCheck, epubcheck-ts and Ace have nothing to say beyond
// what every eBraille publication draws from them (testkit, validators.go). They
// are slow to start: all publications are given to them only where outside
// checks are required.
func TestValidators(t *testing.T) {
	all := testkit.Required()
	dir := t.TempDir()
	for name, ed := range publications(t) {
		pack, err := ed.Pack()
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name+".ebrl")
		if err := os.WriteFile(path, pack, 0o666); err != nil {
			t.Fatal(err)
		}
		for _, v := range validators {
			t.Run(v.name+"/"+name, func(t *testing.T) {
				if !all && (name != "everything" || v.slow) {
					t.Skip("NOT CHECKED: CONTINUO_REQUIRE_OUTSIDE=1 has all publications checked")
				}
				t.Parallel()
				list, err := v.run(path)
				if err != nil {
					testkit.Need(t, err)
				}
				for _, m := range list {
					t.Error(m)
				}
			})
		}
	}
}

var validators = []struct {
	name string
	slow bool
	run  func(string) ([]testkit.EPUBMessage, error)
}{{"EPUBCheck", false, testkit.EPUBCheck}, {"epubcheck-ts", false, testkit.EPUBCheckTS}, {"Ace", true, testkit.Ace}}
