// Package ebrl checks a publication against the rules of eBraille 1.0 (DAISY
// Specification, 14 August 2025) and those of EPUB 3.3 and EPUB Accessibility
// 1.1 that it builds on. It shares no code with the writer and trusts nothing:
// sizes, names, nesting and entities of a hostile file end in a finding or in
// an error of type *Refused, within the limits named here.
package ebrl

import (
	"fmt"
	"io"
	"io/fs"
	"slices"
)

// Limits. A publication beyond one of them is not checked, and the error says
// which.
const (
	MaxPackage   = 1 << 30   // bytes of a package
	MaxDirectory = 16 << 20  // bytes read to list a package
	MaxEntries   = 10_000    // files of a publication
	MaxTotal     = 1 << 30   // bytes of all files together, unpacked
	MaxDocument  = 16 << 20  // bytes of one XML file or style sheet
	MaxText      = 256 << 20 // bytes of all XML files and style sheets
	MaxRatio     = 200       // times that a file of more than 1 MiB may shrink when packed
	MaxDepth     = 256       // elements within one another
	MaxElements  = 400_000   // elements of one document
	MaxAll       = 4_000_000 // elements of all documents
	MaxLinks     = 500_000   // links of all documents together
	MaxFindings  = 1_000     // findings that are kept; the others are counted
	maxOfARule   = 20        // findings of one rule that are kept for one file
)

// Finding is one breach of a rule. Line is that of the XML or CSS text, from 1;
// 0 when the file as a whole is meant. File is its path in the publication,
// empty for the publication itself.
type Finding struct {
	Rule    string `json:"rule"`
	Must    bool   `json:"must"`
	Section string `json:"section"`
	File    string `json:"file,omitempty"`
	Line    int    `json:"line,omitempty"`
	Text    string `json:"text"`
}

// Place is the file and line in words, empty for the publication as a whole.
func (f Finding) Place() string {
	switch {
	case f.File == "":
		return ""
	case f.Line == 0:
		return f.File
	}
	return fmt.Sprintf("%s line %d", f.File, f.Line)
}

// Report is the outcome of a check. Musts and Shoulds count all findings, also
// those that are not kept. OK says that no MUST is broken.
type Report struct {
	OK        bool      `json:"ok"`
	Musts     int       `json:"musts_broken"`
	Shoulds   int       `json:"shoulds_broken"`
	Files     int       `json:"files"`
	Documents int       `json:"documents"` // in the spine
	Pages     int       `json:"print_pages"`
	Findings  []Finding `json:"findings"`
}

// Refused is the error of a file that cannot be checked at all: no ZIP, damaged,
// or beyond a limit.
type Refused struct{ Why string }

func (e *Refused) Error() string { return e.Why }

func refuse(format string, a ...any) error { return &Refused{fmt.Sprintf(format, a...)} }

// Package checks a packaged publication. name is its file name.
func Package(name string, r io.ReaderAt, size int64) (*Report, error) {
	c := newChecker()
	if err := c.openZip(name, r, size); err != nil {
		return nil, err
	}
	return c.run()
}

// Folder checks an unpackaged publication.
func Folder(dir fs.FS) (*Report, error) {
	c := newChecker()
	if err := c.openFolder(dir); err != nil {
		return nil, err
	}
	return c.run()
}

// checker is the work on one publication.
type checker struct {
	rep      Report
	files    map[string]*entry
	order    []string
	packaged bool
	failed   error // a limit that was met
	seen     map[string]int

	pkg   *packageDoc
	docs  map[string]*document
	links []link
	nLink int

	text     int64 // bytes of XML and style sheets read
	elements int   // of all documents

	pageLists int
}

// entry is one file of the publication. read returns all of its bytes.
type entry struct {
	size int64
	read func() ([]byte, error)
}

func newChecker() *checker {
	return &checker{files: map[string]*entry{}, docs: map[string]*document{}, seen: map[string]int{}, rep: Report{Findings: []Finding{}}}
}

// add takes down a breach of a rule.
func (c *checker) add(rule, file string, line int, format string, a ...any) {
	r, ok := rules[rule]
	if !ok {
		panic("no rule " + rule)
	}
	if r.Must {
		c.rep.Musts++
	} else {
		c.rep.Shoulds++
	}
	key := rule + " " + file
	if c.seen[key]++; c.seen[key] > maxOfARule || len(c.rep.Findings) >= MaxFindings {
		return
	}
	c.rep.Findings = append(c.rep.Findings, Finding{rule, r.Must, r.Section, file, line, clip(fmt.Sprintf(format, a...))})
}

// clip keeps a message to a line of a sane length.
func clip(s string) string {
	const most = 300
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}

// run makes all checks in order: container, package document, entry page,
// content, style sheets, links.
func (c *checker) run() (*Report, error) {
	c.rep.Files = len(c.order)
	c.checkNames()
	c.checkContainer()
	c.checkPackage()
	c.checkResources()
	c.checkEntryPage()
	c.checkLinks()
	if c.failed != nil {
		return nil, c.failed
	}
	slices.SortStableFunc(c.rep.Findings, func(a, b Finding) int {
		if a.Must != b.Must {
			if a.Must {
				return -1
			}
			return 1
		}
		return 0
	})
	c.rep.OK = c.rep.Musts == 0
	return &c.rep, nil
}

// data reads a file of the publication; it is nil when there is none or it
// cannot be read, which is told.
func (c *checker) data(name string) []byte {
	e := c.files[name]
	if e == nil || c.failed != nil {
		return nil
	}
	if e.size > MaxDocument {
		c.failed = refuse("%q has %d bytes, more than %d", name, e.size, MaxDocument)
		return nil
	}
	if c.text += e.size; c.text > MaxText {
		c.failed = refuse("the documents have more than %d bytes together", MaxText)
		return nil
	}
	b, err := e.read()
	if err != nil {
		c.add("C10", name, 0, "cannot be read: %v", err)
		return nil
	}
	return b
}
