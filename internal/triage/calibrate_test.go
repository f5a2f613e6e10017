package triage_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"continuo/internal/book"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/testkit/collected"
	"continuo/internal/testkit/novels"
	"continuo/internal/testkit/reference"
	"continuo/internal/triage"
)

var (
	count = flag.Int("titles", 60, "titles of the outside check")
	seed  = flag.Int("seed", 9000, "seed of its first title")
	list  = flag.String("list", "", "seeds of the titles, with commas between")
	only  = flag.String("fault", "", "plant this fault only")
	keep  = flag.String("keep", "", "write the sources and editions of such titles to this folder")
	tries = flag.Int("tries", 2, "faults planted in a title")
	house = flag.String("press", "", "titles of this press only: own, reference, novels or collected")
	show  = flag.Bool("show", false, "show every title that is not as wanted")
)

// pressed is a title of one of the presses.
type pressed struct {
	*testkit.Title
	own    []string // wordings that the converter may add
	lay    string
	others testkit.Others
}

// presses set titles from seeds, each by a hand of its own; nil when a seed gives none.
var presses = []struct {
	name string
	few  int // titles of it in the test without flags
	// How many of a hundred whole titles must be ready, and how many of a hundred ready ones may be wrong.
	// The aim is 95 and none for every press.
	ready, wrong int
	set          func(seed uint64, texts []testkit.Text) (*pressed, error)
}{
	{"own", 60, 95, 2, setOwn},
	{"reference", 20, 45, 35, setReference},
	{"novels", 20, 70, 10, setNovel},
	{"collected", 20, 75, 5, setCollected},
}

func setOwn(s uint64, texts []testkit.Text) (*pressed, error) {
	lay := testkit.Draw(s)
	lay.File.Damage = ""
	book, err := testkit.NewBook(lay, texts)
	if err != nil {
		return nil, err
	}
	title, err := testkit.Press(book)
	if err != nil {
		return nil, err
	}
	return &pressed{title, book.Own(), strings.Join(lay.Features(), " "), testkit.OthersOf(title, texts)}, nil
}

func setReference(s uint64, texts []testkit.Text) (*pressed, error) {
	t, err := reference.Press(s, texts)
	if err != nil {
		return nil, err
	}
	return &pressed{t.Title, t.Own, strings.Join(t.Features, " "), othersOf(t.Title, func(seed uint64, grade bool) *testkit.Title {
		press := reference.Press
		if grade {
			press = reference.PressOtherGrade
		}
		if o, err := press(seed, texts); err == nil {
			return o.Title
		}
		return nil
	})}, nil
}

func setNovel(s uint64, texts []testkit.Text) (*pressed, error) {
	t, err := novels.Press(s, texts)
	if err != nil {
		return nil, err
	}
	return &pressed{t.Title, t.Own, strings.Join(t.Features, " "), othersOf(t.Title, func(seed uint64, grade bool) *testkit.Title {
		press := novels.Press
		if grade {
			press = novels.PressOtherGrade
		}
		if o, err := press(seed, texts); err == nil {
			return o.Title
		}
		return nil
	})}, nil
}

func setCollected(s uint64, texts []testkit.Text) (*pressed, error) {
	t, err := collected.Press(s, texts)
	if err != nil {
		return nil, err
	}
	return &pressed{t.Title, t.Own, strings.Join(t.Truth.Features, " "), othersOf(t.Title, func(seed uint64, grade bool) *testkit.Title {
		press := collected.Press
		if grade {
			press = collected.PressOtherGrade
		}
		if o, err := press(seed, texts); err == nil {
			return o.Title
		}
		return nil
	})}, nil
}

// othersOf are the books beside a title of a press that sets other seeds, or the same one in the
// other grade.
func othersOf(t *testkit.Title, set func(seed uint64, grade bool) *testkit.Title) testkit.Others {
	another := func() *testkit.Title {
		for s := t.Lay.Seed + 100_000; ; s++ {
			if o := set(s, false); o == nil || !testkit.SameTitle(o, t) {
				return o
			}
		}
	}
	return testkit.Others{Another: another, OtherCode: func() *testkit.Title { return set(t.Lay.Seed, true) }}
}

// judged is one title, with or without a fault, and what came of it.
type judged struct {
	press   string
	seed    uint64
	fault   string
	verdict triage.Verdict
	right   bool // no word lost, doubled or out of order, no furniture left
	what    string
	lay     string
	signs   []string // kinds
}

// wanted lists the titles that are asked for.
func wanted(t *testing.T) []work {
	var out []work
	for p := range presses {
		n := *count
		switch {
		case *house != "" && *house != presses[p].name:
			continue
		case *house == "" && n == 60:
			n = presses[p].few
		}
		for i := range n {
			out = append(out, work{p, uint64(*seed + i)})
		}
		if *list == "" {
			continue
		}
		out = out[:len(out)-n]
		for _, s := range strings.Split(*list, ",") {
			n, err := strconv.ParseUint(s, 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, work{p, n})
		}
	}
	return out
}

// judge converts files as a run does and compares the edition with the truth.
func judge(press string, title *pressed, files []testkit.File, fault string) judged {
	j := judged{press: press, seed: title.Lay.Seed, fault: fault, lay: title.lay}
	var in triage.Input
	for _, f := range files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			in.Err = err
			continue
		}
		in.Files = append(in.Files, s)
	}
	if in.Err == nil {
		in.Result, in.Err = convert.Make(in.Files, convert.Defaults())
	}
	if in.Err == nil {
		rep := check.Verify(in.Result.Edition, in.Result.Account, in.Files)
		in.Proof = &rep
		r := testkit.Compare(withoutMarks(whole(withoutLabels(in.Result), in.Result.Account), in.Result.Stats.EntryMark), title.Truth, title.own...)
		j.right = r.Lost == 0 && r.Furniture == 0 && r.Doubled == 0 && r.Disorder == 0
		j.what = fmt.Sprint(r.Problems[:min(2, len(r.Problems))])
	} else {
		j.what = in.Err.Error()
	}
	j.verdict, j.signs = triage.Judge(in), triage.SignKinds(in)
	if *keep != "" && j.odd() {
		j.write(files, in.Result)
	}
	return j
}

// write keeps what a title came from and what came of it.
func (j *judged) write(files []testkit.File, r *convert.Result) {
	dir := filepath.Join(*keep, fmt.Sprint(j.press, j.seed, j.fault))
	_ = os.MkdirAll(dir, 0o755)
	for _, f := range files {
		_ = os.WriteFile(filepath.Join(dir, f.Name), f.Raw, 0o644)
	}
	if r != nil {
		_ = os.WriteFile(filepath.Join(dir, "edition.out"), r.Edition, 0o644)
		_ = os.WriteFile(filepath.Join(dir, "account.out"), r.Account, 0o644)
	}
}

// work is a title to press.
type work struct {
	press int
	seed  uint64
}

// judgeMany presses titles and judges each whole and with one or two faults.
func judgeMany(t *testing.T, list []work) []judged {
	t.Helper()
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	_, err = testkit.Terms()
	testkit.Need(t, err)
	out := make([][]judged, len(list))
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				out[i] = judgeSeed(t, list[i], texts)
			}
		})
	}
	for i := range list {
		next <- i
	}
	close(next)
	wg.Wait()
	return slices.Concat(out...)
}

func judgeSeed(t *testing.T, w work, texts []testkit.Text) []judged {
	press := presses[w.press]
	title, err := press.set(w.seed, texts)
	if err != nil {
		t.Errorf("%s %d: %v", press.name, w.seed, err)
		return nil
	}
	out := []judged{judge(press.name, title, title.Files, "")}
	kinds := testkit.Faults()
	for k := range *tries {
		kind := kinds[(int(w.seed)*2+k)%len(kinds)]
		if *only != "" {
			kind = *only
		}
		if files := testkit.PlantFrom(title.Title, kind, try(k), title.others); files != nil {
			out = append(out, judge(press.name, title, files, kind))
		}
	}
	return out
}

// TestCalibration judges pressed titles, each whole and with planted faults,
// and holds the verdicts against the truth: whole titles are ready, and what is
// ready is right; every fault is in look or stop; and the confidence is as often
// right as it says. The truth is that of the presses, which set open
// texts that liblouis put into braille.
//
// -titles N and -seed N judge more and other titles, -fault KIND and -tries N
// plant one fault more often, -show lists those that are not as wanted, -record FILE
// writes down what was judged, for -fit.
func TestCalibration(t *testing.T) {
	all := judgeMany(t, wanted(t))
	byFault := tallies(all, func(j judged) []string { return []string{"fault: " + named(j.fault)} })
	bySign := tallies(all, func(j judged) []string {
		var out []string
		if len(j.verdict.Reasons) == 1 {
			out = append(out, "sign alone: "+j.verdict.Reasons[0].Kind)
		}
		for _, r := range j.verdict.Reasons {
			out = append(out, "sign: "+r.Kind)
		}
		return out
	})
	for _, m := range []map[string]*tally{byFault, bySign} {
		for _, k := range keys(m) {
			t.Logf("%s: %s", k, m[k])
		}
	}
	if *show {
		for _, j := range all {
			if j.odd() {
				t.Logf("%s seed %d, %s: %s, right %v: %v\n    %s\n    %s", j.press, j.seed, named(j.fault), j.verdict.State, j.right, j.verdict.Reasons, j.what, j.lay)
			}
		}
	}
	if *record != "" {
		recordAll(t, all)
	}
	readyAndRight(t, all)
	faultsAreSeen(t, all)
	for _, p := range presses {
		if list := slices.DeleteFunc(slices.Clone(all), func(j judged) bool { return j.press != p.name }); len(list) > 0 {
			reliable(t, p.name, p.ready >= 95, list)
		}
	}
}

func named(fault string) string {
	if fault == "" {
		return "none"
	}
	return fault
}

// odd reports whether a title is not as wanted.
func (j *judged) odd() bool {
	if slices.Contains(j.signs, "not-proved") && (j.fault == "doubled" || j.fault == "swapped") {
		return true
	}
	if j.fault == "" {
		return j.verdict.State != catalogue.Ready || !j.right
	}
	return j.verdict.State == catalogue.Ready
}

// tally counts titles by what came of them.
type tally struct{ n, right, ready, look, stop int }

func (x *tally) String() string {
	return fmt.Sprintf("%d titles, %d right; %d ready, %d look, %d stop", x.n, x.right, x.ready, x.look, x.stop)
}

func tallies(all []judged, of func(judged) []string) map[string]*tally {
	out := map[string]*tally{}
	for _, j := range all {
		for _, k := range of(j) {
			if out[k] == nil {
				out[k] = &tally{}
			}
			x := out[k]
			x.n++
			if j.right {
				x.right++
			}
			switch j.verdict.State {
			case catalogue.Ready:
				x.ready++
			case catalogue.Look:
				x.look++
			default:
				x.stop++
			}
		}
	}
	return out
}

func keys(m map[string]*tally) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// readyAndRight wants so many of a hundred whole titles of a press ready, and of those that are ready
// hardly one with a word lost, doubled or out of place, or a line of
// furniture left: what the conversion gets wrong without a sign of it.
func readyAndRight(t *testing.T, all []judged) {
	for _, p := range presses {
		whole, ready, wrong := 0, 0, 0
		for _, j := range all {
			if j.fault != "" || j.press != p.name {
				continue
			}
			whole++
			if j.verdict.State == catalogue.Ready {
				ready++
				if !j.right {
					wrong++
					t.Logf("ready and wrong: %s seed %d: %s", j.press, j.seed, j.what)
				}
			}
		}
		if whole == 0 {
			continue
		}
		t.Logf("%s: whole titles: %d, ready %d (%.1f %%), of these wrong %d", p.name, whole, ready, 100*float64(ready)/float64(whole), wrong)
		if 100*ready < p.ready*whole-100*slack(whole) {
			t.Errorf("%s: %d of %d whole titles are ready, want %d in 100", p.name, ready, whole, p.ready)
		}
		if 100*wrong > p.wrong*ready+100*slack(whole) {
			t.Errorf("%s: %d of %d ready titles are wrong", p.name, wrong, ready)
		}
	}
}

// slack is how many titles chance may take at so few of them.
func slack(n int) int { return n / 60 }

// faultsAreSeen wants every planted fault in look or stop, but for a file cut
// off: at its end a book may have nothing that says that more should come. Of
// these nineteen in twenty.
func faultsAreSeen(t *testing.T, all []judged) {
	cut, unseen := 0, 0
	for _, j := range all {
		if j.fault == "" {
			continue
		}
		ready := j.verdict.State == catalogue.Ready
		switch {
		case strings.HasPrefix(j.fault, "cut"):
			if cut++; ready {
				unseen++
				t.Logf("a cut that nothing tells: %s seed %d, %s", j.press, j.seed, j.fault)
			}
		case slices.Contains(j.signs, "not-proved") && (j.fault == "doubled" || j.fault == "swapped"):
			t.Errorf("%s seed %d: %s, and the edition is not proved", j.press, j.seed, j.fault)
		case ready:
			t.Errorf("%s seed %d: %s, and the title is ready", j.press, j.seed, j.fault)
		}
	}
	if 20*unseen > cut+20 {
		t.Errorf("%d of %d files that were cut off are ready", unseen, cut)
	}
}

// fewest is how many titles a band must have to be judged.
const fewest = 8

// bands are where the reliability table is cut.
var bands = []float64{0, 0.02, 0.1, 0.3, 0.7, 0.95, 1.01}

// reliable compares the confidence with how often titles are right, band by
// band: the difference must not be more than chance explains (three standard
// errors) and five in a hundred; where a press is not strict it is only told.
func reliable(t *testing.T, press string, strict bool, all []judged) {
	brier, base := 0.0, 0.0
	for _, j := range all {
		brier += square(j.verdict.Confidence - is(j.right))
		base += is(j.right)
	}
	n := float64(len(all))
	base /= n
	brier /= n
	t.Logf("reliability, %s: confidence from, to; titles; confidence on the average; right", press)
	for i := range len(bands) - 1 {
		count, said, right := 0.0, 0.0, 0.0
		for _, j := range all {
			if c := j.verdict.Confidence; c >= bands[i] && c < bands[i+1] {
				count, said, right = count+1, said+c, right+is(j.right)
			}
		}
		if count == 0 {
			continue
		}
		p, got := said/count, right/count
		t.Logf("reliability: %.2f, %.2f; %d; %.3f; %.3f", bands[i], min(1, bands[i+1]), int(count), p, got)
		if off := math.Abs(got - p); strict && count >= fewest && off > 0.05+3*math.Sqrt(max(p*(1-p), 0.01)/count) {
			t.Errorf("confidence %.2f to %.2f: %.3f on the average, but %.3f are right, of %d", bands[i], bands[i+1], p, got, int(count))
		}
	}
	t.Logf("Brier score: %.4f; of always saying %.2f: %.4f", brier, base, base*(1-base))
	if strict && brier > base*(1-base)/3 {
		t.Errorf("the confidence tells little: Brier score %.4f", brier)
	}
}

func is(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func square(x float64) float64 { return x * x }

// withoutLabels blanks the labels over notes that the tool wrote.
func withoutLabels(r *convert.Result) []byte {
	lines := strings.SplitAfter(string(r.Edition), "\n")
	for i, bl := range r.Book.Blocks {
		if bl.Kind != book.Label || bl.Part != book.NotesPart {
			continue
		}
		end := len(lines)
		if i+1 < len(r.Starts) {
			end = r.Starts[i+1] - 1
		}
		for k := r.Starts[i] - 1; k < end; k++ {
			lines[k] = "\r\n"
		}
	}
	return []byte(strings.Join(lines, ""))
}

// withoutMarks takes away the marks before the headwords of dictionary entries.
func withoutMarks(edition []byte, mark string) []byte {
	if mark == "" {
		return edition
	}
	for _, m := range []string{mark, strings.ToUpper(mark)} {
		for _, before := range []string{"\n", " "} {
			edition = bytes.ReplaceAll(edition, []byte(before+m), []byte(before))
		}
	}
	return edition
}

// whole joins the lines that the account lists as going on a word of the line
// before: words longer than the line.
func whole(edition, account []byte) []byte {
	lines := bytes.Split(bytes.TrimSpace(account), []byte("\n"))
	var end struct{ Splits []int }
	if err := json.Unmarshal(lines[len(lines)-1], &end); err != nil || len(end.Splits) == 0 {
		return edition
	}
	var out []byte
	for i, l := range bytes.SplitAfter(edition, []byte("\n")) {
		if slices.Contains(end.Splits, i+1) {
			out = append(bytes.TrimRight(out, "\r\n"), bytes.TrimLeft(l, " ")...)
			continue
		}
		out = append(out, l...)
	}
	return out
}

// try is which of several faults of one kind is planted.
func try(k int) int {
	if *only == "" {
		return 0
	}
	return k
}
