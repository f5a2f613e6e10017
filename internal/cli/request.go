package cli

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"continuo/internal/catalogue"
	"continuo/internal/lazy"
	"continuo/internal/plaintext"
	"continuo/internal/shelf"
	"continuo/internal/source"
)

func requestCommand(c console) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "request COMMAND",
		Short: "a queue of readers' requests",
		Long: `Requests come in as a table (CSV) and wait in the catalogue until they are sent. Only a reader code is kept: never a name, an address or a number that rings.
A table has the columns reader and title, and if wanted format, display, width, blank-lines, end-markers, uncontracted-only, index-code and due. A table with any other column is refused.`,
		Example: "continuo request add requests.csv\ncontinuo request list\ncontinuo request send 12 --card /media/card\ncontinuo request send --reader r17 --card /media/card\ncontinuo request list --csv > status.csv",
	}
	return group(cmd, requestAddCommand(c), requestListCommand(c), requestSendCommand(c), requestSetCommand(c))
}

// columns are the columns that a table of requests may have.
var columns = []string{"reader", "title", "format", "display", "width", "blank-lines", "end-markers", "uncontracted-only", "index-code", "due"}

var (
	codeForm = lazy.Regexp(`^[A-Za-z]{0,4}[-.]?[0-9]{1,12}[A-Za-z]?$`)
	ringing  = lazy.Regexp(`^[0-9]{7,}$`)
)

// readerCode is an error when a reader code looks like something else: it is up
// to four letters and up to twelve digits, such as r17 or LIB-0042. Seven digits
// or more alone may be a telephone number.
func readerCode(s string) error {
	if !codeForm().MatchString(s) || ringing().MatchString(s) {
		return refuse("a reader code is up to four letters and a number, such as r17 or LIB-0042; names, addresses and telephone numbers are not kept", "%q is no reader code", s)
	}
	return nil
}

func requestAddCommand(c console) *cobra.Command {
	var folder string
	cmd := &cobra.Command{
		Use:     "add FILE",
		Short:   "take in requests from a table (CSV)",
		Long:    "FILE is a CSV table with a heading line, its values parted by commas, semicolons or tabs; - reads standard input. All lines are taken in, or none when one is wrong. The same request of the same reader is not taken in twice. A title is a key of the catalogue, or words of which one title alone has all.",
		Example: "continuo request add requests.csv",
		Args:    exactly(1, "one table"),
		RunE: func(_ *cobra.Command, args []string) error {
			list, err := readRequests(args[0])
			if err != nil {
				return err
			}
			cat, err := shelfCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			return addRequests(c, cat, list)
		},
	}
	addCatalogue(cmd, &folder)
	return cmd
}

func addRequests(c console, cat *catalogue.Catalogue, list []catalogue.Request) error {
	again, err := takeIn(cat, list)
	if err != nil {
		return err
	}
	unclear, waited := 0, 0
	for i, r := range list {
		if again[i] {
			waited++
		} else if r.State == catalogue.Unclear {
			unclear++
		}
	}
	if waited == 0 {
		c.say("taken in: %s, unclear: %d", count(len(list), "request"), unclear)
	} else {
		c.say("taken in: %s, unclear: %d, known before: %d", count(len(list)-waited, "request"), unclear, waited)
	}
	for i, r := range list {
		if again[i] {
			c.say("request %d is known already: reader %s: %s", r.ID, r.Reader, oneLine(r.Wanted))
			continue
		}
		c.request(r)
	}
	if unclear > 0 {
		return person
	}
	return nil
}

// takeIn finds the titles that requests mean and puts all of them into the queue,
// or none. The list gets their keys, states and numbers. One that again is true
// for is there already and is not put in twice.
func takeIn(cat *catalogue.Catalogue, list []catalogue.Request) (again []bool, err error) {
	for i := range list {
		t, why := meant(cat, list[i].Wanted)
		list[i].Key, list[i].State = t.Key, catalogue.Waiting
		if why != "" {
			list[i].State, list[i].Note = catalogue.Unclear, why
		}
	}
	ids, again, err := cat.AddRequests(context.Background(), list)
	if err != nil {
		return nil, refuse("nothing was taken in", "%s", err)
	}
	for i := range ids {
		list[i].ID = ids[i]
	}
	return again, nil
}

// request prints one request.
func (c console) request(r catalogue.Request) {
	line := fmt.Sprintf("request %d: %s, reader %s: %s", r.ID, r.State, r.Reader, oneLine(r.Wanted))
	if r.Key != "" && r.Key != r.Wanted {
		line += ", title " + r.Key
	}
	if r.Due != "" {
		line += ", due " + r.Due
	}
	if r.Note != "" {
		line += "; " + oneLine(r.Note)
	}
	c.say("%s", line)
}

// requestText is the text of a table, from a file or, for "-", standard input.
func requestText(path string) (text []byte, err error) {
	if path == "-" {
		text, err = io.ReadAll(answers)
		text = plaintext.Decode(text)
	} else {
		text, err = readPlain(path)
	}
	switch {
	case err != nil:
		return nil, refuse("continuo help request has the columns", "%s", err)
	case len(bytes.TrimSpace(text)) == 0:
		return nil, refuse("the first line names the columns: reader,title,...", "%s is empty", source.Quote(path))
	}
	return text, nil
}

// separator is what parts the values of a table, by its first line: a comma, or
// the semicolon or tab that spreadsheets put in its place in many countries.
func separator(text []byte) rune {
	head, _, _ := bytes.Cut(text, []byte{'\n'})
	for _, c := range []byte{',', ';', '\t'} {
		if bytes.IndexByte(head, c) >= 0 {
			return rune(c)
		}
	}
	return ','
}

// readRequests reads a table, strictly.
func readRequests(path string) ([]catalogue.Request, error) {
	text, err := requestText(path)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.TrimLeadingSpace = true
	r.Comma = separator(text)
	head, err := r.Read()
	if err != nil {
		return nil, refuse("the first line names the columns: reader,title,...", "%s: %s", source.Quote(path), err)
	}
	if err := checkColumns(head); err != nil {
		return nil, err
	}
	var out []catalogue.Request
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, refuse("every line has as many values as the first", "%s: %s", source.Quote(path), err)
		}
		line, _ := r.FieldPos(0)
		req, err := requestOf(head, row)
		if err != nil {
			var f *fault
			if errors.As(err, &f) {
				f.code, f.what = Failed, fmt.Sprintf("%s line %d: %s", source.Quote(path), line, f.what)
			}
			return nil, err
		}
		out = append(out, req)
	}
	if len(out) == 0 {
		return nil, refuse("the first line names the columns, each other line is a request", "%s holds no request", source.Quote(path))
	}
	return out, nil
}

// personal are words in the heading of a column that tell of a person.
var personal = []string{"name", "address", "mail", "phone", "tel", "mobile", "street", "town", "post", "zip", "birth", "contact", "surname", "patron"}

// checkColumns refuses columns that are not known, first of all those that tell
// who a reader is.
func checkColumns(head []string) error {
	seen := map[string]bool{}
	for i, h := range head {
		h = strings.ToLower(strings.TrimSpace(h))
		h = strings.ReplaceAll(strings.ReplaceAll(h, "_", "-"), " ", "-")
		head[i] = h
		switch {
		case slices.ContainsFunc(personal, func(p string) bool { return strings.Contains(h, p) }):
			return refuse("take the column out of the table: only a reader code is kept", "the column %q looks like a name or an address", h)
		case !slices.Contains(columns, h):
			return refuse("the columns are "+strings.Join(columns, ", "), "unknown column %q", h)
		case seen[h]:
			return refuse("name it once", "the column %q stands twice", h)
		}
		seen[h] = true
	}
	for _, need := range []string{"reader", "title"} {
		if !seen[need] {
			return refuse("the columns are "+strings.Join(columns, ", "), "there is no column %q", need)
		}
	}
	return nil
}

// requestOf reads one line of a table.
func requestOf(head, row []string) (catalogue.Request, error) {
	w := shelf.Default()
	var r catalogue.Request
	given := map[string]bool{}
	for i, h := range head {
		v := strings.TrimSpace(row[i])
		if v == "" && h != "reader" && h != "title" {
			continue
		}
		given[h] = true
		var err error
		switch h {
		case "reader":
			r.Reader, err = v, readerCode(v)
		case "title":
			if r.Wanted = v; v == "" || strings.Contains(v, "@") {
				err = refuse("a title key, or words of the title", "%q is no title", v)
			}
		case "format":
			w.Format = strings.ToLower(v)
		case "display": // as the flag --display
			if w.Width, err = strconv.Atoi(v); err != nil {
				err = refuse("a number of cells", "the display %q is no number", v)
			}
			w.Blank = "none"
		case "width":
			if w.Width, err = strconv.Atoi(v); err != nil {
				err = refuse("a number of cells", "the width %q is no number", v)
			}
		case "blank-lines":
			w.Blank = strings.ToLower(v)
		case "end-markers":
			w.Markers = markersWish(strings.ToLower(v))
		case "uncontracted-only":
			w.Uncontracted, err = yes(v)
		case "index-code":
			w.IndexCode = strings.ToLower(v)
		case "due":
			if _, e := time.Parse(time.DateOnly, v); e != nil {
				err = refuse("as 2026-01-31", "due %q is no date", v)
			}
			r.Due = v
		}
		if err != nil {
			return r, err
		}
	}
	if given["display"] && (given["width"] || given["blank-lines"]) {
		return r, refuse("give display alone, or width and blank-lines", "display settles what width and blank-lines settle")
	}
	if err := checkWishes(w); err != nil {
		return r, err
	}
	if w.Width >= minWidth { // as the flags of shelf build
		w.IndexWidth = w.Width
	}
	wishes, err := json.Marshal(w)
	r.Format, r.Wishes = w.Format, string(wishes)
	return r, err
}

func yes(v string) (bool, error) {
	switch strings.ToLower(v) {
	case "yes", "y", "true", "1":
		return true, nil
	case "no", "n", "false", "0":
		return false, nil
	}
	return false, refuse("yes or no", "%q is neither yes nor no", v)
}

func requestListCommand(c console) *cobra.Command {
	var folder, state, reader string
	var asJSON, asCSV bool
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "the queue, what is due next first",
		Example: "continuo request list\ncontinuo request list --state sent --reader r17\ncontinuo request list --csv > status.csv",
		Args:    atMost(0),
		RunE: func(*cobra.Command, []string) error {
			if state != "" && !slices.Contains(catalogue.RequestStates(), catalogue.RequestState(state)) {
				return wrong("the states are open, unclear, sent, refused, closed", "unknown state %q", state)
			}
			cat, err := openCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			list, err := cat.Requests(context.Background(), catalogue.RequestState(state), reader)
			switch {
			case err != nil:
				return err
			case asJSON:
				return c.json(list)
			case asCSV:
				return c.requestTable(list)
			}
			c.say("requests: %d", len(list))
			for _, r := range list {
				c.request(r)
			}
			return nil
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().StringVar(&state, "state", "", "`STATE` open, unclear, sent, refused or closed; without it all")
	cmd.Flags().StringVar(&reader, "reader", "", "`CODE` of a reader")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON list instead of lines")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print a table for spreadsheets")
	complete(cmd, "state", "open", "unclear", "sent", "refused", "closed")
	return cmd
}

func (c console) requestTable(list []catalogue.Request) error {
	w := csv.NewWriter(c.out)
	w.UseCRLF = true
	w.Write([]string{"id", "reader", "wanted", "title key", "format", "due", "state", "note", "added", "changed"})
	for _, r := range list {
		w.Write([]string{fmt.Sprint(r.ID), r.Reader, plaintext.Inert(r.Wanted), r.Key, r.Format, r.Due, string(r.State), plaintext.Inert(r.Note), r.Added, r.Changed})
	}
	w.Flush()
	return w.Error()
}

func requestSendCommand(c console) *cobra.Command {
	var folder, card, zip, reader string
	var withLook bool
	cmd := &cobra.Command{
		Use:   "send [NUMBER]",
		Short: "deliver a request, or all open ones of a reader",
		Long:  "NUMBER is a request; without it --reader names the reader whose open requests are meant. The books go on a card or into a download, as continuo shelf build does it, with the wishes of the first request.",
		Example: `continuo request send 12 --card /media/card
continuo request send --reader r17 --zip r17.zip`,
		Args: atMost(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if (card == "") == (zip == "") {
				return wrong("continuo request send NUMBER --card CARD", "name --card CARD or --zip FILE, one of them")
			}
			if (len(args) == 1) == (reader != "") {
				return wrong("continuo request send NUMBER, or --reader CODE", "name a request or --reader CODE, one of them")
			}
			cat, err := shelfCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			list, err := wantedNow(cat, args, reader)
			if err != nil {
				return err
			}
			return send(c, cat, list, card, zip, withLook)
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().StringVar(&card, "card", "", "`CARD` the folder of the card")
	cmd.Flags().StringVar(&zip, "zip", "", "`FILE` pack a download")
	cmd.Flags().StringVar(&reader, "reader", "", "`CODE` all open requests of this reader")
	cmd.Flags().BoolVar(&withLook, "with-look", false, "titles that want a person's eye too")
	return cmd
}

// wantedNow are the open requests that are meant.
func wantedNow(cat *catalogue.Catalogue, args []string, reader string) ([]catalogue.Request, error) {
	all, err := cat.Requests(context.Background(), "", reader)
	if err != nil {
		return nil, err
	}
	var out []catalogue.Request
	for _, r := range all {
		if len(args) == 1 && args[0] == fmt.Sprint(r.ID) || len(args) == 0 && r.State == catalogue.Waiting {
			out = append(out, r)
		}
	}
	switch {
	case len(out) == 0 && len(args) == 1:
		return nil, refuse("continuo request list shows the queue", "there is no request %s", source.Quote(args[0]))
	case len(out) == 0:
		return nil, refuse("continuo request list shows the queue", "reader %s has no open request", reader)
	case out[0].Key == "":
		return nil, refuse("continuo request set NUMBER --title KEY says which title is meant", "request %d is unclear: %s", out[0].ID, out[0].Note)
	}
	return out, nil
}

// send delivers requests of one reader and notes what became of each.
func send(c console, cat *catalogue.Catalogue, list []catalogue.Request, card, zip string, withLook bool) error {
	items, o, err := parcel(cat, list, withLook)
	if err != nil {
		return err
	}
	res, to, err := fill(c, cat, []string{card}, zip, items, o)
	if err != nil {
		return err
	}
	if err := sent(cat, list, res, to); err != nil {
		return err
	}
	for _, r := range list {
		c.say("request %d: %s: %s", r.ID, r.State, oneLine(r.Note))
	}
	return c.shelved(res, to, false)
}

// parcel is what requests of one reader ask for, with the wishes of the first.
func parcel(cat *catalogue.Catalogue, list []catalogue.Request, withLook bool) ([]shelf.Item, shelf.Options, error) {
	w := shelf.Default()
	if err := json.Unmarshal([]byte(list[0].Wishes), &w); err != nil {
		return nil, shelf.Options{}, err
	}
	var titles []catalogue.Title
	for _, r := range list {
		t, why := meant(cat, r.Key)
		if why != "" {
			return nil, shelf.Options{}, refuse("continuo request list shows the queue", "request %d: %s", r.ID, why)
		}
		titles = append(titles, t)
	}
	items, err := itemsOf(cat, titles, w, withLook)
	return items, shelf.Options{Reader: list[0].Reader, Wishes: w}, err
}

// sent notes what became of requests that were delivered to a card or download.
func sent(cat *catalogue.Catalogue, list []catalogue.Request, res *shelf.Result, to string) error {
	for i := range list {
		r := &list[i]
		r.State, r.Note = catalogue.Sent, "to "+to
		for _, m := range res.Missing {
			if m.Key == r.Key {
				r.State, r.Note = catalogue.Refused, m.Why
			}
		}
		if err := cat.SetRequest(context.Background(), r.ID, "", r.State, r.Note); err != nil {
			return err
		}
	}
	return nil
}

func requestSetCommand(c console) *cobra.Command {
	var folder, title, state, note string
	cmd := &cobra.Command{
		Use:     "set NUMBER",
		Short:   "say which title a request means, or close it",
		Example: "continuo request set 12 --title 40172\ncontinuo request set 12 --state closed --note \"sent by post before\"",
		Args:    exactly(1, "the number of a request"),
		RunE: func(_ *cobra.Command, args []string) error {
			id, err := strconv.ParseInt(args[0], 10, 64)
			if err != nil || title == "" && state == "" {
				return wrong("continuo request set NUMBER --title KEY, or --state closed", "set needs a number, and --title or --state")
			}
			if state == "" {
				state = string(catalogue.Waiting)
			}
			if !slices.Contains(catalogue.RequestStates(), catalogue.RequestState(state)) {
				return wrong("the states are open, unclear, sent, refused, closed", "unknown state %q", state)
			}
			cat, err := shelfCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			if title != "" {
				t, why := meant(cat, title)
				if why != "" {
					return refuse("continuo archive list shows the titles", "%s: %s", source.Quote(title), why)
				}
				title = t.Key
			}
			if err := cat.SetRequest(context.Background(), id, title, catalogue.RequestState(state), note); err != nil {
				return refuse("continuo request list shows the queue", "%s", err)
			}
			c.say("request %d: %s", id, state)
			return nil
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().StringVar(&title, "title", "", "`KEY` of the title that is meant")
	cmd.Flags().StringVar(&state, "state", "", "`STATE` open, unclear, sent, refused or closed")
	cmd.Flags().StringVar(&note, "note", "", "`TEXT` why")
	return cmd
}
