package batch

import (
	"runtime"
	"time"

	"continuo/internal/atomicfile"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/english"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// Job is one title to convert.
type Job struct {
	Key     string
	Name    string // file name of the edition
	Sidecar string // files of the title beside its sources: Sidecar + ".toml", Sidecar + ".decisions.toml"
	Files   []*source.File
	Skipped []source.Skipped

	Decisions     *decide.File // what people decided about the title
	DecisionsFile string       // where that stands, "" nowhere
}

// Maker converts one title in memory and writes its report. It must depend on
// the job alone, and may be called from several goroutines at once.
type Maker func(Job) (*convert.Result, []byte, error)

// Options are the settings of a run.
type Options struct {
	Roots    []string       // files, folders and zips
	Rule     *profile.Files // how files are named; nil for the common rule
	Make     Maker
	Settings string        // everything that the maker's bytes depend on, but sources and tool
	Words    english.Words // structure words, for author lines
	Prove    bool          // prove every edition
	House    []byte        // the text of a profile with house rules, for the proof; nil none
	Rules    []decide.Rule // house rules, for what only the whole title tells
	Said     check.Words   // structure words of a profile, for the proof
	Again    bool          // convert what has not changed too
	Rehash   bool          // read every source, whatever its size and time say
	Force    bool          // write over editions that somebody changed
	Workers  int           // titles at once; 0: as many as there are cores
	Who      string        // for the history; "" for the tool
	Every    time.Duration // between two calls of Progress; 0: 5 seconds
	Progress func(Progress)

	writeAll func([]atomicfile.Item) error // tests put a failing disk in its place
}

func (o *Options) defaults() {
	if o.Workers <= 0 {
		o.Workers = runtime.NumCPU()
	}
	if o.Who == "" {
		o.Who = "continuo"
	}
	if o.Every <= 0 {
		o.Every = 5 * time.Second
	}
	if o.Progress == nil {
		o.Progress = func(Progress) {}
	}
	if o.writeAll == nil {
		o.writeAll = atomicfile.WriteAll
	}
}

// Progress is how far a run is. Bytes are those of the sources on disk.
type Progress struct {
	Done, Total       int // titles as they were found
	Failed            int
	Bytes, TotalBytes int64
	Elapsed, Left     time.Duration // Left is 0 while it cannot be told
}

// Outcome is what came of one title.
type Outcome struct {
	Key, Location string
	Title         string // in print
	State         catalogue.State
	Made          bool // in this run
	Fault         string
	Reason        string
	Bytes         int64
}

// Summary is the end of a run. Outcomes are in the order in which the titles
// were found.
type Summary struct {
	Outcomes   []Outcome
	Made       int
	Unchanged  int
	Failed     int // titles without an edition of their present sources
	Gone       int // titles whose sources are no longer there
	Moved      int
	Bytes      int64 // of the sources of all titles
	MadeBytes  int64 // of those converted
	PassedOver []catalogue.PassedOver
	Elapsed    time.Duration
	Whole      bool // every title was looked at
}
