package ride_test

import (
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/ride"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

// The titles pressed, and what the editions must save of 100 moves. How much a
// title can save depends on its paper: lines of 40 cells fill two windows of 20
// nearly as well as running text does, so that only the page furniture and the
// blank lines go; lines of 32 leave a window half empty.
const (
	titles       = 16
	meanSaved    = 25  // one line a paragraph, no blank lines, in the mean
	leastSaved   = 10  // the same, each title
	defaultSaved = 5   // the settings of make, each title
	roomAtMost   = 112 // windows of a hundred that hold cells without a gap, cut in mid-word: no setting needs fewer
)

// TestNovels rides on 20 cells through pressed titles of open texts (the six
// novels of Debian's r-cran-janeaustenr and others, see testkit) and through
// the editions made of them, with the settings for such a display.
func TestNovels(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	n, least, sum := 0, 100, 0
	for seed := uint64(1); seed <= titles; seed++ {
		vols, title, ok := press(t, seed, texts)
		if !ok {
			continue
		}
		paper := ride.Play(rows(vols), ride.Display{Cells: 20})
		plain := rideEdition(t, vols, convert.Defaults(), title)
		o := convert.Defaults()
		o.Width, o.Blank = 0, "none"
		long := rideEdition(t, vols, o, title)
		if long.Blank != 0 {
			t.Errorf("title %d: %d blank windows", seed, long.Blank)
		}
		if floor := rideCells(t, vols, o); long.Moves()*100 > floor*roomAtMost {
			t.Errorf("title %d: %d moves; cells without a gap would take %d", seed, long.Moves(), floor)
		}
		saved, byDefault := 100-100*long.Moves()/paper.Moves(), 100-100*plain.Moves()/paper.Moves()
		if saved < leastSaved || byDefault < defaultSaved {
			t.Errorf("title %d: %d and %d of 100 moves saved", seed, saved, byDefault)
		}
		t.Logf("title %d: sources %d moves, %d blank; with the defaults %d moves (%d %% less), %d blank; one line a paragraph %d moves (%d %% less)", seed,
			paper.Moves(), paper.Blank, plain.Moves(), byDefault, plain.Blank, long.Moves(), saved)
		n, least, sum = n+1, min(least, saved), sum+saved
	}
	if n == 0 || sum/n < meanSaved {
		t.Errorf("%d titles save %d of 100 moves in the mean", n, sum/max(n, 1))
	}
	t.Logf("%d titles, %d %% of moves saved in the mean, %d %% at least", n, sum/max(n, 1), least)
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

// rideCells is how many moves the cells of an edition take when every window
// is full to its last cell.
func rideCells(t *testing.T, files []*source.File, o convert.Options) int {
	t.Helper()
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	f, err := source.Parse("edition", res.Edition)
	if err != nil {
		t.Fatal(err)
	}
	return ride.Play([][][]byte{ride.Lines(f)}, ride.Display{Cells: 20, Hard: true}).Moves()
}

func rows(files []*source.File) [][][]byte {
	var out [][][]byte
	for _, f := range files {
		out = append(out, ride.Lines(f))
	}
	return out
}

// rideEdition makes an edition and rides through it; its title must stand in
// the first window.
func rideEdition(t *testing.T, files []*source.File, o convert.Options, title string) ride.Result {
	t.Helper()
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	f, err := source.Parse("edition", res.Edition)
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(f.Text(0)), " ")
	if want, _, _ := strings.Cut(title, " "); first != want {
		t.Errorf("the first word is %q, the title's %q", first, want)
	}
	return ride.Play([][][]byte{ride.Lines(f)}, ride.Display{Cells: 20})
}
