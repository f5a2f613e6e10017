package desk

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/catalogue"
	"continuo/internal/shelf"
)

// shelfData is the form of a card or download: which titles, how they are wished
// for, where they go.
type shelfData struct {
	Form      url.Values
	Asked     bool         // titles were chosen
	Listed    []chosenItem // a part of them
	Paging    paging
	Ready     int // titles that can be delivered
	Bytes     int64
	Formats   []string
	Groupings []string
	Codes     []catalogue.Count
	Wrong     []wrong
	Last      *jobData
}

// chosenItem is a title that is meant, with the reason when it is not delivered.
type chosenItem struct{ Key, Title, Author, Why string }

// Is reports whether a field of the form has a value, for options that are chosen.
func (d *shelfData) Is(key, value string) bool { return d.Form.Get(key) == value }

// Why is what is wrong with a field, "" for nothing.
func (d *shelfData) Why(id string) string { return whyOf(d.Wrong, id) }

func whyOf(list []wrong, id string) string {
	for _, w := range list {
		if w.ID == id {
			return w.Why
		}
	}
	return ""
}

// shelfDefaults are what a form has that nobody filled in.
func shelfDefaults(q url.Values) url.Values {
	w := shelf.Default()
	for key, value := range map[string]string{"format": w.Format, "blank": w.Blank, "indexcode": w.IndexCode} {
		if q.Get(key) == "" {
			q.Set(key, value)
		}
	}
	return q
}

// maxWritten is how many of the files that were written a page lists.
const maxWritten = 200

func (d *Desk) shelfPage(r *request) (*view, error) {
	q := shelfDefaults(r.URL.Query())
	data := &shelfData{Form: q, Asked: q.Has("choose")}
	if err := d.shelfForm(r, data); err != nil {
		return nil, err
	}
	if data.Asked {
		o, f := d.asked(data)
		if _, err := d.preview(r, data, o, f); err != nil {
			return nil, err
		}
	}
	return data.view(), nil
}

func (data *shelfData) view() *view {
	return &view{Page: "shelf", Title: "Shelf: a reader's card or download", Data: data}
}

// shelfForm fills in what the form offers.
func (d *Desk) shelfForm(r *request, data *shelfData) error {
	stats, err := d.stats(r.Context())
	if err != nil {
		return err
	}
	data.Formats, data.Groupings, data.Codes = shelf.Formats(), shelf.Groupings(), stats.Codes
	d.jobs.mu.Lock()
	if d.jobs.last != nil {
		s := d.jobs.last.state()
		data.Last = &s
	}
	d.jobs.mu.Unlock()
	return nil
}

// wishesOf reads what a reader wishes for; faults stand beside their fields.
func (d *Desk) wishesOf(f url.Values, bad func(id, label, why string)) shelf.Wishes {
	w := shelf.Default()
	w.Format, w.Blank, w.Uncontracted = f.Get("format"), f.Get("blank"), f.Get("uncontracted") != ""
	w.IndexCode, w.IndexPlain = strings.ToLower(f.Get("indexcode")), f.Get("indexplain") != ""
	if f.Get("markers") == "drop" {
		w.Markers = "drop"
	}
	if text := strings.TrimSpace(f.Get("width")); text != "" {
		w.Width = number(text, -1, 1<<20, -2)
	}
	if w.Width >= 12 {
		w.IndexWidth = w.Width
	}
	if w.Width == -2 {
		bad("width", "Cells a line", "write a number of cells, 12 to 200, 0 for one line a paragraph, or nothing to leave the editions as they are")
		w.Width = -1
	}
	if err := d.o.Shared.Wishes(w); err != nil {
		bad("width", "The wishes", err.Error())
	}
	return w
}

// asked is what the form says: how titles are wished for, and which.
func (d *Desk) asked(data *shelfData) (shelf.Options, catalogue.Filter) {
	f := data.Form
	bad := func(id, label, why string) { data.Wrong = append(data.Wrong, wrong{id, label, why}) }
	o := shelf.Options{Reader: strings.TrimSpace(f.Get("reader")), Wishes: d.wishesOf(f, bad), Grouping: f.Get("folders"), Remove: f.Get("remove") != ""}
	if o.Reader != "" {
		if err := d.o.Shared.Reader(o.Reader); err != nil {
			bad("reader", "Reader code", said(err))
		}
	}
	states := []catalogue.State{catalogue.Ready}
	if f.Get("withlook") != "" {
		states = append(states, catalogue.Look)
	}
	return o, catalogue.Filter{States: states, Text: cut(f.Get("text")), Author: cut(f.Get("author")), Subject: cut(f.Get("subject")), Code: f.Get("code"), Since: f.Get("since"), Sort: "title"}
}

// preview counts the titles that are meant, and lists a part of them. The filter that
// means all of them comes back.
func (d *Desk) preview(r *request, data *shelfData, o shelf.Options, f catalogue.Filter) (catalogue.Filter, error) {
	f.Limit, f.Offset = perPage, number(data.Form.Get("from"), 0, 1<<30, 0)
	page, f, err := d.list(r.Context(), f)
	if err != nil {
		data.Wrong = append(data.Wrong, wrong{"text", "Which titles", err.Error()})
		return f, nil
	}
	data.Paging = pagesOf(data.address(), f.Offset, len(page.Titles), page.Total)
	items, err := d.o.Shared.Items(d.cat, page.Titles, o.Wishes, true)
	if err != nil {
		return f, err
	}
	for _, it := range items {
		data.Listed = append(data.Listed, chosenItem{it.Key, it.Title, it.Author, o.Wishes.Refuse(it)})
	}
	f.Limit, f.Offset = 0, 0
	able := f
	able.Uncontracted = o.Wishes.Uncontracted
	data.Ready, data.Bytes, err = d.cat.Extent(r.Context(), able, "brf", shelf.MaxFile)
	return f, err
}

// address is the address of the page with this choice.
func (d *shelfData) address() *url.URL {
	q := url.Values{"choose": {"1"}}
	for _, name := range d.Carried() {
		if v := d.Form.Get(name); v != "" {
			q.Set(name, v)
		}
	}
	return &url.URL{Path: "/shelf", RawQuery: q.Encode()}
}

// Carried are the fields of the choice that the form of the second step has too.
func (*shelfData) Carried() []string {
	return []string{"text", "author", "subject", "code", "since", "withlook", "format", "width", "blank", "markers", "folders", "indexcode", "reader", "uncontracted", "indexplain"}
}

// buildShelf fills a card or packs a download.
func (d *Desk) buildShelf(r *request) (string, error) {
	data := &shelfData{Form: shelfDefaults(r.PostForm), Asked: true}
	if err := d.shelfForm(r, data); err != nil {
		return "", err
	}
	o, f := d.asked(data)
	f, err := d.preview(r, data, o, f)
	if err != nil {
		return "", err
	}
	j, w := whereTo(r.PostForm, o.Reader)
	data.Wrong = append(data.Wrong, w...)
	if data.Ready == 0 && len(data.Wrong) == 0 {
		data.Wrong = append(data.Wrong, wrong{"text", "Which titles", "no title is meant that can be delivered"})
	}
	if len(data.Wrong) > 0 {
		return "", &again{data.view()}
	}
	page, err := d.cat.List(r.Context(), f)
	if err != nil {
		return "", err
	}
	items, err := d.o.Shared.Items(d.cat, page.Titles, o.Wishes, data.Form.Get("withlook") != "")
	if err != nil {
		return "", err
	}
	return d.start(j, items, o, nil)
}

// whereTo is the card or download that a form names.
func whereTo(f url.Values, reader string) (*job, []wrong) {
	if f.Get("to") != "card" {
		name := "shelf"
		if reader != "" {
			name = catalogue.Slug(reader)
		}
		return &job{To: name + ".zip", Download: true}, nil
	}
	dir := strings.TrimSpace(f.Get("card"))
	if why := cardFault(dir); why != "" {
		return nil, []wrong{{"card", "Folder of the card", why}}
	}
	return &job{To: dir}, nil
}

// cardFault says why a folder cannot be a card.
func cardFault(dir string) string {
	if dir == "" || !filepath.IsAbs(dir) {
		return `write the whole path of the card, such as /media/card or E:\`
	}
	info, err := os.Stat(dir)
	if err != nil || !info.IsDir() {
		return "there is no such folder; is the card in its slot"
	}
	return ""
}

// requestsData is the queue.
type requestsData struct {
	List    []catalogue.Request
	Paging  paging
	States  []catalogue.RequestState
	State   string
	Reader  string
	Form    url.Values // of a new request
	Wrong   []wrong
	Formats []string
}

// Is reports whether a field of the form has a value.
func (d *requestsData) Is(key, value string) bool { return d.Form.Get(key) == value }

// Why is what is wrong with a field.
func (d *requestsData) Why(id string) string { return whyOf(d.Wrong, id) }

func (d *Desk) requests(r *request) (*view, error) { return d.requestsView(r, url.Values{}, nil) }

func (d *Desk) requestsView(r *request, form url.Values, w []wrong) (*view, error) {
	q := r.URL.Query()
	data := &requestsData{States: catalogue.RequestStates(), State: q.Get("state"), Reader: cut(q.Get("reader")), Form: form, Wrong: w, Formats: shelf.Formats()}
	list, err := d.cat.Requests(r.Context(), catalogue.RequestState(data.State), data.Reader)
	if err != nil {
		return nil, err
	}
	from := min(number(q.Get("from"), 0, 1<<30, 0), len(list))
	data.List = list[from:min(len(list), from+perPage)]
	data.Paging = pagesOf(r.URL, from, len(data.List), len(list))
	return &view{Page: "requests", Title: "Requests of readers", Data: data}, nil
}

// requestColumns are the fields of a new request: names of the form and columns of
// a table.
var requestColumns = []string{"reader", "title", "format", "width", "blank-lines", "end-markers", "uncontracted-only", "due"}

// StateNow is the state that is listed.
func (d *requestsData) StateNow() catalogue.RequestState { return catalogue.RequestState(d.State) }

// addRequest takes one request in.
func (d *Desk) addRequest(r *request) (string, error) {
	var row []string
	for _, c := range requestColumns {
		row = append(row, strings.TrimSpace(r.PostForm.Get(c)))
	}
	req, err := d.o.Shared.Request(requestColumns, row)
	if err != nil {
		v, e := d.requestsView(r, r.PostForm, []wrong{d.faulty(row, err)})
		if e != nil {
			return "", e
		}
		return "", &again{v}
	}
	again, err := d.o.Shared.TakeIn(d.cat, []catalogue.Request{req})
	if err != nil {
		return "", err
	}
	if again[0] {
		return "/requests?done=waits", nil
	}
	return "/requests?done=request", nil
}

// requestLabels are the labels of the fields of a new request that can be wrong.
var requestLabels = map[string]string{"reader": "Reader code", "title": "Title number, or words of the title", "width": "Cells a line", "due": "Due on"}

// faulty is the fault of a new request, at the column whose value draws the error: the
// first one without whose value the error is another or none.
func (d *Desk) faulty(row []string, err error) wrong {
	at := "title"
	for i, c := range requestColumns {
		one := []string{"r1", "x", "", "", "", "", "", ""}
		one[i] = row[i]
		if _, e := d.o.Shared.Request(requestColumns, one); e != nil && e.Error() == err.Error() {
			at = c
			break
		}
	}
	label := requestLabels[at]
	if label == "" {
		label = sentence(plain(at))
	}
	return wrong{at, label, said(err)}
}

// requestData is the page of one request.
type requestData struct {
	catalogue.Request
	Title  *catalogue.Title
	States []catalogue.RequestState
	Form   url.Values
	Wrong  []wrong
	Others int // open requests of the same reader
}

// Why is what is wrong with a field.
func (d *requestData) Why(id string) string { return whyOf(d.Wrong, id) }

// theRequest is the request that a path names, with those of the same reader.
func (d *Desk) theRequest(r *request) (*requestData, []catalogue.Request, error) {
	all, err := d.cat.Requests(r.Context(), "", "")
	if err != nil {
		return nil, nil, err
	}
	data := &requestData{States: catalogue.RequestStates(), Form: r.PostForm}
	id := int64(number(r.PathValue("id"), 1, 1<<40, 0))
	for _, q := range all {
		if q.ID == id {
			data.Request = q
		}
	}
	if data.ID == 0 {
		return nil, nil, &problem{http.StatusNotFound, "there is no such request", "the page of requests lists the queue"}
	}
	var open []catalogue.Request
	for _, q := range all {
		if q.Reader == data.Reader && (q.State == catalogue.Waiting && q.Key != "" || q.ID == id) {
			open = append(open, q)
		}
	}
	data.Others = len(open) - 1
	if data.Key != "" {
		if t, why := d.o.Shared.Meant(d.cat, data.Key); why == "" {
			data.Title = &t
		}
	}
	return data, open, nil
}

func (data *requestData) view() *view {
	return &view{Page: "request", Title: "Request " + itoa(data.ID), Trail: []crumb{{"/requests", "Requests"}}, Data: data}
}

func (d *Desk) request(r *request) (*view, error) {
	data, _, err := d.theRequest(r)
	if err != nil {
		return nil, err
	}
	return data.view(), nil
}

// setRequest says which title a request means, or changes its state.
func (d *Desk) setRequest(r *request) (string, error) {
	data, _, err := d.theRequest(r)
	if err != nil {
		return "", err
	}
	state := catalogue.RequestState(r.PostForm.Get("state"))
	key, wanted := "", strings.TrimSpace(r.PostForm.Get("title"))
	if wanted != "" && wanted != data.Key {
		t, why := d.o.Shared.Meant(d.cat, wanted)
		if why != "" {
			data.Wrong = []wrong{{"title", "Title", why}}
			return "", &again{data.view()}
		}
		if key = t.Key; state == catalogue.Unclear {
			state = catalogue.Waiting
		}
	}
	note := strings.TrimSpace(r.PostForm.Get("note"))
	switch {
	case !strings.Contains(" open unclear sent refused closed ", " "+string(state)+" "):
		return "", bad("this is no state of a request", "take one of the list")
	case len(note) > 400:
		return "", bad("the note is too long", "go back and shorten it")
	}
	if err := d.cat.SetRequest(r.Context(), data.ID, key, state, note); err != nil {
		return "", err
	}
	return "/request/" + itoa(data.ID) + "?done=requestset", nil
}

// sendRequest delivers a request, or all open ones of its reader.
func (d *Desk) sendRequest(r *request) (string, error) {
	data, open, err := d.theRequest(r)
	if err != nil {
		return "", err
	}
	list := []catalogue.Request{data.Request}
	if r.PostForm.Get("all") != "" {
		list = open
	}
	j, w := whereTo(r.PostForm, data.Reader)
	if data.Key == "" {
		w = append(w, wrong{"title", "Title", "say first which title is meant"})
	}
	if len(w) > 0 {
		data.Wrong = w
		return "", &again{data.view()}
	}
	items, o, err := d.o.Shared.Parcel(d.cat, list, r.PostForm.Get("withlook") != "")
	if err != nil {
		return "", &problem{http.StatusConflict, err.Error(), "the page of requests lists the queue"}
	}
	return d.start(j, items, o, func(res *shelf.Result) error { return d.o.Shared.Sent(d.cat, list, res, j.To) })
}
