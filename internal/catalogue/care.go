package catalogue

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"continuo/internal/atomicfile"
)

// Check looks the whole catalogue over: the file itself, references between
// tables, and the full-text index. It returns what is wrong, nothing when all
// is sound.
func (c *Catalogue) Check(ctx context.Context) ([]string, error) {
	var out []string
	err := c.each(ctx, "PRAGMA integrity_check", nil, func(r *sql.Rows) error {
		var s string
		err := r.Scan(&s)
		if s != "ok" {
			out = append(out, s)
		}
		return err
	})
	if err != nil {
		return out, err
	}
	err = c.each(ctx, "PRAGMA foreign_key_check", nil, func(r *sql.Rows) error {
		var table, parent string
		var row, key sql.NullInt64
		err := r.Scan(&table, &row, &parent, &key)
		out = append(out, fmt.Sprintf("table %s, row %d: names a row of %s that is not there", table, row.Int64, parent))
		return err
	})
	if err != nil || c.w == nil {
		return out, err
	}
	if _, err := c.w.ExecContext(ctx, "INSERT INTO search (search, rank) VALUES ('integrity-check', 0)"); err != nil {
		out = append(out, "full-text search: "+err.Error())
	}
	return out, nil
}

// Backup writes a whole copy of the catalogue, as it is at this moment, to a
// file that must not be there yet. The copy is complete or absent.
func (c *Catalogue) Backup(ctx context.Context, to string) (err error) {
	if _, err := os.Lstat(to); err == nil {
		return fmt.Errorf("%q is there already", to)
	}
	dir, base := filepath.Split(to)
	temp := fmt.Sprintf("%s.%s.%d.tmp", dir, base, os.Getpid())
	defer os.Remove(temp)
	os.Remove(temp)
	mode := "rw" // also where this catalogue was opened to read: a copy is written all the same
	if writable(c.path) != nil && settled(c.path) {
		mode = "immutable copy"
	}
	db, err := connect(c.path, mode, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, "VACUUM INTO ?", temp); err != nil {
		return fmt.Errorf("%q: %w", to, plain(err))
	}
	f, err := os.OpenFile(temp, os.O_RDWR, 0)
	if err == nil {
		err = f.Sync()
		if e := f.Close(); err == nil {
			err = e
		}
	}
	if err == nil {
		err = atomicfile.Rename(temp, to)
	}
	if err != nil {
		return fmt.Errorf("%q: %w", to, err)
	}
	return nil
}

// untimed are columns that differ between two runs that did the same: ids and
// times.
var untimed = map[string]bool{"added": true, "made": true, "at": true, "modified": true, "seen": true, "undone": true}

// Dump writes what the catalogue holds as text, one row a line, in an order
// that depends on the content alone. Row numbers, times and the list of runs
// are left out, so that two runs that did the same give the same text.
func (c *Catalogue) Dump(ctx context.Context, w io.Writer) error {
	keys := map[int64]string{}
	err := c.each(ctx, "SELECT id, key FROM titles", nil, func(r *sql.Rows) error {
		var id int64
		var key string
		err := r.Scan(&id, &key)
		keys[id] = key
		return err
	})
	if err != nil {
		return err
	}
	var tables []string
	err = c.each(ctx, "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'search%' AND name NOT LIKE 'sqlite%' AND name NOT IN ('runs', 'settings') ORDER BY name", nil, func(r *sql.Rows) error {
		var name string
		err := r.Scan(&name)
		tables = append(tables, name)
		return err
	})
	for _, t := range append(tables, "search") {
		if err == nil {
			err = c.dumpTable(ctx, w, t, keys)
		}
	}
	return err
}

func (c *Catalogue) dumpTable(ctx context.Context, w io.Writer, table string, keys map[int64]string) error {
	query := "SELECT * FROM " + table
	if table == "search" {
		query = "SELECT rowid AS title_id, * FROM search"
	}
	var lines []string
	err := c.each(ctx, query, nil, func(r *sql.Rows) error {
		names, err := r.Columns()
		if err != nil {
			return err
		}
		vals := make([]any, len(names))
		at := make([]any, len(names))
		for i := range vals {
			at[i] = &vals[i]
		}
		if err := r.Scan(at...); err != nil {
			return err
		}
		row := map[string]any{}
		for i, n := range names {
			switch id, ok := vals[i].(int64); {
			case untimed[n] || n == "id":
			case n == "title_id" && ok:
				row["title"] = keys[id]
			default:
				row[n] = vals[i]
			}
		}
		text, err := json.Marshal(row)
		lines = append(lines, table+" "+string(text))
		return err
	})
	if err != nil {
		return err
	}
	sort.Strings(lines)
	_, err = io.WriteString(w, strings.Join(append(lines, ""), "\n"))
	return err
}
