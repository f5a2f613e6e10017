package ride_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/ride"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

// The titles pressed, and what the editions for a display must save of 100
// moves. How much a title can save depends on its paper: lines of 40 cells fill
// two windows of 20 nearly as well as running text does, so that only the page
// furniture and the blank lines go; lines of 32 leave a window half empty.
// bound is what no text with these words can undercut on a display that cuts no
// word: all of them in one line, without a paragraph, a heading or an indent.
const (
	titles       = 60
	cells        = 20
	meanSaved    = 25  // in the mean over the titles
	overBound    = 110 // windows of each title, of a hundred at the bound
	defaultSaved = 5   // the settings of make, each title
)

// TestNovels rides on 20 cells through pressed titles of open texts (the six
// novels of Debian's r-cran-janeaustenr and others, see testkit) and through
// the editions made of them for such a display. No window is blank, none cuts a
// word that fits the display, and the title stands in the first one.
func TestNovels(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	texts = slices.DeleteFunc(slices.Clone(texts), func(x testkit.Text) bool { return !strings.HasPrefix(x.Name, "novel") })
	n, sum, sumLong, sumBound, enough, possible := 0, 0, 0, 0, 0, 0
	for seed := uint64(1); seed <= titles; seed++ {
		vols, title, ok := press(t, seed, texts)
		if !ok {
			continue
		}
		paper := ride.Play(rows(vols), ride.Display{Cells: cells}).Moves()
		saved := func(o convert.Options) (int, ride.Result, [][]byte) {
			lines := edition(t, vols, o)
			r := ride.Play([][][]byte{lines}, ride.Display{Cells: cells})
			titleFirst(t, seed, lines, title)
			return 100 - 100*r.Moves()/paper, r, lines
		}
		byDefault, _, _ := saved(convert.Defaults())
		o := convert.Defaults()
		o.Width, o.Blank = cells, "none"
		forDisplay, r, lines := saved(o)
		o.Width = 0
		long, _, _ := saved(o)
		least := bound(lines)
		if r.Blank != 0 || r.Cut > longWords(lines) || r.Moves()*100 > least*overBound || byDefault < defaultSaved {
			t.Errorf("title %d: %d blank windows, %d that cut a word, %d words longer than the display; %d moves, all words in one line take %d; %d of 100 moves saved by default", seed, r.Blank, r.Cut, longWords(lines), r.Moves(), least, byDefault)
		}
		t.Logf("title %d: sources %d moves; saved of 100: with the defaults %d, for the display %d, with one line a paragraph %d, all words in one line %d", seed, paper, byDefault, forDisplay, long, 100-100*least/paper)
		n, sum, sumLong, sumBound = n+1, sum+forDisplay, sumLong+long, sumBound+100-100*least/paper
		if forDisplay >= meanSaved {
			enough++
		}
		if 100-100*least/paper >= meanSaved {
			possible++
		}
	}
	t.Logf("%d titles: for the display %.1f of 100 moves saved in the mean, with one line a paragraph %.1f, all words in one line %.1f; %d save %d or more, at the bound %d would", n, float64(sum)/float64(n), float64(sumLong)/float64(n), float64(sumBound)/float64(n), enough, meanSaved, possible)
	if n < titles/3 || sum < n*meanSaved {
		t.Errorf("%d titles save %d of 100 moves in the mean", n, sum/max(n, 1))
	}
}

// bound is how many moves all words of lines take in one line.
func bound(lines [][]byte) int {
	all := bytes.Join(bytes.Fields(bytes.Join(lines, []byte(" "))), []byte(" "))
	return ride.Play([][][]byte{{all}}, ride.Display{Cells: cells}).Moves()
}

// longWords counts the lines that a word longer than the display fills.
func longWords(lines [][]byte) int {
	n := 0
	for _, l := range lines {
		if len(l) >= cells {
			n++
		}
	}
	return n
}

// press sets a title and reads its volumes; titles with tables, or damaged on
// purpose, are passed over: they are no novels.
func press(t *testing.T, seed uint64, texts []testkit.Text) ([]*source.File, string, bool) {
	t.Helper()
	lay := testkit.Draw(seed)
	if lay.Table || lay.Index || lay.File.Damage != "" {
		return nil, "", false
	}
	b, err := testkit.NewBook(lay, texts)
	testkit.Need(t, err)
	title, err := testkit.Press(b)
	testkit.Need(t, err)
	var files []*source.File
	for _, f := range title.Files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, s)
	}
	return files, strings.Join(title.Truth.Title, " "), true
}

func rows(files []*source.File) [][][]byte {
	var out [][][]byte
	for _, f := range files {
		out = append(out, ride.Lines(f))
	}
	return out
}

// edition makes an edition and returns its lines.
func edition(t *testing.T, files []*source.File, o convert.Options) [][]byte {
	t.Helper()
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	f, err := source.Parse("edition", res.Edition)
	if err != nil {
		t.Fatal(err)
	}
	return ride.Lines(f)
}

// titleFirst: the first window shows the title, all of it or as much as fits.
func titleFirst(t *testing.T, seed uint64, lines [][]byte, title string) {
	t.Helper()
	w := ride.Windows(lines[:1], ride.Display{Cells: cells})[0]
	shown := strings.Join(strings.Fields(string(lines[0][w.From:w.To])), " ")
	if shown == "" || !strings.HasPrefix(title, shown) {
		t.Errorf("title %d: the first window shows %q, the title is %q", seed, shown, title)
	}
}
