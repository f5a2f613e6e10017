package catalogue

import "time"

// State is what triage says of a title.
type State string

const (
	New   State = "new"   // found, not converted yet
	Ready State = "ready" // proved complete, nothing doubtful
	Look  State = "look"  // some places want a person
	Stop  State = "stop"  // a volume is missing, damaged or foreign, or there is no edition
)

// States lists the states, the one that asks most of a person first.
func States() []State { return []State{Stop, Look, Ready, New} }

// Title is one title as lists show it.
type Title struct {
	Key         string  `json:"key"` // never changes
	Location    string  `json:"location"`
	FoundBy     string  `json:"found_by"`
	Sidecar     string  `json:"sidecar"` // files of the title beside its sources are named Sidecar + ".toml", Sidecar + ".decisions.toml"
	State       State   `json:"state"`
	Confidence  float64 `json:"confidence"` // 0 to 1: how often an edition like this one is right
	Fault       string  `json:"fault,omitempty"`
	Title       string  `json:"title"` // in print
	TitleCells  string  `json:"title_cells"`
	Author      string  `json:"author"`
	AuthorCells string  `json:"author_cells"`
	Code        string  `json:"code"`
	Contracted  bool    `json:"contracted"`
	Capitals    bool    `json:"capitals"`
	CodeSure    bool    `json:"code_sure"`
	Layout      string  `json:"layout"`
	Pages       int     `json:"pages"`
	Bytes       int64   `json:"bytes"`
	Fingerprint string  `json:"fingerprint"`
	Content     string  `json:"content"`
	Tool        string  `json:"tool"`
	Added       string  `json:"added"`
	Made        string  `json:"made"` // when the record was last written, RFC 3339; "" never
	Gone        bool    `json:"gone,omitempty"`
	Volumes     int     `json:"volumes"`
	Best        string  `json:"reason,omitempty"` // the best reason for its state
}

// Volume is one source file of a title, in reading order.
type Volume struct {
	Number     int    `json:"number"` // as it says itself, 0 unknown
	Of         int    `json:"of"`
	Prelim     bool   `json:"preliminary,omitempty"`
	Name       string `json:"name"`
	Path       string `json:"path"`
	Bytes      int64  `json:"bytes"`
	SHA256     string `json:"sha256"`
	Encoding   string `json:"encoding"`
	Width      int    `json:"width"`
	Height     int    `json:"height"`
	Pages      int    `json:"pages"`
	Layout     string `json:"layout"`
	FirstPage  string `json:"first_braille_page"`
	LastPage   string `json:"last_braille_page"`
	PrintFirst string `json:"first_print_page"`
	PrintLast  string `json:"last_print_page"`
	Final      string `json:"last_sign,omitempty"` // cell, line or feed
	Closing    bool   `json:"says_it_ends,omitempty"`
}

// File is a file on disk as it was when its bytes were read.
type File struct {
	Path     string
	Bytes    int64
	Modified time.Time
	Seen     time.Time
	SHA256   string
}

// PassedOver is a file or folder that is no part of any title, and why.
type PassedOver struct {
	Path string `json:"path"`
	Why  string `json:"why"`
}

// Edition is one file that was made of a title. Path is relative to the folder
// of the catalogue, with slashes. Format is brf, account, report or the name of
// another format.
type Edition struct {
	Format   string    `json:"format"`
	Path     string    `json:"path"`
	Bytes    int64     `json:"bytes"`
	SHA256   string    `json:"sha256"`
	Modified time.Time `json:"-"`
}

// Finding is one thing noticed; Place is its stable id.
type Finding struct {
	Place    string `json:"place"`
	Kind     string `json:"kind"`
	Severity string `json:"severity"` // note, look, stop
	File     string `json:"file,omitempty"`
	Page     int    `json:"page,omitempty"`
	Line     int    `json:"line,omitempty"`
	Text     string `json:"text"`
	Cells    string `json:"cells,omitempty"`
	Print    string `json:"print,omitempty"`
}

// Reason is why a title has its state.
type Reason struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// Proof is the outcome of the distrustful reader. The figures are cells that
// are not blank.
type Proof struct {
	Proved   bool   `json:"proved"`
	Problems int    `json:"problems"`
	First    string `json:"first,omitempty"` // the first problems, a line each
	Cells    int64  `json:"cells"`
	Kept     int64  `json:"kept"`
	Moved    int64  `json:"moved"`
	Replaced int64  `json:"replaced"`
	LeftOut  int64  `json:"left_out"`
	Written  int64  `json:"written"`
	Edition  string `json:"edition_sha256"`
	Tool     string `json:"tool"`
	At       string `json:"at"` // set by Save
}

// Heading is one heading of the edition.
type Heading struct {
	Line  int    `json:"line"` // of the edition, from 1
	Level int    `json:"level,omitempty"`
	Cells string `json:"cells"`
	Print string `json:"print"`
}

// Metadata is one value that is known of a title. Origin is title.toml, title
// page or person.
type Metadata struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Origin string `json:"origin"`
}

// Event is one line of a title's history.
type Event struct {
	At   string `json:"at"`
	Who  string `json:"who"`
	What string `json:"what"`
	Text string `json:"text,omitempty"`
}

// Record is all that a run knows of one title. Title.Key names it.
type Record struct {
	Title
	Volumes    []Volume
	Files      []File
	PassedOver []PassedOver
	Editions   []Edition
	Findings   []Finding
	Reasons    []Reason
	Proof      *Proof
	Figures    map[string]int64
	Headings   []Heading
	Metadata   []Metadata
	Event      Event // for the history; At is set by Save
}

// Detail is one title with all that belongs to it.
type Detail struct {
	Title
	VolumeList []Volume         `json:"volume_list"`
	PassedOver []PassedOver     `json:"passed_over"`
	Editions   []Edition        `json:"editions"`
	Findings   []Finding        `json:"findings"`
	Reasons    []Reason         `json:"reasons"`
	Proof      *Proof           `json:"proof"`
	Figures    map[string]int64 `json:"figures"`
	Headings   []Heading        `json:"headings"`
	Metadata   []Metadata       `json:"metadata"`
	Decisions  []Decision       `json:"decisions"`
	History    []Event          `json:"history"`
}

// Decision is what a person decided about a place. Undone is when it was taken
// back, "" while it stands.
type Decision struct {
	ID       int64  `json:"id"`
	Place    string `json:"place"`
	Kind     string `json:"kind"`
	Choice   string `json:"choice"`
	Who      string `json:"who"`
	At       string `json:"at"`
	Note     string `json:"note,omitempty"`
	Undone   string `json:"undone,omitempty"`
	UndoneBy string `json:"undone_by,omitempty"`
}
