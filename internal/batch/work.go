package batch

import (
	"cmp"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"runtime/debug"
	"sort"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/source"
	"continuo/internal/triage"
)

// Editions is the folder of editions in the folder of a catalogue.
const Editions = "editions"

// task is one candidate with what is known of it.
type task struct {
	Candidate
	at    int // in the order of candidates
	key   string
	known *catalogue.Known
	group *catalogue.Group
	subs  []*catalogue.Known // titles that were in it when it was divided
}

// item is what came of one title. record is nil when nothing changed.
type item struct {
	outcome Outcome
	at, sub int
	record  *catalogue.Record
	files   []atomicfile.Item // editions to write, with whole paths
	known   *catalogue.Known
	seen    []catalogue.File // files that were read and are the same
}

// subject is one title on its way through a worker.
type subject struct {
	catalogue.Found
	key         string
	fingerprint string
	known       *catalogue.Known
	bytes       int64
	disk        []catalogue.File // nil for a part of a divided set but the first
	files       []*source.File
	skipped     []source.Skipped
	beside      string
	others      []string // files of other titles that the title pages told from it
	doubt       string   // why it is not sure that all volumes of it are here
}

// work does one task. A panic is the failure of that title alone.
func (r *run) work(t task) (items []item) {
	s := subject{Found: t.Found, key: t.key, known: t.known, bytes: t.Size()}
	defer func() {
		if x := recover(); x != nil {
			err := fmt.Errorf("internal fault: %v", x)
			items = []item{r.failed(s, err, trace(debug.Stack()))}
		}
		for i := range items {
			items[i].at, items[i].sub = t.at, i
		}
	}()
	disk, read, raw, err := r.hash(t.Sources, true)
	if err != nil {
		return r.unread(s, err)
	}
	s.disk, s.fingerprint = disk, fingerprint(r.o.Settings, t.Sidecar, t.Sources, disk)
	if t.group != nil {
		if r.sameGroup(t, s.fingerprint) {
			return r.unchangedGroup(t, read)
		}
	} else if r.same(t.known, s.fingerprint) {
		return []item{r.unchanged(s, read)}
	}
	s.files, s.skipped, err = r.open(t.Sources, disk, raw)
	if err != nil {
		if errors.Is(err, errChanged) || !there(t.Sources) {
			s.fingerprint = "" // try again next time
		}
		return r.unread(s, err)
	}
	return r.convert(t, s)
}

// unread is what comes of a title that cannot be read. Where the whole archive is gone,
// a disk that was taken out, the run ends, for no title is at fault.
func (r *run) unread(s subject, err error) []item {
	for _, root := range r.o.Roots {
		if !exists(root) {
			r.abort(fmt.Errorf("%s is no longer there: is the disk there?", quote(root)))
			return nil
		}
	}
	return []item{r.failed(s, err, "")}
}

// trace is the part of a stack that is of this program, on one line.
func trace(stack []byte) string {
	var out []string
	for _, l := range strings.Split(string(stack), "\n") {
		if strings.HasPrefix(l, "continuo/internal/") && len(out) < 6 {
			out = append(out, strings.TrimPrefix(strings.SplitN(l, "(", 2)[0], "continuo/internal/"))
		}
	}
	return strings.Join(out, "; ")
}

// mostKept is how many bytes of the sources of a title are kept between hashing and reading.
const mostKept = 32 << 20

// hash returns the sources with their hashes, whether any was read for it, and, where keep asks
// for them, the bytes of those that were, none of a zip.
func (r *run) hash(list []Source, keep bool) (out []catalogue.File, read bool, raw [][]byte, err error) {
	kept := int64(0)
	for _, s := range list {
		kind, _ := source.KindOf(filepath.Base(s.Path))
		f, fresh, data, err := r.hashes.of(s, keep && kind != source.Zip && kept+s.Bytes <= mostKept)
		if err != nil {
			return nil, true, nil, err
		}
		kept += int64(len(data))
		out, read, raw = append(out, f), read || fresh, append(raw, data)
	}
	return out, read, raw, nil
}

// same reports whether a title has an edition, or a failure, of these very
// sources and settings.
func (r *run) same(k *catalogue.Known, print string) bool {
	if r.o.Again || k == nil || k.State == catalogue.New || k.Fingerprint != print || print == "" {
		return false
	}
	return k.Fault != "" || intact(r.home, k.Editions)
}

func (r *run) unchanged(s subject, read bool) item {
	it := item{outcome: Outcome{Key: s.key, Location: s.Location, State: s.known.State, Fault: s.known.Fault, Bytes: s.bytes}, known: s.known}
	if read {
		it.seen = s.disk
	}
	return it
}

// errChanged is the error of a source that was written to meanwhile.
var errChanged = errors.New("was changed while it was read; run again")

// open reads the files of a title, those of which raw has no bytes, and compares them with the
// hashes that its fingerprint is made of.
func (r *run) open(list []Source, disk []catalogue.File, raw [][]byte) ([]*source.File, []source.Skipped, error) {
	var members []source.Member
	sums := map[string]string{}
	for i, s := range list {
		members = append(members, source.Member{Path: s.Path, Name: s.Name, Raw: raw[i], SHA256: disk[i].SHA256})
		sums[s.Path] = disk[i].SHA256
	}
	files, skipped, err := source.OpenMembers(members)
	if err != nil {
		return nil, skipped, err
	}
	for _, f := range files {
		if kind, _ := source.KindOf(filepath.Base(f.Path)); kind != source.Zip && sums[f.Path] != cmp.Or(f.Whole, f.SHA256) {
			return nil, skipped, fmt.Errorf("%s %w", quote(f.Path), errChanged)
		}
	}
	return files, skipped, nil
}

// there reports whether all sources are still there.
func there(list []Source) bool {
	for _, s := range list {
		if !exists(s.Path) {
			return false
		}
	}
	return true
}

// convert converts the files of a candidate, one title or several.
func (r *run) convert(t task, s subject) []item {
	if t.Size() > largeSet && !t.Telling && len(s.files) > 1 {
		if groups := byTitlePages(s.files); len(groups) > 1 {
			return r.split(t, s, groups)
		}
	}
	job, people, err := r.job(s)
	if err != nil {
		return []item{r.failed(s, err, "")}
	}
	res, report, err := r.o.Make(job)
	var many *convert.ManyTitles
	if errors.As(err, &many) && !t.Telling && !hadEdition(t.known) {
		return r.split(t, s, fromSurvey(many, s.files))
	}
	if t.group != nil {
		if e := r.cat.Unsplit(r.ctx, t.Found); e != nil {
			r.abort(e)
			return nil
		}
	}
	return []item{r.made(s, res, report, people, job.Decisions, err)}
}

// betterBefore reports whether a title has an edition that is not in doubt as a
// whole: one that is does not take its place.
func betterBefore(k *catalogue.Known) bool {
	return hadEdition(k) && (k.Fault != "" || k.State == catalogue.Ready || k.State == catalogue.Look)
}

func hadEdition(k *catalogue.Known) bool { return k != nil && len(k.Editions) > 0 }

// job is what the maker is given, with what people decided about the title.
func (r *run) job(s subject) (j Job, people []byte, err error) {
	j = Job{Key: s.key, Name: s.key + ".brf", Sidecar: s.Sidecar, Files: s.files, Skipped: s.skipped}
	path := s.Sidecar + decisionsSuffix
	people, j.Decisions, err = decidefile.Read(path)
	if people != nil {
		j.DecisionsFile = path
	}
	return j, people, err
}

// What the names of a title's own files add to its sidecar name.
const (
	metadataSuffix  = ".toml"
	decisionsSuffix = ".decisions.toml"
)

// prove has the distrustful reader check an edition, with what people decided about the
// title and the house.
func (o *Options) prove(edition, account []byte, files []*source.File, people []byte) check.Report {
	var said [][]byte
	for _, text := range [][]byte{people, o.House} {
		if text != nil {
			said = append(said, text)
		}
	}
	return check.VerifyWith(edition, account, files, o.Said, said...)
}

// made turns the outcome of a conversion into an item.
func (r *run) made(s subject, res *convert.Result, report, people []byte, decided *decide.File, err error) item {
	if err != nil {
		return r.failed(s, err, "")
	}
	rec := r.record(s)
	describe(rec, res, s.files)
	in := triage.Input{Files: s.files, Skipped: s.skipped, Result: res, Beside: s.beside, Others: s.others, Doubt: s.doubt, Decisions: decided, Rules: r.o.Rules}
	if err := metadataOf(rec, s.Sidecar); err != nil {
		in.Settings = err.Error()
	}
	edition := sum(res.Edition)
	if r.o.Prove {
		rep := r.o.prove(res.Edition, res.Account, s.files, people)
		in.Proof = &rep
		rec.Proof = proof(rep, edition)
	}
	v := triage.Judge(in)
	if v.State == catalogue.Stop && betterBefore(s.known) {
		return r.failed(s, fmt.Errorf("%s; the edition that was made before is kept", v.Reasons[0].Text), "")
	}
	r.judge(rec, v)
	rec.Event = catalogue.Event{Who: r.o.Who, What: "made", Text: string(rec.State)}
	files := r.outputs(s, res, report)
	sums := []string{edition, sum(res.Account), sum(report)}
	for i, format := range []string{"brf", "account", "report"} {
		rel, _ := filepath.Rel(r.home, files[i].Path)
		rec.Editions = append(rec.Editions, catalogue.Edition{Format: format, Path: filepath.ToSlash(rel), Bytes: int64(len(files[i].Data)), SHA256: sums[i]})
	}
	return item{outcome: outcome(rec, s, true), record: rec, files: files, known: s.known}
}

func outcome(rec *catalogue.Record, s subject, made bool) Outcome {
	o := Outcome{Key: s.key, Location: s.Location, Title: rec.Title.Title, State: rec.State, Made: made, Fault: rec.Fault, Bytes: s.bytes}
	if len(rec.Reasons) > 0 {
		o.Reason = rec.Reasons[0].Text
	}
	return o
}

// outputs are the files of an edition, in a folder of its own.
func (r *run) outputs(s subject, res *convert.Result, report []byte) []atomicfile.Item {
	base := filepath.Join(r.home, Editions, s.key, s.key+".brf")
	return []atomicfile.Item{{Path: base, Data: res.Edition}, {Path: base + ".account.jsonl", Data: res.Account}, {Path: base + ".report.txt", Data: report}}
}

// record begins the record of a title.
func (r *run) record(s subject) *catalogue.Record {
	rec := &catalogue.Record{Title: catalogue.Title{Key: s.key, Bytes: s.bytes, Fingerprint: s.fingerprint, Content: content(s.disk), Tool: convert.Version}, Files: s.disk}
	for _, x := range s.skipped {
		rec.PassedOver = append(rec.PassedOver, catalogue.PassedOver{Path: x.Path, Why: x.Why})
	}
	return rec
}

func (r *run) judge(rec *catalogue.Record, v triage.Verdict) {
	rec.State, rec.Confidence, rec.Reasons = v.State, v.Confidence, v.Reasons
}

// failed is the item of a title that has no edition of its present sources. The
// files of an older edition stay, and stay known.
func (r *run) failed(s subject, err error, where string) item {
	rec := r.record(s)
	rec.Fault = strings.ReplaceAll(err.Error(), "\n", "; ")
	r.judge(rec, triage.Judge(triage.Input{Files: s.files, Skipped: s.skipped, Err: err, Beside: s.beside}))
	if s.known != nil {
		rec.Editions = s.known.Editions
	}
	for _, f := range s.files {
		rec.Volumes = append(rec.Volumes, catalogue.Volume{Name: f.Name, Path: f.Path, Bytes: f.Bytes, SHA256: f.SHA256, Encoding: string(f.Encoding)})
	}
	rec.Title.Title = path.Base(filepath.ToSlash(s.Name))
	rec.Event = catalogue.Event{Who: r.o.Who, What: "failed", Text: strings.TrimSpace(rec.Fault + " " + where)}
	if s.known != nil && s.known.Fault == rec.Fault && s.fingerprint == "" {
		rec.Event = catalogue.Event{} // the same as before; once is enough
	}
	return item{outcome: outcome(rec, s, false), record: rec, known: s.known}
}

func sorted(list []string) []string {
	out := append([]string(nil), list...)
	sort.Strings(out)
	return out
}

func quote(p string) string { return source.Quote(p) }
