package catalogue

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Filter says which titles are meant. The zero value means all whose sources
// are there, the ones that ask most of a person first.
type Filter struct {
	States        []State // any of these; none: all
	Text          string  // words that must all be in title, author, subject or headings, their beginnings at least
	Title, Author string  // parts of the title or author in print, in any case
	Code          string  // UEB, SEB, EBAE, unknown
	Finding       string  // kind of a finding, of a reason or of a question
	Asked         string  // kind of a question that was asked, small ones too; titles made before this was noted are meant as well
	Subject       string  // metadata: a subject
	Key           string  // beginning of a key
	Since         string  // made at or after this time or date (RFC 3339, or its beginning)
	Confidence    float64 // at most this; 0: any
	Unproved      bool    // only those that are not proved
	Uncontracted  bool    // only those in uncontracted braille
	Gone          bool    // only those whose sources are gone
	Any           bool    // those whose sources are gone too
	Sort          string  // one of Sorts(); "": state
	Reverse       bool
	Limit, Offset int // Limit 0: all
}

// Asked is the figure of how many questions a title has; with a blank and a kind after
// it, how many of the kind.
const Asked = "asked"

// sorts are the orders of lists: a column's name to what it is ordered by.
var sorts = map[string]string{
	"state":      "CASE t.state WHEN 'stop' THEN 0 WHEN 'look' THEN 1 WHEN 'new' THEN 2 ELSE 3 END, t.confidence, t.key",
	"key":        "t.key",
	"title":      "t.title COLLATE NOCASE, t.key",
	"author":     "t.author COLLATE NOCASE, t.key",
	"confidence": "t.confidence, t.key",
	"made":       "t.made, t.key",
	"pages":      "t.pages, t.key",
	"match":      "bm25(search, 10, 5, 1, 3), t.key",
}

// Sorts lists the names of the orders. "match" is for a Filter with Text.
func Sorts() []string {
	return []string{"state", "key", "title", "author", "confidence", "made", "pages", "match"}
}

// Page is a part of a list. Total counts all that the filter means.
type Page struct {
	Titles []Title `json:"titles"`
	Total  int     `json:"total"`
	Offset int     `json:"offset"`
}

const columns = `t.key, t.location, t.found_by, t.sidecar, t.state, t.confidence, t.fault, t.title, t.title_cells, t.author, t.author_cells, t.code, t.contracted,
	t.capitals, t.code_sure, t.layout, t.pages, t.bytes, t.fingerprint, t.content, t.tool, t.added, t.made, t.gone,
	(SELECT count(*) FROM volumes v WHERE v.title_id = t.id), coalesce((SELECT r.text FROM reasons r WHERE r.title_id = t.id AND r.position = 1), '')`

func (t *Title) fields() []any {
	return []any{&t.Key, &t.Location, &t.FoundBy, &t.Sidecar, &t.State, &t.Confidence, &t.Fault, &t.Title, &t.TitleCells, &t.Author, &t.AuthorCells, &t.Code, &t.Contracted,
		&t.Capitals, &t.CodeSure, &t.Layout, &t.Pages, &t.Bytes, &t.Fingerprint, &t.Content, &t.Tool, &t.Added, &t.Made, &t.Gone, &t.Volumes, &t.Best}
}

// List returns the titles that a filter means.
func (c *Catalogue) List(ctx context.Context, f Filter) (Page, error) {
	p := Page{Titles: []Title{}, Offset: f.Offset}
	from, args, err := f.clause()
	if err != nil {
		return p, err
	}
	if err := c.r.QueryRowContext(ctx, "SELECT count(*) "+from, args...).Scan(&p.Total); err != nil {
		return p, plain(err)
	}
	order, err := f.order()
	if err != nil {
		return p, err
	}
	if f.Limit > 0 && f.Limit <= maxChosen {
		p.Titles, err = c.chosen(ctx, "SELECT t.id "+from+order+" LIMIT ? OFFSET ?", append(args, f.Limit, f.Offset))
		return p, err
	}
	limit := f.Limit
	if limit <= 0 {
		limit = -1
	}
	err = c.each(ctx, "SELECT "+columns+" "+from+order+" LIMIT ? OFFSET ?", append(args, limit, f.Offset), func(r *sql.Rows) error {
		var t Title
		err := r.Scan(t.fields()...)
		p.Titles = append(p.Titles, t)
		return err
	})
	return p, err
}

// maxChosen is how many titles are read by their numbers.
const maxChosen = 500

// chosen are the titles whose numbers a query returns, in its order. What is costly to
// read is read of these only, and not of all that are sorted.
func (c *Catalogue) chosen(ctx context.Context, query string, args []any) ([]Title, error) {
	at := map[int64]int{}
	ids := []any{}
	err := c.each(ctx, query, args, func(r *sql.Rows) error {
		var id int64
		err := r.Scan(&id)
		at[id], ids = len(ids), append(ids, id)
		return err
	})
	out := make([]Title, len(ids))
	if err != nil || len(ids) == 0 {
		return out, err
	}
	err = c.each(ctx, "SELECT "+columns+", t.id FROM titles t WHERE t.id IN (?"+strings.Repeat(", ?", len(ids)-1)+")", ids, func(r *sql.Rows) error {
		var t Title
		var id int64
		err := r.Scan(append(t.fields(), &id)...)
		out[at[id]] = t
		return err
	})
	return out, err
}

// Extent counts the titles that a filter means and that have an edition of a
// format of at most so many bytes, and adds these bytes up.
func (c *Catalogue) Extent(ctx context.Context, f Filter, format string, most int64) (titles int, bytes int64, err error) {
	from, args, err := f.clause()
	if err != nil {
		return 0, 0, err
	}
	err = c.r.QueryRowContext(ctx, "SELECT count(*), coalesce(sum(e.bytes), 0) FROM editions e WHERE e.format = ? AND e.bytes <= ? AND e.title_id IN (SELECT t.id "+from+")",
		append([]any{format, most}, args...)...).Scan(&titles, &bytes)
	return titles, bytes, plain(err)
}

// Editions are the editions of titles in a format, by the keys of the titles.
func (c *Catalogue) Editions(ctx context.Context, format string, titles []Title) (map[string]Edition, error) {
	out := map[string]Edition{}
	query, args := "SELECT t.key, e.format, e.path, e.bytes, e.sha256 FROM editions e JOIN titles t ON t.id = e.title_id WHERE e.format = ?", []any{format}
	if n := len(titles); n > 0 && n <= maxChosen { // else all is as quick
		query += " AND t.key IN (?" + strings.Repeat(", ?", n-1) + ")"
		for _, t := range titles {
			args = append(args, t.Key)
		}
	}
	err := c.each(ctx, query, args, func(r *sql.Rows) error {
		key, e := "", Edition{}
		err := r.Scan(&key, &e.Format, &e.Path, &e.Bytes, &e.SHA256)
		out[key] = e
		return err
	})
	return out, err
}

func (f Filter) order() (string, error) {
	name := f.Sort
	if name == "" {
		name = "state"
	}
	by, ok := sorts[name]
	if !ok || name == "match" && f.Text == "" {
		return "", fmt.Errorf("no such order: %q; there are %s", name, strings.Join(Sorts(), ", "))
	}
	if f.Reverse {
		list := strings.Split(by, ", ")
		if name == "match" {
			list = []string{"bm25(search, 10, 5, 1, 3)", "t.key"}
		}
		by = strings.Join(list, " DESC, ") + " DESC"
	}
	return " ORDER BY " + by, nil
}

// clause is FROM and WHERE of a filter.
func (f Filter) clause() (string, []any, error) {
	from, where, args := "FROM titles t", []string{}, []any{}
	add := func(cond string, a ...any) { where, args = append(where, cond), append(args, a...) }
	if f.Text != "" {
		q := Match(f.Text)
		if q == "" {
			return "", nil, fmt.Errorf("no word to look for in %q", f.Text)
		}
		from = "FROM search JOIN titles t ON t.id = search.rowid"
		add("search MATCH ?", q)
	}
	switch {
	case f.Gone:
		add("t.gone")
	case !f.Any:
		add("NOT t.gone")
	}
	if len(f.States) > 0 {
		var marks []string
		var list []any
		for _, s := range f.States {
			if !slices.Contains(States(), s) {
				return "", nil, fmt.Errorf("no such state: %q; there are stop, look, ready, new", string(s))
			}
			marks, list = append(marks, "?"), append(list, string(s))
		}
		add("t.state IN ("+strings.Join(marks, ", ")+")", list...)
	}
	f.more(add)
	if len(where) > 0 {
		from += " WHERE " + strings.Join(where, " AND ")
	}
	return from, args, nil
}

// more adds the conditions that cannot be wrong.
func (f Filter) more(add func(string, ...any)) {
	if f.Title != "" {
		add(`(t.title LIKE ? ESCAPE '\' OR EXISTS (SELECT 1 FROM metadata m WHERE m.title_id = t.id AND m.name = 'title' AND m.value LIKE ? ESCAPE '\'))`, part(f.Title), part(f.Title))
	}
	if f.Author != "" {
		add(`(t.author LIKE ? ESCAPE '\' OR EXISTS (SELECT 1 FROM metadata m WHERE m.title_id = t.id AND m.name = 'author' AND m.value LIKE ? ESCAPE '\'))`, part(f.Author), part(f.Author))
	}
	if f.Code != "" {
		add("t.code = ? COLLATE NOCASE", f.Code)
	}
	if f.Finding != "" {
		add("t.id IN (SELECT title_id FROM findings WHERE kind = ? UNION SELECT title_id FROM reasons WHERE kind = ? UNION SELECT title_id FROM figures WHERE name = ?)",
			f.Finding, f.Finding, Asked+" "+f.Finding)
	}
	if f.Asked != "" {
		add("(t.id IN (SELECT title_id FROM figures WHERE name = ?) OR t.id NOT IN (SELECT title_id FROM figures WHERE name = ?))", Asked+" "+f.Asked, Asked)
	}
	if f.Subject != "" {
		add(`EXISTS (SELECT 1 FROM metadata m WHERE m.title_id = t.id AND m.name = 'subject' AND m.value LIKE ? ESCAPE '\')`, part(f.Subject))
	}
	if f.Key != "" {
		add(`t.key LIKE ? ESCAPE '\'`, strings.TrimPrefix(part(f.Key), "%"))
	}
	if f.Since != "" {
		add("t.made >= ?", f.Since)
	}
	if f.Confidence > 0 {
		add("t.confidence <= ?", f.Confidence)
	}
	if f.Uncontracted {
		add("NOT t.contracted")
	}
	if f.Unproved {
		add("NOT EXISTS (SELECT 1 FROM proofs p WHERE p.title_id = t.id AND p.proved)")
	}
}

// part is a LIKE pattern for a part of a text.
func part(s string) string {
	return "%" + strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(s) + "%"
}

// Match is the query of full-text search for words as a person types them: all
// of them, each at least as the beginning of a word; signs mean nothing.
func Match(text string) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) })
	for i, w := range words {
		words[i] = `"` + w + `"*`
	}
	return strings.Join(words, " ")
}

// each runs a query and calls f on every row.
func (c *Catalogue) each(ctx context.Context, query string, args []any, f func(*sql.Rows) error) error {
	rows, err := c.r.QueryContext(ctx, query, args...)
	if err != nil {
		return plain(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return plain(err)
		}
	}
	return plain(rows.Err())
}

// Show returns one title with all that belongs to it.
func (c *Catalogue) Show(ctx context.Context, key string) (*Detail, error) {
	d, id := &Detail{Figures: map[string]int64{}}, int64(0)
	err := c.r.QueryRowContext(ctx, "SELECT "+columns+", t.id FROM titles t WHERE t.key = ?", key).Scan(append(d.fields(), &id)...)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, fmt.Errorf("%w: %q", ErrNotFound, key)
	}
	if err != nil {
		return nil, plain(err)
	}
	if d.VolumeList, err = list(c, ctx, "number, of, prelim, name, path, bytes, sha256, encoding, width, height, pages, layout, first_page, last_page, print_first, print_last, final, closing FROM volumes WHERE title_id = ? ORDER BY position", id,
		func(v *Volume) []any {
			return []any{&v.Number, &v.Of, &v.Prelim, &v.Name, &v.Path, &v.Bytes, &v.SHA256, &v.Encoding, &v.Width, &v.Height, &v.Pages, &v.Layout, &v.FirstPage, &v.LastPage, &v.PrintFirst, &v.PrintLast, &v.Final, &v.Closing}
		}); err != nil {
		return nil, err
	}
	if d.Findings, err = list(c, ctx, "place, kind, severity, file, page, line, text, cells, print FROM findings WHERE title_id = ? ORDER BY position", id,
		func(f *Finding) []any {
			return []any{&f.Place, &f.Kind, &f.Severity, &f.File, &f.Page, &f.Line, &f.Text, &f.Cells, &f.Print}
		}); err != nil {
		return nil, err
	}
	if err := c.details(ctx, id, d); err != nil {
		return nil, err
	}
	return d, c.proof(ctx, id, d)
}

// details reads the shorter lists of a title.
func (c *Catalogue) details(ctx context.Context, id int64, d *Detail) (err error) {
	if d.PassedOver, err = list(c, ctx, "path, why FROM passed_over WHERE title_id = ? ORDER BY path", id, func(p *PassedOver) []any { return []any{&p.Path, &p.Why} }); err != nil {
		return err
	}
	if d.Editions, err = list(c, ctx, "format, path, bytes, sha256 FROM editions WHERE title_id = ? ORDER BY format", id,
		func(e *Edition) []any { return []any{&e.Format, &e.Path, &e.Bytes, &e.SHA256} }); err != nil {
		return err
	}
	if d.Reasons, err = list(c, ctx, "kind, text FROM reasons WHERE title_id = ? ORDER BY position", id, func(r *Reason) []any { return []any{&r.Kind, &r.Text} }); err != nil {
		return err
	}
	if d.Headings, err = list(c, ctx, "line, level, cells, print FROM headings WHERE title_id = ? ORDER BY position", id,
		func(h *Heading) []any { return []any{&h.Line, &h.Level, &h.Cells, &h.Print} }); err != nil {
		return err
	}
	if d.Metadata, err = list(c, ctx, "name, value, origin FROM metadata WHERE title_id = ? ORDER BY name, position", id,
		func(m *Metadata) []any { return []any{&m.Name, &m.Value, &m.Origin} }); err != nil {
		return err
	}
	if d.Decisions, err = list(c, ctx, "id, place, kind, choice, who, at, note, undone, undone_by FROM decisions WHERE title_id = ? ORDER BY id", id,
		func(x *Decision) []any {
			return []any{&x.ID, &x.Place, &x.Kind, &x.Choice, &x.Who, &x.At, &x.Note, &x.Undone, &x.UndoneBy}
		}); err != nil {
		return err
	}
	if d.History, err = list(c, ctx, "at, who, what, text FROM history WHERE title_id = ? ORDER BY id", id,
		func(e *Event) []any { return []any{&e.At, &e.Who, &e.What, &e.Text} }); err != nil {
		return err
	}
	return c.each(ctx, "SELECT name, value FROM figures WHERE title_id = ? ORDER BY name", []any{id}, func(r *sql.Rows) error {
		name, v := "", int64(0)
		err := r.Scan(&name, &v)
		d.Figures[name] = v
		return err
	})
}

func (c *Catalogue) proof(ctx context.Context, id int64, d *Detail) error {
	list, err := list(c, ctx, "proved, problems, first, cells, kept, moved, replaced, left_out, written, edition, tool, at FROM proofs WHERE title_id = ?", id,
		func(p *Proof) []any {
			return []any{&p.Proved, &p.Problems, &p.First, &p.Cells, &p.Kept, &p.Moved, &p.Replaced, &p.LeftOut, &p.Written, &p.Edition, &p.Tool, &p.At}
		})
	if err == nil && len(list) > 0 {
		d.Proof = &list[0]
	}
	return err
}

// list reads rows of one kind; fields gives the places of their columns.
func list[T any](c *Catalogue, ctx context.Context, query string, id int64, fields func(*T) []any) ([]T, error) {
	out := []T{}
	err := c.each(ctx, "SELECT "+query, []any{id}, func(r *sql.Rows) error {
		var x T
		err := r.Scan(fields(&x)...)
		out = append(out, x)
		return err
	})
	return out, err
}

// Keys lists the keys that begin with a text, at most limit of them, for
// completion.
func (c *Catalogue) Keys(ctx context.Context, begin string, limit int) ([]string, error) {
	var out []string
	err := c.each(ctx, `SELECT key FROM titles WHERE key LIKE ? ESCAPE '\' ORDER BY key LIMIT ?`, []any{strings.TrimPrefix(part(begin), "%"), limit}, func(r *sql.Rows) error {
		var k string
		err := r.Scan(&k)
		out = append(out, k)
		return err
	})
	return out, err
}

// Count is a name with how many titles, files or findings it has.
type Count struct {
	Name  string `json:"name"`
	Count int    `json:"count"`
}

// Stats are the figures of a whole archive.
type Stats struct {
	Titles     int     `json:"titles"`
	Gone       int     `json:"gone"`
	States     []Count `json:"states"`
	Volumes    int     `json:"volumes"`
	Pages      int     `json:"pages"`
	Bytes      int64   `json:"bytes"`
	Proved     int     `json:"proved"`
	Failed     int     `json:"failed"` // titles without an edition of their present sources
	Codes      []Count `json:"codes"`
	Reasons    []Count `json:"reasons"`  // kinds of best reasons of titles that are not ready
	Findings   []Count `json:"findings"` // kinds of findings that want a person
	PassedOver int     `json:"passed_over"`
	LastRun    *Run    `json:"last_run"`
}

// Stats counts the archive.
func (c *Catalogue) Stats(ctx context.Context) (*Stats, error) {
	s := &Stats{}
	err := c.r.QueryRowContext(ctx, `SELECT count(*) FILTER (WHERE NOT gone), count(*) FILTER (WHERE gone), coalesce(sum(pages) FILTER (WHERE NOT gone), 0),
		coalesce(sum(bytes) FILTER (WHERE NOT gone), 0), count(*) FILTER (WHERE NOT gone AND fault <> '') FROM titles`).Scan(&s.Titles, &s.Gone, &s.Pages, &s.Bytes, &s.Failed)
	if err == nil {
		err = c.r.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM volumes v JOIN titles t ON t.id = v.title_id WHERE NOT t.gone),
		(SELECT count(*) FROM proofs p JOIN titles t ON t.id = p.title_id WHERE NOT t.gone AND p.proved), (SELECT count(*) FROM passed_over)`).Scan(&s.Volumes, &s.Proved, &s.PassedOver)
	}
	if err != nil {
		return nil, plain(err)
	}
	for _, q := range []struct {
		to    *[]Count
		query string
	}{
		{&s.States, "SELECT state, count(*) FROM titles t WHERE NOT gone GROUP BY state ORDER BY " + strings.Split(sorts["state"], ", t.confidence")[0]},
		{&s.Codes, "SELECT code, count(*) FROM titles WHERE NOT gone AND code <> '' GROUP BY code ORDER BY 2 DESC, 1"},
		{&s.Reasons, "SELECT r.kind, count(*) FROM reasons r JOIN titles t ON t.id = r.title_id WHERE NOT t.gone AND r.position = 1 AND t.state <> 'ready' GROUP BY r.kind ORDER BY 2 DESC, 1"},
		{&s.Findings, "SELECT f.kind, count(*) FROM findings f JOIN titles t ON t.id = f.title_id WHERE NOT t.gone AND f.severity <> 'note' GROUP BY f.kind ORDER BY 2 DESC, 1"},
	} {
		*q.to = []Count{}
		err := c.each(ctx, q.query, nil, func(r *sql.Rows) error {
			var x Count
			err := r.Scan(&x.Name, &x.Count)
			*q.to = append(*q.to, x)
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return s, c.lastRun(ctx, s)
}

func (c *Catalogue) lastRun(ctx context.Context, s *Stats) error {
	return c.each(ctx, "SELECT id, started, ended, tool, titles, made, unchanged, failed FROM runs ORDER BY id DESC LIMIT 1", nil, func(r *sql.Rows) error {
		s.LastRun = &Run{}
		return r.Scan(&s.LastRun.ID, &s.LastRun.Started, &s.LastRun.Ended, &s.LastRun.Tool, &s.LastRun.Titles, &s.LastRun.Made, &s.LastRun.Unchanged, &s.LastRun.Failed)
	})
}

// PassedOverFiles lists the files of the archive that are no part of any
// edition, and why.
func (c *Catalogue) PassedOverFiles(ctx context.Context) ([]PassedOver, error) {
	out := []PassedOver{}
	err := c.each(ctx, "SELECT path, why FROM passed_over ORDER BY path", nil, func(r *sql.Rows) error {
		var p PassedOver
		err := r.Scan(&p.Path, &p.Why)
		out = append(out, p)
		return err
	})
	return out, err
}
