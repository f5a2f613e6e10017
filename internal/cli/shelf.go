package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/lazy"
	"continuo/internal/meta"
	"continuo/internal/shelf"
	"continuo/internal/source"
)

// shelfWishes are the flags that say what a reader wants.
type shelfWishes struct {
	format, blank, markers, code, folders string
	width, indexWidth, display            int
	uncontracted, plainIndex              bool
}

func (w *shelfWishes) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&w.format, "format", "brf", "`FORMAT` of the books: "+either(shelf.Formats()))
	flags.IntVar(&w.width, "width", -1, "`N` cells a line, 12 to 200, or 0 for one line a paragraph; without it as the editions are")
	addDisplay(cmd, &w.display)
	flags.StringVar(&w.blank, "blank-lines", "sparse", "`WHICH` sparse or none")
	flags.StringVar(&w.markers, "end-markers", "keep", "`WHAT` keep or drop the short line after a chapter or section; keep is as the editions are")
	flags.BoolVar(&w.uncontracted, "uncontracted-only", false, "only titles in uncontracted braille")
	flags.StringVar(&w.code, "index-code", "ueb", "`CODE` the index is written in: ueb, seb or ebae")
	flags.BoolVar(&w.plainIndex, "index-uncontracted", false, "the index is in uncontracted braille")
	flags.IntVar(&w.indexWidth, "index-width", 0, "`N` cells a line of the index; without it --width, or 32")
	flags.StringVar(&w.folders, "folders", "", "`HOW` books stand in folders: none, letter (of the title) or author; without it as the card has it, or letter when there are many")
	complete(cmd, "format", shelf.Formats()...)
	complete(cmd, "blank-lines", "sparse", "none")
	complete(cmd, "end-markers", "keep", "drop")
	complete(cmd, "index-code", "ueb", "seb", "ebae")
	complete(cmd, "folders", shelf.Groupings()...)
}

// wishes checks the flags.
func (w *shelfWishes) wishes() (shelf.Wishes, error) {
	out := shelf.Wishes{Format: w.format, Width: w.width, Blank: w.blank, Uncontracted: w.uncontracted, IndexCode: strings.ToLower(w.code), IndexPlain: w.plainIndex, IndexWidth: w.indexWidth}
	out.Markers = markersWish(w.markers)
	if out.IndexWidth == 0 && w.width >= minWidth {
		out.IndexWidth = w.width
	}
	if w.folders != "" && !slices.Contains(shelf.Groupings(), w.folders) {
		return out, wrong("continuo help shelf build lists the flags", "--folders must be %s, not %q", either(shelf.Groupings()), w.folders)
	}
	return out, checkWishes(out)
}

// markersWish is the wish about end markers; to keep them is no wish of its own.
func markersWish(s string) string {
	if s == "keep" {
		return ""
	}
	return s
}

func checkWishes(w shelf.Wishes) error {
	hint := "continuo help shelf build lists the wishes"
	if _, err := w.Variant(); err != nil {
		return wrong(hint, "%s", err)
	}
	switch {
	case !slices.Contains(shelf.Formats(), w.Format):
		return wrong(hint, "the format must be %s, not %q", either(shelf.Formats()), w.Format)
	case w.Width != -1 && w.Width != 0 && (w.Width < minWidth || w.Width > maxWidth):
		return wrong(hint, "the width must be 0 or %d to %d, not %d", minWidth, maxWidth, w.Width)
	case w.Blank != "sparse" && w.Blank != "none":
		return wrong(hint, "blank lines must be sparse or none, not %q", w.Blank)
	case w.Markers != "" && w.Markers != "drop":
		return wrong(hint, "end markers must be keep or drop, not %q", w.Markers)
	case w.IndexWidth != 0 && (w.IndexWidth < minWidth || w.IndexWidth > maxWidth):
		return wrong(hint, "the width of the index must be %d to %d, not %d", minWidth, maxWidth, w.IndexWidth)
	}
	return nil
}

// shelfCall are the flags of shelf build.
type shelfCall struct {
	shelfWishes
	folder, list, zip, reader, size string
	f                               catalogue.Filter
	text                            string
	withLook, remove, asJSON        bool
}

func shelfCommand(c console) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "shelf COMMAND",
		Short: "a reader's card or download, filled from the archive",
		Long: `Fills a card, or packs a download, with editions of the archive: short safe file names, an index in braille, as a web page and as a table, and checksums.
A card can be filled again at any time: only what is new or changed is written.`,
		Example: "continuo shelf build /media/card --reader r17 --since 2026-01-01\ncontinuo shelf build --zip r17.zip --list wanted.txt --format text\ncontinuo shelf verify /media/card",
	}
	return group(cmd, shelfBuildCommand(c), shelfListCommand(c), shelfVerifyCommand(c))
}

func shelfBuildCommand(c console) *cobra.Command {
	var s shelfCall
	cmd := &cobra.Command{
		Use:   "build [CARD]",
		Short: "fill a card, or pack a download with --zip",
		Long: `CARD is the folder of the card, such as /media/card or E:\.
Titles are chosen by the flags below, all that are ready without one. Titles that want a person's eye are delivered only with --with-look, those to stop at never; what is not delivered is told with the reason, here and in the index.
Nothing on the card is written over that this program did not put there. Every file is read back after it was written. When the build is stopped, the next one goes on.`,
		Example: `continuo shelf build /media/card --reader r17
continuo shelf build /media/card --since 2026-01-01
  adds what is new since then
continuo shelf build /media/card --subject travel --display 20
continuo shelf build --zip r17.zip --list wanted.txt --format ebraille
  wanted.txt has a title key, or a title, on each line`,
		Args: atMost(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if _, err := forDisplay(cmd, s.display, &s.width, &s.blank); err != nil {
				return err
			}
			return s.run(c, args)
		},
	}
	s.shelfWishes.add(cmd)
	flags := cmd.Flags()
	addCatalogue(cmd, &s.folder)
	flags.StringVar(&s.zip, "zip", "", "`FILE` pack a download instead of filling a card")
	flags.StringVar(&s.reader, "reader", "", "`CODE` of the reader; a code, never a name")
	flags.StringVar(&s.list, "list", "", "`FILE` with a title key, or a title, on each line")
	flags.StringVar(&s.text, "find", "", "`WORDS` that stand in title, author, subject or headings")
	flags.StringVar(&s.f.Title, "title", "", "`TEXT` that is in the title")
	flags.StringVar(&s.f.Author, "author", "", "`TEXT` that is in the author line")
	flags.StringVar(&s.f.Subject, "subject", "", "`TEXT` that is in a subject of title.toml")
	flags.StringVar(&s.f.Code, "code", "", "`CODE` UEB, SEB, EBAE")
	flags.Var((*since)(&s.f.Since), "since", "`DATE` made on this day or later, as 2026-01-31")
	flags.StringVar(&s.size, "size", "", "`N` bytes that may be used, such as 500M or 4G; without it what is free")
	flags.BoolVar(&s.withLook, "with-look", false, "titles that want a person's eye too")
	flags.BoolVar(&s.remove, "remove", false, "take titles off the card that are not among the chosen")
	flags.BoolVar(&s.asJSON, "json", false, "print one JSON object instead of lines")
	return cmd
}

func (s *shelfCall) run(c console, args []string) error {
	if (len(args) == 1) == (s.zip != "") {
		return wrong("continuo shelf build CARD, or continuo shelf build --zip FILE", "name a card or --zip FILE, one of them")
	}
	w, err := s.wishes()
	if err != nil {
		return err
	}
	if err := readerCode(s.reader); s.reader != "" && err != nil {
		return err
	}
	limit, err := bytesOf(s.size)
	if err != nil {
		return err
	}
	cat, err := shelfCatalogue(s.folder)
	if err != nil {
		return err
	}
	defer cat.Close()
	titles, missing, err := s.titles(cat)
	if err != nil {
		return err
	}
	items, err := itemsOf(cat, titles, w, s.withLook)
	if err != nil {
		return err
	}
	o := shelf.Options{Reader: s.reader, Wishes: w, Grouping: s.folders, Remove: s.remove, Limit: limit}
	r, to, err := fill(c, cat, args, s.zip, append(items, missing...), o)
	if err != nil {
		return err
	}
	return c.shelved(r, to, s.asJSON)
}

// shelfCatalogue opens a catalogue that must be there, to write to.
func shelfCatalogue(folder string) (*catalogue.Catalogue, error) {
	return catalogueIn(folder, catalogue.Open)
}

// fill builds the card or packs the download and notes it in the catalogue.
func fill(c console, cat *catalogue.Catalogue, args []string, zip string, items []shelf.Item, o shelf.Options) (*shelf.Result, string, error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	work := c.begin("filling the card")
	defer work.end()
	o.Progress = func(done, total int) {
		work.next(fmt.Sprintf("%d of %s written", done, count(total, "title")))
	}
	if zip != "" {
		data, r, err := shelf.Pack(ctx, items, o)
		if err != nil {
			return nil, zip, shelfFault(err)
		}
		if _, err := os.Lstat(zip); err == nil {
			return nil, zip, refuse("name a file that is not there yet", "%s exists already", source.Quote(zip))
		}
		if err := atomicfile.Write(zip, data); err != nil {
			return nil, zip, refuse("nothing was written", "%s", err)
		}
		return r, zip, nil
	}
	r, err := fillCard(ctx, cat, args[0], items, o)
	return r, args[0], err
}

// fillCard builds a card and notes it in the catalogue.
func fillCard(ctx context.Context, cat *catalogue.Catalogue, dir string, items []shelf.Item, o shelf.Options) (*shelf.Result, error) {
	r, err := shelf.Build(ctx, dir, items, o)
	if err != nil {
		return nil, shelfFault(err)
	}
	if card, err := shelf.Read(dir); err == nil {
		var list []catalogue.CardTitle
		for _, e := range card.Titles {
			list = append(list, catalogue.CardTitle{Key: e.Key, Format: o.Wishes.Format, Path: e.Path, Bytes: e.Bytes, SHA256: e.SHA256})
		}
		wishes, _ := json.Marshal(o.Wishes)
		if err := cat.AddCard(context.Background(), filepath.Base(dir), card.Reader, string(wishes), list); err != nil {
			return r, err
		}
	}
	return r, nil
}

// damagedCard is what to do when the record of a card cannot be read.
const damagedCard = "move what is on the card elsewhere, or take another one, and fill it anew"

func shelfFault(err error) error {
	var full *shelf.Full
	var none *shelf.NoFolder
	var damaged *shelf.Damaged
	var other *shelf.OtherReader
	switch {
	case errors.As(err, &other):
		return refuse("put in the card of reader "+other.Want+"; to give this one to another reader, remove the folders books and continuo from it first", "%s", err)
	case errors.As(err, &full):
		return refuse("choose fewer titles, or a larger card; nothing was written", "the card is too small: %s are needed, %s are there", sizeWords(full.Need), sizeWords(full.Free))
	case errors.Is(err, context.Canceled):
		return refuse("give the same command again: it goes on where it stopped", "stopped; the files on the card are whole")
	case errors.As(err, &none):
		return refuse("put the card in, or make the folder first", "%s", err)
	case errors.As(err, &damaged):
		return refuse(damagedCard, "%s", err)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return refuse("take the write protection off the card, or put in another one", "the card cannot be written to: %s", err)
	case errors.Is(err, shelf.ErrBusy):
		return refuse("wait until it is done", "%s", shelf.ErrBusy)
	}
	return refuse("what was written is whole; the same command goes on", "%s", err)
}

// sizeWords is a number of bytes with its unit.
func sizeWords(n int64) string {
	switch {
	case n >= 10<<30:
		return fmt.Sprintf("%d GB", n>>30)
	case n >= 10<<20:
		return fmt.Sprintf("%d MB", n>>20)
	case n >= 10<<10:
		return fmt.Sprintf("%d kB", n>>10)
	}
	return fmt.Sprintf("%d bytes", n)
}

// bytesOf reads a size such as 500M.
func bytesOf(s string) (int64, error) {
	if s == "" {
		return 0, nil
	}
	m := sizeForm().FindStringSubmatch(s)
	if m == nil {
		return 0, wrong("for example --size 500M", "--size %q is no size", s)
	}
	n, _ := strconv.ParseInt(m[1], 10, 64)
	return n << map[string]int{"": 0, "K": 10, "M": 20, "G": 30}[strings.ToUpper(m[2])], nil
}

var sizeForm = lazy.Regexp(`^([1-9][0-9]{0,9}) ?(?i:([KMG])?B?)$`)

// titles are the chosen titles; what a list names and the catalogue lacks is
// missing.
func (s *shelfCall) titles(cat *catalogue.Catalogue) (out []catalogue.Title, missing []shelf.Item, err error) {
	ctx := context.Background()
	f := s.f
	f.Text, f.Sort = s.text, "title"
	if s.list == "" {
		page, err := cat.List(ctx, f)
		if err != nil {
			return nil, nil, refuse("continuo help shelf build lists the flags", "%s", err)
		}
		for _, t := range page.Titles { // what was not asked for by name is not missing
			if t.State == catalogue.Ready || t.State == catalogue.Look && s.withLook {
				out = append(out, t)
			}
		}
		if len(out) == 0 {
			return nil, nil, refuse("continuo archive list shows what there is; --with-look takes titles that want a person's eye too", "no title is meant that can be delivered")
		}
		return out, nil, nil
	}
	lines, err := listLines(s.list)
	if err != nil {
		return nil, nil, err
	}
	for _, line := range lines {
		t, why := meant(cat, line)
		if why != "" {
			missing = append(missing, shelf.Item{Key: line, Title: line, Why: why})
			continue
		}
		out = append(out, t)
	}
	return out, missing, nil
}

// listLines reads a list: one entry a line, # begins a comment.
func listLines(path string) ([]string, error) {
	const hint = "--list FILE has a title key, or a title, on each line"
	text, err := readPlain(path)
	if err != nil {
		return nil, refuse(hint, "%s", err)
	}
	var out []string
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			out = append(out, line)
		}
	}
	if len(out) == 0 {
		return nil, refuse(hint, "%s names no title", source.Quote(path))
	}
	return out, nil
}

// meant is the title that is meant by a key, or by words of which one title
// alone has all; else why there is none.
func meant(cat *catalogue.Catalogue, words string) (catalogue.Title, string) {
	ctx := context.Background()
	if page, err := cat.List(ctx, catalogue.Filter{Key: words, Any: true}); err == nil {
		for _, t := range page.Titles {
			if t.Key == words {
				return t, ""
			}
		}
	}
	page, err := cat.List(ctx, catalogue.Filter{Title: words})
	if err != nil || page.Total == 0 {
		if page, err = cat.List(ctx, catalogue.Filter{Text: words}); err != nil {
			return catalogue.Title{}, err.Error()
		}
	}
	for _, t := range page.Titles {
		if strings.EqualFold(t.Title, words) && page.Total > 1 && exactOnce(page.Titles, words) {
			return t, ""
		}
	}
	switch page.Total {
	case 0:
		return catalogue.Title{}, "the archive has no such title"
	case 1:
		return page.Titles[0], ""
	}
	var keys []string
	for _, t := range page.Titles[:min(5, len(page.Titles))] {
		keys = append(keys, t.Key)
	}
	return catalogue.Title{}, fmt.Sprintf("%d titles can be meant: %s", page.Total, strings.Join(keys, ", "))
}

func exactOnce(list []catalogue.Title, words string) bool {
	n := 0
	for _, t := range list {
		if strings.EqualFold(t.Title, words) {
			n++
		}
	}
	return n == 1
}

// itemsOf makes items of titles: what can be delivered, how, or why not.
func itemsOf(cat *catalogue.Catalogue, titles []catalogue.Title, w shelf.Wishes, withLook bool) ([]shelf.Item, error) {
	editions, err := cat.Editions(context.Background(), "brf", titles)
	if err != nil {
		return nil, err
	}
	var out []shelf.Item
	for _, t := range titles {
		e, has := editions[t.Key]
		it := shelf.Item{Key: t.Key, Title: or(t.Title, t.Key), Author: t.Author, TitleCells: t.TitleCells, Code: codeLabel(t), Contracted: t.Contracted, Pages: t.Pages, Edition: e.SHA256, Bytes: e.Bytes}
		path := filepath.Join(cat.Folder(), filepath.FromSlash(e.Path))
		it.Why = undeliverable(t, has, withLook)
		it.Load = func() ([]byte, error) { return delivery(path, e.SHA256, t, w) }
		out = append(out, it)
	}
	return out, nil
}

func codeLabel(t catalogue.Title) string {
	if t.Code == "" || t.Code == "unknown" {
		return ""
	}
	if t.Contracted {
		return t.Code + " contracted"
	}
	return t.Code + " uncontracted"
}

// undeliverable says why a title is not put on a card, "" when it is.
func undeliverable(t catalogue.Title, has, withLook bool) string {
	switch {
	case t.State == catalogue.New:
		return "it is not converted yet"
	case t.State == catalogue.Stop:
		return "it is in doubt: " + or(t.Best, "see the archive")
	case t.State == catalogue.Look && !withLook:
		return "some places want a person's eye first: " + or(t.Best, "see the archive")
	case !has:
		return "it has no edition: " + or(t.Fault, "see the archive")
	}
	return ""
}

// delivery is a title as a reader wants it: the edition of the archive, or made
// again from it to another width or format.
func delivery(path, want string, t catalogue.Title, w shelf.Wishes) ([]byte, error) {
	if got, err := fileSum(path); err != nil {
		return nil, fmt.Errorf("its edition in the archive cannot be read")
	} else if got != want {
		return nil, fmt.Errorf("its edition in the archive was changed since it was made")
	}
	if w.AsMade() {
		return os.ReadFile(path)
	}
	files, _, err := source.Open([]string{path})
	if err != nil {
		return nil, err
	}
	opt := convert.Defaults()
	opt.Width, opt.Blank = w.Width, w.Blank
	if w.Markers != "" {
		opt.EndMarkers = w.Markers
	}
	m := &made{files: files, out: outputsFor(path), words: opt.Words}
	if m.result, err = convertFiles(files, opt, nil); err != nil {
		return nil, err
	}
	if w.Format == "brf" {
		return m.result.Edition, nil
	}
	x := extra{noBlank: w.Blank == "none"}
	if x.formats, err = chosen([]string{w.Format}); err != nil {
		return nil, err
	}
	if x.title, err = meta.Load(t.Sidecar + ".toml"); err != nil {
		x.title = meta.Title{Title: t.Title}
	}
	m.describe()
	if err := m.writeFormats(x); err != nil {
		return nil, err
	}
	return m.siblings[0].data, nil
}

type jsonShelf struct {
	Outcome   string          `json:"outcome"`
	To        string          `json:"to"`
	Titles    int             `json:"titles"`
	Written   []string        `json:"written"`
	Unchanged int             `json:"unchanged"`
	Removed   []string        `json:"removed"`
	Changed   []string        `json:"changed_on_the_card"`
	Missing   []shelf.Missing `json:"not_delivered"`
	Bytes     int64           `json:"bytes"`
}

// shelved tells what a build did, the outcome first.
func (c console) shelved(r *shelf.Result, to string, asJSON bool) error {
	outcome := "done"
	if len(r.Missing) > 0 {
		outcome = "look"
	}
	if asJSON {
		if err := c.json(jsonShelf{outcome, to, r.Titles, nonNil(r.Written), r.Unchanged, nonNil(r.Removed), nonNil(r.Changed), append([]shelf.Missing{}, r.Missing...), r.Bytes}); err != nil {
			return err
		}
	} else {
		if len(r.Missing) > 0 {
			c.say("done, look: %s not delivered", count(len(r.Missing), "title"))
		} else {
			c.say("done: %s on %s", count(r.Titles, "title"), to)
		}
		c.say("to: %s", to)
		c.say("titles: %d", r.Titles)
		c.say("written: %d", len(r.Written))
		c.say("unchanged: %d", r.Unchanged)
		if len(r.Removed) > 0 {
			c.say("taken off: %d", len(r.Removed))
		}
		if r.Verified > 0 {
			c.say("files written and read back: %d", r.Verified)
		}
		c.say("bytes: %d", r.Bytes)
		for _, p := range r.Changed {
			c.say("changed since it was written, and left as it is: %s", p)
		}
		for _, m := range r.Missing {
			c.notDelivered(m)
		}
	}
	if len(r.Missing) > 0 {
		return person
	}
	return nil
}

func nonNil(list []string) []string { return append([]string{}, list...) }

func shelfVerifyCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:     "verify CARD",
		Short:   "read every file of a card and compare it with its checksum",
		Example: "continuo shelf verify /media/card",
		Args:    exactly(1, "one card"),
		RunE: func(_ *cobra.Command, args []string) error {
			work := c.begin("reading the card")
			defer work.end()
			n, faults, err := shelf.Verify(args[0])
			if err != nil {
				return notCard(args[0], err)
			}
			if len(faults) == 0 {
				c.say("sound: %s", count(n, "file"))
				return nil
			}
			c.say("not sound: %s of %d", count(len(faults), "file"), n)
			for _, f := range faults {
				c.say("fault: %s: %s", f.Path, f.Why)
			}
			return &fault{code: Failed, what: "the card is not sound", hint: "fill it again: continuo shelf build writes what is missing or damaged anew"}
		},
	}
}

func notCard(dir string, err error) error {
	if errors.Is(err, shelf.ErrNoCard) {
		return refuse("continuo shelf build makes one", "%s is no card of this program", source.Quote(dir))
	}
	return refuse(damagedCard, "%s: %s", source.Quote(dir), err)
}

func shelfListCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:     "list CARD",
		Short:   "what stands on a card",
		Example: "continuo shelf list /media/card",
		Args:    exactly(1, "one card"),
		RunE: func(_ *cobra.Command, args []string) error {
			card, err := shelf.Read(args[0])
			if err != nil {
				return notCard(args[0], err)
			}
			c.say("titles: %d", len(card.Titles))
			if card.Reader != "" {
				c.say("reader: %s", card.Reader)
			}
			for _, e := range card.Titles {
				c.say("%s: %s", e.Path, oneLine(e.Title))
			}
			for _, m := range card.Missing {
				c.notDelivered(m)
			}
			return nil
		},
	}
}

// notDelivered tells of a title that is not on the card; one that the archive does not
// know has no other name than it was asked for by.
func (c console) notDelivered(m shelf.Missing) {
	name := m.Key
	if t := oneLine(m.Title); t != m.Key {
		name += ", " + t
	}
	c.say("not delivered: %s: %s", name, oneLine(m.Why))
}
