package desk

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/diag"
)

// asked are the questions about a title, the gravest first; the small ones too
// when all are wanted.
func asked(t *title, all bool) []*decide.Question {
	var out []*decide.Question
	for i := range t.res.Questions {
		if q := &t.res.Questions[i]; all || q.Severity != diag.Note || q.Settled() {
			out = append(out, q)
		}
	}
	slices.SortStableFunc(out, func(a, b *decide.Question) int { return int(b.Severity) - int(a.Severity) })
	return out
}

// answered are the answers that hold and whose question does not arise any more.
func answered(t *title) []decide.Answer {
	var out []decide.Answer
	for _, a := range t.decided.Answers {
		if !slices.ContainsFunc(t.res.Questions, func(q decide.Question) bool { return q.ID == a.ID }) {
			out = append(out, a)
		}
	}
	return out
}

// placesData is the queue of a title.
type placesData struct {
	Key      string
	File     string
	List     []*decide.Question
	Small    int // not listed
	All      bool
	Open     int
	Answered []decide.Answer
	Last     string // path of the place that was just decided
	Paging   paging
}

func (d *Desk) places(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	all := r.URL.Query().Get("all") == "1"
	list := asked(t, all)
	data := &placesData{Key: x.Key, File: t.decisions, All: all, Small: len(t.res.Questions) - len(list), Answered: answered(t)}
	for _, q := range list {
		if q.Open() {
			data.Open++
		}
	}
	if q, err := t.question(r.URL.Query().Get("last")); err == nil {
		data.Last = placePath(x.Key, q.ID, all)
	}
	from := min(number(r.URL.Query().Get("from"), 0, 1<<30, 0), len(list))
	data.List = list[from:min(len(list), from+perPage)]
	data.Paging = pagesOf(r.URL, from, len(data.List), len(list))
	data.Answered = data.Answered[:min(len(data.Answered), 2*perPage)]
	return about(x, &view{Page: "places", Title: "Doubtful places", Trail: trail(x), Data: data, Variant: t.variant()}), nil
}

// both is the title that a path names, from the catalogue and converted.
func (d *Desk) both(r *request) (*catalogue.Detail, *title, error) {
	x, err := d.show(r)
	if err != nil {
		return nil, nil, err
	}
	t, err := d.open(r.Context(), x)
	return x, t, err
}

// placeData is one doubtful place.
type placeData struct {
	*decide.Question
	Key            string
	Number, Of     int
	All            bool
	Before, After  string // paths of the places beside it
	Last           string // path of the place that was just decided
	Compare, Line  string
	Result         []edited // lines of the edition round the place
	Hyphen         [2]string
	CanUndo        bool
	Like           int // open places with the same words in this title, besides this one; those with the same answer when it can be taken back
	Form           url.Values
	Wrong          []wrong
	Grave, Numbers string
}

// edited is a line of the edition. Here says that cells of the place are on it.
type edited struct {
	Number int
	Cells  string
	Here   bool
}

func placePath(key, id string, all bool) string {
	p := titlePath(key) + "/place/" + url.PathEscape(id)
	if all {
		p += "?all=1"
	}
	return p
}

func (d *Desk) place(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	q, err := t.question(r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	return d.placeView(r, x, t, q, r.URL.Query().Get("all") == "1", nil), nil
}

// placeView is the page of a place, with what is wrong with the form that was sent.
func (d *Desk) placeView(r *request, x *catalogue.Detail, t *title, q *decide.Question, all bool, w []wrong) *view {
	data := &placeData{Question: q, Key: x.Key, CanUndo: t.decided.Answer(q.ID) != nil, Grave: gravity[q.Severity], Like: len(t.like(q)), Form: r.PostForm, Wrong: w}
	if data.Form == nil {
		data.Form = url.Values{"who": {r.prefs.Who}}
	}
	data.beside(t, all)
	if last := r.URL.Query().Get("last"); last != "" {
		if l, err := t.question(last); err == nil && l.ID != q.ID {
			data.Last = placePath(x.Key, l.ID, data.All)
		}
	}
	if q.Kind.About == decide.Hyphen && len(q.Cells) == 2 {
		data.Hyphen = [2]string{q.Cells[0] + q.Cells[1], strings.TrimSuffix(q.Cells[0], "-") + q.Cells[1]}
	}
	if v, line, err := t.lineOf(q.Place.File, q.Place.Page, q.Place.Line); err == nil && q.Place.Line > 0 {
		page, on := t.pageOf(v, int32(line))
		data.Compare = comparePath(x.Key, v, page+1, on)
		data.Line = linePath(x.Key, v, line)
		data.Result = t.result(int32(v), int32(line), len(q.Cells))
	}
	return about(x, &view{Page: "place", Title: "Doubtful place " + strconv.Itoa(data.Number) + " of " + strconv.Itoa(data.Of), Trail: append(trail(x), crumb{titlePath(x.Key) + "/places", "Doubtful places"}), Data: data, Variant: t.variant()})
}

// Kept reports whether cells of the place are in the edition.
func (p *placeData) Kept() bool {
	return slices.ContainsFunc(p.Result, func(e edited) bool { return e.Here })
}

// Why is what is wrong with a field.
func (p *placeData) Why(id string) string { return whyOf(p.Wrong, id) }

// like are the other places of the title with the same question about the same
// words: those that nobody has answered, or, of a place that is answered, those with
// the same answer.
func (t *title) like(q *decide.Question) []*decide.Question {
	var out []*decide.Question
	mine := t.decided.Answer(q.ID)
	for i := range t.res.Questions {
		o := &t.res.Questions[i]
		if o.ID == q.ID || o.Kind.ID != q.Kind.ID || o.Kind.About == decide.Title || !slices.Equal(tidy(o.Cells), tidy(q.Cells)) {
			continue
		}
		if theirs := t.decided.Answer(o.ID); mine == nil && o.Open() && theirs == nil || mine != nil && theirs != nil && theirs.Choice == mine.Choice {
			out = append(out, o)
		}
	}
	return out
}

// tidy are lines with one blank between words.
func tidy(lines []string) []string {
	var out []string
	for _, l := range lines {
		out = append(out, strings.Join(strings.Fields(l), " "))
	}
	return out
}

// gravity says how much a question matters.
var gravity = map[diag.Severity]string{diag.Stop: "stop: the edition is not to be passed on before this is answered", diag.Look: "look: a person should see this", diag.Note: "note: a small doubt"}

// beside finds the places before and after.
func (p *placeData) beside(t *title, all bool) {
	list := asked(t, all)
	at := slices.Index(list, p.Question)
	if at < 0 { // a small doubt that was reached by its address
		all, list = true, asked(t, true)
		at = slices.Index(list, p.Question)
	}
	p.All, p.Number, p.Of = all, at+1, len(list)
	if at > 0 {
		p.Before = placePath(p.Key, list[at-1].ID, all)
	}
	if at+1 < len(list) {
		p.After = placePath(p.Key, list[at+1].ID, all)
	}
}

// result are the lines of the edition round a place: those that n lines of the
// source stand in, and two before and after.
func (t *title) result(vol, line int32, n int) []edited {
	first, last := int32(-1), int32(-1)
	here := map[int32]bool{}
	take := func(list []int32) {
		for _, l := range list {
			if first < 0 || l < first {
				first = l
			}
			last = max(last, l)
		}
	}
	for i := line; i < line+int32(max(n, 1)); i++ {
		for _, l := range t.trace.of(vol, i) {
			here[l] = true
		}
		take(t.trace.of(vol, i))
	}
	for near := int32(1); first < 0 && near < 8; near++ { // left out: what stands round it
		take(t.trace.of(vol, line-near))
		take(t.trace.of(vol, line+near))
	}
	if first < 0 {
		return nil
	}
	var out []edited
	for l := max(0, first-2); l <= min(last+2, first+12, int32(len(t.trace.lines))-1); l++ {
		out = append(out, edited{int(l) + 1, string(t.trace.lines[l]), here[l]})
	}
	return out
}

// whoDecides reads who decides and why from a form.
func whoDecides(r *request) (who, why string, w []wrong) {
	who, why = strings.TrimSpace(r.PostForm.Get("who")), strings.TrimSpace(r.PostForm.Get("why"))
	switch fault := wordsFault(who); {
	case who == "":
		w = append(w, wrong{"who", "Your name", "who decides? write your name; it stands in the file and in the account"})
	case fault != "":
		w = append(w, wrong{"who", "Your name", "the name " + fault + "; write another"})
	}
	if fault := wordsFault(why); fault != "" {
		w = append(w, wrong{"why", "Why", "the reason " + fault + "; shorten it to " + strconv.Itoa(maxWords) + " letters"})
	}
	return who, why, w
}

// keepWho keeps the name of who just decided in the browser.
func (d *Desk) keepWho(r *request, who string) {
	if p := r.prefs; p.Who != who {
		p.Who = who
		d.keepPrefs(r, p)
	}
}

// decide writes an answer, or takes it back; that of all places of the title with the
// same words when it is asked for.
func (d *Desk) decide(r *request) (string, error) {
	x, t, err := d.both(r)
	if err != nil {
		return "", err
	}
	id, all, undo := r.PathValue("id"), r.PostForm.Get("all") == "1", r.PostForm.Get("undo") != ""
	q, err := t.question(id)
	if err != nil && !undo { // an answer can be taken back after its question is gone
		return "", err
	}
	who, why, w := whoDecides(r)
	if len(w) > 0 && q == nil {
		return "", bad(w[0].Why, "go back and write it")
	}
	if len(w) > 0 {
		return "", &again{d.placeView(r, x, t, q, all, w)}
	}
	var like []*decide.Question
	if q != nil && r.PostForm.Get("like") != "" {
		like = t.like(q)
	}
	if undo {
		return d.undo(r, x, t, id, like, who, all)
	}
	choice := r.PostForm.Get("choice")
	if !q.Kind.Has(choice) {
		return "", bad("this is not one of the choices for this place", "go back and take one of the buttons")
	}
	if err := d.change(r, x, t, who, func(text []byte) ([]byte, error) {
		for _, each := range append([]*decide.Question{q}, like...) {
			if text, err = decide.Put(t.decisions, text, each.With(choice, who, why, d.o.Today())); err != nil {
				return nil, err
			}
		}
		return text, nil
	}); err != nil {
		return "", err
	}
	done := "decided"
	if len(like) > 0 {
		done += "all"
	}
	return d.next(r, x, t, id, done+more(all)), nil
}

func (d *Desk) undo(r *request, x *catalogue.Detail, t *title, id string, like []*decide.Question, who string, all bool) (string, error) {
	if t.decided.Answer(id) == nil {
		return "", &problem{http.StatusConflict, "there is no answer to take back at this place", "a house rule is taken back in the profile"}
	}
	ids := []string{id}
	for _, q := range like {
		ids = append(ids, q.ID)
	}
	if err := d.change(r, x, t, who, func(text []byte) (_ []byte, err error) {
		for _, id := range ids {
			if text, err = decide.Remove(t.decisions, text, id); err != nil {
				return nil, err
			}
		}
		return text, nil
	}); err != nil {
		return "", err
	}
	done := "?done=undone"
	if len(like) > 0 {
		done += "all"
	}
	back := titlePath(x.Key) + "/places"
	if n, err := d.open(r.Context(), x); err == nil {
		if _, err := n.question(id); err == nil {
			return back[:len(back)-1] + "/" + url.PathEscape(id) + done + more(all), nil
		}
	}
	return back + done + more(all), nil
}

func more(all bool) string {
	if all {
		return "&all=1"
	}
	return ""
}

// change writes the file of decisions and tells the catalogue.
func (d *Desk) change(r *request, x *catalogue.Detail, t *title, who string, do func([]byte) ([]byte, error)) error {
	d.titles.mu.Lock()
	err := decidefile.Change(t.decisions, do)
	d.titles.mu.Unlock()
	if err != nil {
		return &problem{http.StatusConflict, err.Error(), "nothing was changed"}
	}
	d.keepWho(r, who)
	return batch.SyncTitle(r.Context(), d.cat, x.Title, who)
}

// next is the page of the next open place after one that was just decided, or the list
// when there is none. done is what to say, as it stands in an address.
func (d *Desk) next(r *request, x *catalogue.Detail, before *title, id, done string) string {
	query := "?done=" + done + "&last=" + url.QueryEscape(id)
	t, err := d.open(r.Context(), x)
	if err != nil {
		return titlePath(x.Key) + "/places" + query // the page tells why
	}
	order := asked(before, r.PostForm.Get("all") == "1")
	at := slices.IndexFunc(order, func(q *decide.Question) bool { return q.ID == id })
	for i := range order {
		q, err := t.question(order[(at+1+i+len(order))%len(order)].ID)
		if err == nil && q.ID != id && q.Open() {
			return titlePath(x.Key) + "/place/" + url.PathEscape(q.ID) + query
		}
	}
	return titlePath(x.Key) + "/places" + query
}
