package catalogue

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"continuo/internal/safename"
)

// Found is a title as the search for titles found it. Location is unique and
// stable; Name is what its key is made of.
type Found struct {
	Location, Name, FoundBy, Sidecar string
}

// Plan gives every title that was found its key, the one it has already or a
// new one, and returns the keys by location. A new key is its name in small
// letters, digits and hyphens; when another title has that, with the name of
// the folder before it, or else with a short hash of the location. A set of files that was divided (Split) keeps the key that
// it had.
func (c *Catalogue) Plan(ctx context.Context, found []Found) (map[string]string, error) {
	keys := map[string]string{}
	err := c.write(ctx, func(tx *sql.Tx) error {
		taken, err := c.keys(ctx, tx, keys, "SELECT key, location FROM titles")
		if err != nil {
			return err
		}
		groups := map[string]string{}
		inGroups, err := c.keys(ctx, tx, groups, "SELECT key, location FROM groups")
		if err != nil {
			return err
		}
		for k := range inGroups {
			taken[k] = true
		}
		for _, f := range found {
			if k := groups[f.Location]; k != "" {
				keys[f.Location] = k
				continue
			}
			if err := c.plan(ctx, tx, f, keys, taken); err != nil {
				return err
			}
		}
		return nil
	})
	return keys, err
}

// keys reads the keys that there are.
func (c *Catalogue) keys(ctx context.Context, tx *sql.Tx, byLocation map[string]string, query string) (taken map[string]bool, err error) {
	taken = map[string]bool{}
	rows, err := tx.QueryContext(ctx, query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var key, location string
		if err := rows.Scan(&key, &location); err != nil {
			return nil, err
		}
		taken[key] = true
		byLocation[location] = key
	}
	return taken, rows.Err()
}

func (c *Catalogue) plan(ctx context.Context, tx *sql.Tx, f Found, keys map[string]string, taken map[string]bool) error {
	if key := keys[f.Location]; key != "" {
		_, err := tx.ExecContext(ctx, "UPDATE titles SET gone = 0, found_by = ?, sidecar = ? WHERE key = ? AND (gone OR found_by <> ? OR sidecar <> ?)",
			f.FoundBy, f.Sidecar, key, f.FoundBy, f.Sidecar)
		return err
	}
	key := Slug(f.Name)
	if taken[key] { // with the name of the folder that it is in
		key = Slug(path.Base(path.Dir(filepath.ToSlash(f.Location))) + " " + f.Name)
	}
	if taken[key] {
		sum := sha256.Sum256([]byte(f.Location))
		for n := 3; taken[key]; n++ {
			key = Slug(f.Name) + "-" + hex.EncodeToString(sum[:n])
		}
	}
	taken[key], keys[f.Location] = true, key
	_, err := tx.ExecContext(ctx, "INSERT INTO titles (key, location, found_by, sidecar, added) VALUES (?, ?, ?, ?, ?)", key, f.Location, f.FoundBy, f.Sidecar, stamp(c.now()))
	return err
}

// maxSlug is the length of the longest key made of a name.
const maxSlug = 48

// Slug is a name in letters a to z, digits and hyphens, at most 48 long: accents
// go, letters of other scripts are hyphens. It is safe as a file name everywhere.
func Slug(name string) string {
	var b strings.Builder
	for _, r := range safename.Fold(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == '\'' || r == '’':
		default:
			if s := b.String(); s != "" && !strings.HasSuffix(s, "-") {
				b.WriteByte('-')
			}
		}
	}
	s := b.String()
	if len(s) > maxSlug {
		s = s[:maxSlug]
	}
	switch s = strings.Trim(s, "-"); {
	case s == "":
		return "title"
	case safename.Device(s):
		return s + "-title"
	}
	return s
}

// Save writes what a run knows of titles, all in one transaction. What was
// known of their sources and editions before is replaced; decisions, history
// and requests stay.
func (c *Catalogue) Save(ctx context.Context, records []Record) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		s := saver{ctx: ctx, tx: tx, at: stamp(c.now()), stmts: map[string]*sql.Stmt{}}
		for i := range records {
			if s.record(&records[i]); s.err != nil {
				return fmt.Errorf("title %q: %w", records[i].Key, s.err)
			}
		}
		return nil
	})
}

// saver writes records in one transaction; after an error it does nothing.
type saver struct {
	ctx   context.Context
	tx    *sql.Tx
	at    string
	stmts map[string]*sql.Stmt
	err   error
}

func (s *saver) stmt(query string) *sql.Stmt {
	if st := s.stmts[query]; st != nil {
		return st
	}
	st, err := s.tx.PrepareContext(s.ctx, query)
	if err != nil {
		s.err = err
		return nil
	}
	s.stmts[query] = st
	return st
}

func (s *saver) do(query string, args ...any) {
	if s.err != nil {
		return
	}
	if st := s.stmt(query); st != nil {
		_, s.err = st.ExecContext(s.ctx, args...)
	}
}

// many inserts rows of the same table, up to 20 in one statement.
func (s *saver) many(into string, n int, row func(i int) []any) {
	const most = 20
	for i := 0; i < n && s.err == nil; {
		k := min(most, n-i)
		var args []any
		for j := range k {
			args = append(args, row(i+j)...)
		}
		one := "(" + strings.TrimSuffix(strings.Repeat("?, ", len(args)/k), ", ") + ")"
		s.do("INSERT INTO "+into+" VALUES "+strings.TrimSuffix(strings.Repeat(one+", ", k), ", "), args...)
		i += k
	}
}

// parts are the tables that belong to a title and are written anew.
var parts = []string{"volumes", "files", "passed_over", "editions", "pending", "findings", "reasons", "proofs", "figures", "headings"}

func (s *saver) record(r *Record) {
	var id int64
	if s.err = s.stmt("SELECT id FROM titles WHERE key = ?").QueryRowContext(s.ctx, r.Key).Scan(&id); s.err != nil {
		return
	}
	if r.Fault != "" {
		s.keepName(id, r)
	}
	for _, table := range parts {
		s.do("DELETE FROM "+table+" WHERE title_id = ?", id)
	}
	s.do("DELETE FROM metadata WHERE title_id = ? AND origin <> 'person'", id)
	s.do(`UPDATE titles SET state = ?, confidence = ?, fault = ?, title = ?, title_cells = ?, author = ?, author_cells = ?, code = ?, contracted = ?,
		capitals = ?, code_sure = ?, layout = ?, pages = ?, bytes = ?, fingerprint = ?, content = ?, tool = ?, made = ?, gone = 0 WHERE id = ?`,
		string(r.State), r.Confidence, r.Fault, r.Title.Title, r.TitleCells, r.Author, r.AuthorCells, r.Code, r.Contracted,
		r.Capitals, r.CodeSure, r.Layout, r.Pages, r.Bytes, r.Fingerprint, r.Content, r.Tool, s.at, id)
	s.lists(id, r)
	s.search(id, r)
	if r.Event.What != "" {
		s.do("INSERT INTO history (title_id, at, who, what, text) VALUES (?, ?, ?, ?, ?)", id, s.at, r.Event.Who, r.Event.What, r.Event.Text)
	}
}

// keepName gives a title that could not be made the title and author that it had
// when it was made before, so that it is found by them.
func (s *saver) keepName(id int64, r *Record) {
	var t Title
	if s.err = s.stmt("SELECT title, title_cells, author, author_cells FROM titles WHERE id = ?").QueryRowContext(s.ctx, id).Scan(&t.Title, &t.TitleCells, &t.Author, &t.AuthorCells); s.err == nil && t.TitleCells != "" {
		r.Title.Title, r.TitleCells, r.Author, r.AuthorCells = t.Title, t.TitleCells, t.Author, t.AuthorCells
	}
}

func (s *saver) lists(id int64, r *Record) {
	s.many("volumes", len(r.Volumes), func(i int) []any {
		v := &r.Volumes[i]
		return []any{id, i + 1, v.Number, v.Of, v.Prelim, v.Name, v.Path, v.Bytes, v.SHA256, v.Encoding, v.Width, v.Height, v.Pages, v.Layout, v.FirstPage, v.LastPage, v.PrintFirst, v.PrintLast, v.Final, v.Closing}
	})
	for _, f := range r.Files { // a file may have belonged to another title before
		s.do("INSERT OR REPLACE INTO files VALUES (?, ?, ?, ?, ?, ?)", f.Path, id, f.Bytes, f.Modified.UnixNano(), f.Seen.UnixNano(), f.SHA256)
	}
	for _, p := range r.PassedOver {
		s.do("INSERT OR REPLACE INTO passed_over VALUES (?, ?, ?)", p.Path, id, p.Why)
	}
	s.many("editions", len(r.Editions), func(i int) []any {
		e := &r.Editions[i]
		return []any{id, e.Format, e.Path, e.Bytes, e.SHA256, e.Modified.UnixNano()}
	})
	s.many("findings", len(r.Findings), func(i int) []any {
		f := &r.Findings[i]
		return []any{id, i + 1, f.Place, f.Kind, f.Severity, f.File, f.Page, f.Line, f.Text, f.Cells, f.Print}
	})
	s.many("reasons", len(r.Reasons), func(i int) []any { return []any{id, i + 1, r.Reasons[i].Kind, r.Reasons[i].Text} })
	if p := r.Proof; p != nil {
		s.do("INSERT INTO proofs VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
			id, p.Proved, p.Problems, p.First, p.Cells, p.Kept, p.Moved, p.Replaced, p.LeftOut, p.Written, p.Edition, p.Tool, s.at)
	}
	names := sortedNames(r.Figures)
	s.many("figures", len(names), func(i int) []any { return []any{id, names[i], r.Figures[names[i]]} })
	s.many("headings", len(r.Headings), func(i int) []any {
		h := &r.Headings[i]
		return []any{id, i + 1, h.Line, h.Level, h.Cells, h.Print}
	})
	count := map[string]int{}
	for _, m := range r.Metadata {
		count[m.Name]++
		s.do("INSERT OR IGNORE INTO metadata VALUES (?, ?, ?, ?, ?)", id, m.Name, count[m.Name], m.Value, m.Origin)
	}
}

func sortedNames(m map[string]int64) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// search writes the words that full-text search looks through.
func (s *saver) search(id int64, r *Record) {
	var headings, subjects []string
	for _, h := range r.Headings {
		headings = append(headings, h.Print)
	}
	titles, authors := []string{r.Title.Title}, []string{r.Author}
	for _, m := range r.Metadata {
		switch m.Name {
		case "title":
			titles = append(titles, m.Value)
		case "author":
			authors = append(authors, m.Value)
		case "subject":
			subjects = append(subjects, m.Value)
		}
	}
	s.do("DELETE FROM search WHERE rowid = ?", id)
	s.do("INSERT INTO search (rowid, title, author, headings, subject) VALUES (?, ?, ?, ?, ?)", id,
		strings.Join(titles, "\n"), strings.Join(authors, "\n"), strings.Join(headings, "\n"), strings.Join(subjects, "\n"))
}

// Pending notes the files of titles that are about to be written, by title key,
// so that after a kill they are known as this program's own.
func (c *Catalogue) Pending(ctx context.Context, files map[string][]Edition) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		for key, list := range files {
			for _, e := range list {
				if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO pending SELECT ?, id, ? FROM titles WHERE key = ?", e.Path, e.SHA256, key); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// MarkGone marks titles whose sources are no longer there; they keep their
// editions and decisions.
func (c *Catalogue) MarkGone(ctx context.Context, keys []string, who string) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		for _, k := range keys {
			res, err := tx.ExecContext(ctx, "UPDATE titles SET gone = 1 WHERE key = ? AND NOT gone", k)
			if err != nil {
				return err
			}
			if n, err := res.RowsAffected(); err != nil || n == 0 {
				continue
			}
			if _, err := tx.ExecContext(ctx, "INSERT INTO history (title_id, at, who, what) SELECT id, ?, ?, 'gone' FROM titles WHERE key = ?", stamp(c.now()), who, k); err != nil {
				return err
			}
		}
		return nil
	})
}

// Move gives a title another location: its sources were moved.
func (c *Catalogue) Move(ctx context.Context, key string, to Found, who string) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "UPDATE titles SET location = ?, found_by = ?, sidecar = ?, gone = 0 WHERE key = ?", to.Location, to.FoundBy, to.Sidecar, key); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO history (title_id, at, who, what, text) SELECT id, ?, ?, 'moved', ? FROM titles WHERE key = ?", stamp(c.now()), who, "to "+to.Location, key)
		return err
	})
}

// Stray replaces the list of files that belong to no title.
func (c *Catalogue) Stray(ctx context.Context, list []PassedOver) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM passed_over WHERE title_id IS NULL"); err != nil {
			return err
		}
		for _, p := range list {
			if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO passed_over VALUES (?, NULL, ?)", p.Path, p.Why); err != nil {
				return err
			}
		}
		return nil
	})
}

// Log writes a line of history. key may be "" for what concerns no one title.
func (c *Catalogue) Log(ctx context.Context, key, who, what, text string) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO history (title_id, at, who, what, text) VALUES ((SELECT id FROM titles WHERE key = ?), ?, ?, ?, ?)", key, stamp(c.now()), who, what, text)
		return err
	})
}

// Run is one run over the archive.
type Run struct {
	ID        int64  `json:"id"`
	Started   string `json:"started"`
	Ended     string `json:"ended"` // "": stopped before its end
	Tool      string `json:"tool"`
	Titles    int    `json:"titles"`
	Made      int    `json:"made"`
	Unchanged int    `json:"unchanged"`
	Failed    int    `json:"failed"`
}

// Begin notes the start of a run.
func (c *Catalogue) Begin(ctx context.Context, tool string) (id int64, err error) {
	err = c.write(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, "INSERT INTO runs (started, tool) VALUES (?, ?)", stamp(c.now()), tool)
		if err == nil {
			id, err = res.LastInsertId()
		}
		return err
	})
	return id, err
}

// End notes the end of a run.
func (c *Catalogue) End(ctx context.Context, r Run) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE runs SET ended = ?, titles = ?, made = ?, unchanged = ?, failed = ? WHERE id = ?", stamp(c.now()), r.Titles, r.Made, r.Unchanged, r.Failed, r.ID)
		return err
	})
}

// Known is what a run needs of a title to tell whether it changed.
type Known struct {
	Key, Location, Sidecar, Fingerprint, Content, Fault string
	State                                               State
	Gone                                                bool
	Editions                                            []Edition
	Pending                                             map[string]string // path to sha256 of files that were about to be written
}

// Known reads all titles with their editions, by location, and all files.
func (c *Catalogue) Known(ctx context.Context) (titles map[string]*Known, files map[string]File, err error) {
	titles, files = map[string]*Known{}, map[string]File{}
	byID := map[int64]*Known{}
	err = c.each(ctx, "SELECT id, key, location, sidecar, fingerprint, content, fault, state, gone FROM titles", nil, func(r *sql.Rows) error {
		k, id := &Known{Pending: map[string]string{}}, int64(0)
		err := r.Scan(&id, &k.Key, &k.Location, &k.Sidecar, &k.Fingerprint, &k.Content, &k.Fault, &k.State, &k.Gone)
		titles[k.Location], byID[id] = k, k
		return err
	})
	if err == nil {
		err = c.each(ctx, "SELECT title_id, format, path, bytes, sha256, modified FROM editions ORDER BY title_id, format", nil, func(r *sql.Rows) error {
			id, mod, e := int64(0), int64(0), Edition{}
			err := r.Scan(&id, &e.Format, &e.Path, &e.Bytes, &e.SHA256, &mod)
			e.Modified = time.Unix(0, mod)
			if k := byID[id]; k != nil {
				k.Editions = append(k.Editions, e)
			}
			return err
		})
	}
	if err == nil {
		err = c.each(ctx, "SELECT title_id, path, sha256 FROM pending", nil, func(r *sql.Rows) error {
			id, path, sum := int64(0), "", ""
			err := r.Scan(&id, &path, &sum)
			if k := byID[id]; k != nil {
				k.Pending[path] = sum
			}
			return err
		})
	}
	if err == nil {
		err = c.each(ctx, "SELECT path, bytes, modified, seen, sha256 FROM files", nil, func(r *sql.Rows) error {
			f, mod, seen := File{}, int64(0), int64(0)
			err := r.Scan(&f.Path, &f.Bytes, &mod, &seen, &f.SHA256)
			f.Modified, f.Seen = time.Unix(0, mod), time.Unix(0, seen)
			files[f.Path] = f
			return err
		})
	}
	return titles, files, err
}
