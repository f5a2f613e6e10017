package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/meta"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/write"
	"continuo/internal/write/ebraille"
	"continuo/internal/write/html"
	"continuo/internal/write/pef"
	writetext "continuo/internal/write/text"
)

// format is one format besides Braille ASCII.
type format struct {
	name, ext, about string
	write            func(*write.Edition, extra) ([]byte, error)
	folder           func(*write.Edition) ([]ebraille.File, error) // in place of write: the format is a folder
}

// formats are the values of --format, brf left out.
var formats = []format{
	{"text", ".txt", "Unicode braille text", plainWriter(writetext.Write), nil},
	{"html", ".html", "one page to read and check by eye, cells and print", plainWriter(html.Write), nil},
	{"pef", ".pef", "PEF, for embossers and other programs", writePEF, nil},
	{"ebraille", ".ebrl", "eBraille, with headings, notes and pages to jump by", writeEBraille, nil},
	{"ebraille-folder", folderEnding, "eBraille unpackaged, a folder", nil, ebrailleFiles},
}

// plainWriter is a writer without settings of its own.
func plainWriter(f func(*write.Edition) ([]byte, error)) func(*write.Edition, extra) ([]byte, error) {
	return func(e *write.Edition, _ extra) ([]byte, error) { return f(e) }
}

func writePEF(e *write.Edition, x extra) ([]byte, error) {
	return pef.Write(e, pef.Options{Paper: x.paper, NoBlank: x.noBlank})
}

// paperFlags are the flags for formats that have pages.
type paperFlags struct {
	size, numbers string
	bothSides     bool
	volume        int
}

func (p *paperFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&p.size, "page-size", "", "`SIZE` of the pages of a PEF file, cells and lines, such as 32x27; without it all lines stand on one page")
	flags.StringVar(&p.numbers, "page-numbers", "", "`WHERE` page numbers of a PEF file stand: "+either(profile.PaperNumbers)+"; without it "+profile.PaperNumbers[0])
	flags.BoolVar(&p.bothSides, "both-sides", false, "the pages of a PEF file are for both sides of the paper")
	flags.IntVar(&p.volume, "volume-pages", 0, "`N` pages (sides of paper) that a volume of a PEF file has at most; without it one volume")
	complete(cmd, "page-numbers", profile.PaperNumbers...)
}

// over puts the flags over the paper of the profile. Without PEF among the
// formats they would do nothing, and are refused.
func (p *paperFlags) over(paper profile.Paper, formats []format) (profile.Paper, error) {
	hint := "continuo help make lists the flags"
	if *p != (paperFlags{}) && !slices.ContainsFunc(formats, func(f format) bool { return f.name == "pef" }) {
		return paper, wrong("give --format pef too", "--page-size, --page-numbers, --both-sides and --volume-pages are for PEF files, and no PEF file is asked for")
	}
	if p.size != "" {
		size, err := profile.ParsePaper(p.size)
		if err != nil {
			return paper, wrong(hint, "--page-size %s", err)
		}
		paper.Cells, paper.Lines = size.Cells, size.Lines
	}
	if p.numbers != "" {
		paper.Numbers = p.numbers
	}
	paper.BothSides = paper.BothSides || p.bothSides
	if p.volume != 0 {
		paper.VolumePages = p.volume
	}
	if key, why := paper.Problem(); why != "" {
		return paper, wrong(hint, "page %s: %s", key, why)
	}
	return paper, nil
}

// brfFormat is the format that is always written: its account proves the rest.
const brfFormat = "brf"

func formatNames() []string {
	out := []string{brfFormat}
	for _, f := range formats {
		out = append(out, f.name)
	}
	return out
}

// formatValues are the names with what they are, for the shells.
func formatValues() []string {
	out := []string{brfFormat + "\tBraille ASCII, always written"}
	for _, f := range formats {
		out = append(out, f.name+"\t"+f.about)
	}
	return out
}

// chosen checks the values of --format and returns the formats besides Braille
// ASCII, in the order of the list, each once.
func chosen(names []string) ([]format, error) {
	want := map[string]bool{}
	for _, n := range names {
		n = strings.ToLower(strings.TrimSpace(n))
		if !slices.Contains(formatNames(), n) {
			return nil, wrong("continuo help make lists the flags", "--format must be %s, not %q", either(formatNames()), n)
		}
		want[n] = true
	}
	var out []format
	for _, f := range formats {
		if want[f.name] {
			out = append(out, f)
		}
	}
	return out, nil
}

// beside returns the name of a file of another format beside an edition.
func (f format) beside(edition string) string {
	if ext := filepath.Ext(edition); strings.EqualFold(ext, ".brf") {
		edition = strings.TrimSuffix(edition, ext)
	}
	return edition + f.ext
}

// asEdition is -o FILE as the name of the edition: an ending of a wanted format
// gives way to .brf, because the Braille ASCII edition stands beside it.
func asEdition(o string, list []format) string {
	for _, f := range list {
		if n := len(o) - len(f.ext); n > 0 && strings.EqualFold(o[n:], f.ext) {
			return o[:n] + ".brf"
		}
	}
	return o
}

// extra is what make writes besides the edition in Braille ASCII, its account
// and its report.
type extra struct {
	formats   []format
	title     meta.Title
	from      string // metadata file, "" for none
	paper     profile.Paper
	noBlank   bool     // no blank lines, as in the edition
	fixed     []string // flags that were given and that only volumes can take
	decisions string   // named file of decisions, "" for the one beside the title
}

// sibling is one file of another format, or a folder of files.
type sibling struct {
	path  string
	f     format
	data  []byte
	files []ebraille.File // of a folder; else nil
}

// sum is the SHA-256 of the file, hex, or that of the files of a folder.
func (s sibling) sum() string {
	if s.files != nil {
		return sumFiles(s.files)
	}
	h := sha256.Sum256(s.data)
	return hex.EncodeToString(h[:])
}

// writeFormats makes the files of the other formats in memory.
func (m *made) writeFormats(x extra) error {
	for _, f := range x.formats {
		e := &write.Edition{Book: m.result.Book, Meta: x.title, Variant: m.variant(), Data: m.result.Edition, Starts: m.result.Starts,
			Width: m.result.Stats.Width, Words: m.words, Title: m.titleLines(), Name: strings.TrimSuffix(filepath.Base(m.out.edition), ".brf")}
		s := sibling{path: f.beside(m.out.edition), f: f}
		var err error
		if f.folder != nil {
			s.files, err = f.folder(e)
		} else {
			s.data, err = f.write(e, x)
		}
		if err != nil {
			return cannotWrite(f, err)
		}
		m.siblings = append(m.siblings, s)
	}
	return nil
}

// recorded begins the line of a report that names a file of another format.
const recorded = "also written: "

// siblingLines are the lines of the report on files of other formats; they are
// how such a file is known again.
func (m *made) siblingLines() []string {
	var out []string
	for _, s := range m.siblings {
		out = append(out, fmt.Sprintf("%s%s, %s, sha256 %s", recorded, filepath.Base(s.path), s.f.about, s.sum()))
	}
	return out
}

// earlier reads which files of other formats a report names, with their sums.
func earlier(report string) map[string]string {
	out := map[string]string{}
	f, err := os.Open(report)
	if err != nil {
		return out
	}
	defer f.Close()
	sc := bufio.NewScanner(io.LimitReader(f, 1<<26))
	sc.Buffer(nil, 1<<20)
	for sc.Scan() {
		rest, ok := bytes.CutPrefix(sc.Bytes(), []byte(recorded))
		if !ok {
			continue
		}
		line := string(rest)
		i, k := strings.LastIndex(line, ", sha256 "), strings.Index(line, ", ")
		if i > 0 && k > 0 {
			out[line[:k]] = line[i+len(", sha256 "):]
		}
	}
	return out
}

// oursToo is an error when a file of another format is there and is not what
// the report beside it names.
func (o outputs) oursToo(hint string) error {
	known := earlier(o.report)
	for _, p := range o.more {
		if _, err := os.Lstat(p); err != nil {
			continue
		}
		if finderFile(p) {
			continue // a list that can be made again any time
		}
		sum, err := pathSum(p)
		if err != nil || known[filepath.Base(p)] == "" {
			return refuse(hint, "%s exists and the report beside it does not name it", source.Quote(p))
		}
		if known[filepath.Base(p)] != sum {
			return refuse(hint, "%s was changed after it was made", source.Quote(p))
		}
	}
	return nil
}

// stale lists files of other formats that an earlier run wrote beside the
// edition and this one does not write.
func (o outputs) stale() []string {
	var out []string
	for name := range earlier(o.report) {
		p := filepath.Join(filepath.Dir(o.edition), name)
		if _, err := os.Lstat(p); err == nil && !slices.Contains(o.more, p) && filepath.Base(name) == name {
			out = append(out, p)
		}
	}
	slices.Sort(out)
	return out
}
