package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/english"
	"continuo/internal/source"
)

// readFlags are the flags of read as they were given.
type readFlags struct {
	code, output            string
	uncontracted, noCaps    bool
	pages, headings         bool
	gradeGiven, capitalsSet bool
}

// codeNames are the values of --code.
var codeNames = map[string]english.Code{"ueb": english.UEB, "seb": english.SEB, "ebae": english.EBAE}

func readCommand(c console) *cobra.Command {
	var f readFlags
	cmd := &cobra.Command{
		Use:   "read FILE",
		Short: "a braille file or an edition in print, for people who do not read braille",
		Long: `FILE is one braille file, a paper volume or an edition, in Braille ASCII, Unicode braille or PEF.
The print goes to standard output, or to the file of -o in UTF-8, and nothing else with it: a paragraph is one line, words divided at a line end are whole, page heads and page numbers are set aside. The code that was found and every doubt go to standard error. What cannot be read stands in the print as Unicode braille, passages in another code between ⟦ and ⟧.
This is a reading for looking things up, not a proof of the braille: a qualified proofreader decides where a slip can hurt.`,
		Example: `continuo read mybook-continuous.brf
continuo read mybook-1.brf -o mybook-1.txt
continuo read mybook-1.brf --pages
  page by page, with page numbers and page heads
continuo read mybook-continuous.brf --headings
  each heading on a line that begins with the word heading and its number
continuo read old.brf --code seb --no-capitals`,
		Args:              exactly(1, "one FILE"),
		ValidArgsFunction: completeFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			f.gradeGiven, f.capitalsSet = cmd.Flags().Changed("uncontracted"), cmd.Flags().Changed("no-capitals")
			if err := f.check(); err != nil {
				return err
			}
			return readFileInPrint(c, args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.StringVarP(&f.output, "output", "o", "", "`FILE` a new file for the print; without it standard output")
	flags.StringVar(&f.code, "code", "", "`CODE` the braille code: ueb, seb or ebae, contracted and with capitals; without it the code is found")
	flags.BoolVar(&f.uncontracted, "uncontracted", false, "the braille is uncontracted")
	flags.BoolVar(&f.noCaps, "no-capitals", false, "the braille shows no capitals")
	flags.BoolVar(&f.pages, "pages", false, "page by page: a line in square brackets before each page tells its numbers and its head")
	flags.BoolVar(&f.headings, "headings", false, "heading by heading: the line of each heading begins with its number")
	complete(cmd, "code", "ueb\tUnified English Braille", "seb\tStandard English Braille, as used in Britain", "ebae\tEnglish Braille American Edition")
	return cmd
}

func (f readFlags) check() error {
	hint := "continuo help read lists the flags"
	if _, ok := codeNames[strings.ToLower(f.code)]; f.code != "" && !ok {
		return wrong(hint, "--code must be ueb, seb or ebae, not %q", f.code)
	}
	if f.pages && f.headings {
		return wrong(hint, "--pages and --headings exclude each other")
	}
	return nil
}

// given is the variant that the flags ask for: found, where they say nothing.
func (f readFlags) given(found english.Variant) english.Variant {
	if f.code != "" {
		found = english.Variant{Code: codeNames[strings.ToLower(f.code)], Contracted: true, Capitals: true}
	}
	if f.gradeGiven {
		found.Contracted = !f.uncontracted
	}
	if f.capitalsSet {
		found.Capitals = !f.noCaps
	}
	return found
}

func readFileInPrint(c console, path string, f readFlags) error {
	if _, err := os.Lstat(f.output); f.output != "" && err == nil {
		return refuse("name a file that is not there yet", "%s exists already", source.Quote(f.output))
	}
	work := c.begin("reading " + path)
	defer work.end()
	file, err := openOne(path)
	if err != nil {
		return err
	}
	t := readText(file, editionWidth(path))
	codes := t.codes(f)
	p := newPrinter(t, codes)
	p.mark = []byte(editionMark(path))
	var print bytes.Buffer
	w := bufio.NewWriter(&print)
	p.write(w, f)
	w.Flush()
	if err := c.put(print.Bytes(), f.output); err != nil {
		return err
	}
	if c.told(t, codes, p, f) {
		return person
	}
	return nil
}

// put writes a result to a new file, or to standard output.
func (c console) put(text []byte, output string) error {
	if output == "" {
		_, err := c.out.Write(text)
		return err
	}
	if err := atomicfile.Write(output, text); err != nil {
		return refuse("nothing was written; choose another place with -o FILE", "%s", err)
	}
	return nil
}

// openOne reads one braille file.
func openOne(path string) (*source.File, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, refuse("FILE is one braille file or an edition", "no such file: %s", source.Quote(path))
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, refuse("name one file in it; continuo look "+quoted(path)+" lists them", "%s is a folder; read takes one file", source.Quote(path))
	case info.Size() > source.MaxBytes:
		return nil, refuse("", "%s is larger than %d bytes", source.Quote(path), source.MaxBytes)
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if strings.EqualFold(filepath.Ext(path), ".ebrl") {
		return nil, refuse("make an edition of it first: continuo make "+quoted(path), "%s is an eBraille publication; read takes one braille file", source.Quote(path))
	}
	if strings.HasPrefix(string(raw[:min(4, len(raw))]), "PK\x03\x04") {
		return nil, refuse("take the files out of the zip first; continuo look "+quoted(path)+" lists them", "%s is a zip; read takes one file", source.Quote(path))
	}
	files, err := source.ParseAll(path, raw)
	switch {
	case err != nil:
		return nil, refuse("FILE is braille, in Braille ASCII, Unicode braille or PEF", "%s", err)
	case len(files) > 1:
		return nil, refuse("make one book of it first: continuo make "+quoted(path), "%s holds %d volumes; read takes one", source.Quote(path), len(files))
	}
	return files[0], nil
}

// maxTold is how many places of one kind are told.
const maxTold = 20

// told says on the error stream what was found, and reports whether a place
// wants a person's eye.
func (c console) told(t *text, codes *codeMix, p *printer, f readFlags) bool {
	note := func(format string, a ...any) { fmt.Fprintf(c.err, format+"\n", a...) }
	note("code: %s", codes.name)
	if codes.doubt != "" {
		note("look: %s", codes.doubt)
	}
	for _, part := range codes.parts {
		note("look: from %s to %s the code is %s, and is read so", t.place(part.from), t.place(part.to), part.variant)
	}
	switch {
	case f.pages && len(t.v.Pages) == 1 && !t.v.File.FormFeed:
		note("pages: the file has none")
	case f.pages && t.v.Divided:
		note("pages: the file has no form feeds; found where page numbers recur")
	case !f.pages && t.heads+t.numbers > 0:
		note("set aside: %s; --pages shows them", setAside(t))
	}
	if p.hyphens > 0 {
		note("note: %s at a line end stayed, as nothing tells whether the word has one", count(p.hyphens, "hyphen"))
	}
	for i, u := range p.unread {
		if i == maxTold {
			note("look: %s", count(len(p.unread)-i, "more place")+" not read")
			break
		}
		note("look: %s: %s", t.place(u.line), u.what)
	}
	odd := foreign([]*source.File{t.v.File})
	for _, line := range findingLines(odd, english.Variant{}) {
		note("%s", line)
	}
	return codes.doubt != "" || len(codes.parts)+len(p.unread)+len(odd) > 0
}

func setAside(t *text) string {
	heads, numbers := count(t.heads, "page head"), count(t.numbers, "page number")
	switch {
	case t.numbers == 0:
		return heads
	case t.heads == 0:
		return numbers
	}
	return heads + ", " + numbers
}
