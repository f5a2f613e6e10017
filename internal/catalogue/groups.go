package catalogue

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
)

// Split notes that the title pages divide the files of a location into several
// titles, and returns their keys in the order given. Titles that were in it
// before and are no longer are marked as gone. The key of the whole set was
// given by Plan and stays kept for it.
func (c *Catalogue) Split(ctx context.Context, location, key, fingerprint string, in []Found) ([]string, error) {
	var keys []string
	err := c.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM titles WHERE location = ? AND fingerprint = ''", location); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO groups VALUES (?, ?, ?)", location, key, fingerprint); err != nil {
			return err
		}
		for _, f := range in {
			own, err := c.within(ctx, tx, key, f)
			if err != nil {
				return err
			}
			keys = append(keys, own)
		}
		return c.goneFrom(ctx, tx, location, in)
	})
	return keys, err
}

// within gives a title of a set its key: that of the set with its own name.
func (c *Catalogue) within(ctx context.Context, tx *sql.Tx, key string, f Found) (string, error) {
	var own string
	err := tx.QueryRowContext(ctx, "SELECT key FROM titles WHERE location = ?", f.Location).Scan(&own)
	if err == nil {
		_, err = tx.ExecContext(ctx, "UPDATE titles SET gone = 0, found_by = ?, sidecar = ? WHERE key = ?", f.FoundBy, f.Sidecar, own)
		return own, err
	}
	if err != sql.ErrNoRows {
		return "", err
	}
	for n := 1; ; n++ {
		if own = key + "-" + Slug(f.Name); n > 1 {
			own = fmt.Sprintf("%s-%d", own, n)
		}
		res, err := tx.ExecContext(ctx, "INSERT OR IGNORE INTO titles (key, location, found_by, sidecar, added) VALUES (?, ?, ?, ?, ?)", own, f.Location, f.FoundBy, f.Sidecar, stamp(c.now()))
		if err != nil {
			return "", err
		}
		if n, err := res.RowsAffected(); err != nil || n == 1 {
			return own, err
		}
	}
}

func (c *Catalogue) goneFrom(ctx context.Context, tx *sql.Tx, location string, in []Found) error {
	query, args := `UPDATE titles SET gone = 1 WHERE location LIKE ? ESCAPE '\'`, []any{strings.TrimPrefix(part(location+"#"), "%")}
	for _, f := range in {
		query += " AND location <> ?"
		args = append(args, f.Location)
	}
	_, err := tx.ExecContext(ctx, query, args...)
	return err
}

// Unsplit takes a split back: the files of the location are one title.
func (c *Catalogue) Unsplit(ctx context.Context, f Found) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "INSERT OR IGNORE INTO titles (key, location, found_by, sidecar, added) SELECT key, location, ?, ?, ? FROM groups WHERE location = ?", f.FoundBy, f.Sidecar, stamp(c.now()), f.Location); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM groups WHERE location = ?", f.Location); err != nil {
			return err
		}
		return c.goneFrom(ctx, tx, f.Location, nil)
	})
}

// Group is a set of files that the title pages divided.
type Group struct{ Key, Fingerprint string }

// Groups lists these sets by location.
func (c *Catalogue) Groups(ctx context.Context) (map[string]Group, error) {
	out := map[string]Group{}
	err := c.each(ctx, "SELECT location, key, fingerprint FROM groups", nil, func(r *sql.Rows) error {
		var loc string
		var g Group
		err := r.Scan(&loc, &g.Key, &g.Fingerprint)
		out[loc] = g
		return err
	})
	return out, err
}

// Seen notes files that were read again and found to be the same.
func (c *Catalogue) Seen(ctx context.Context, files []File) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		for _, f := range files {
			if _, err := tx.ExecContext(ctx, "UPDATE files SET bytes = ?, modified = ?, seen = ? WHERE path = ? AND sha256 = ?", f.Bytes, f.Modified.UnixNano(), f.Seen.UnixNano(), f.Path, f.SHA256); err != nil {
				return err
			}
		}
		return nil
	})
}
