package catalogue

import (
	"context"
	"database/sql"
)

// Ending is how a volume ends, of a title that has an edition and is not gone.
type Ending struct {
	Key, Name string
	Position  int    // in reading order, from 1
	Last      bool   // the last volume of its title
	Final     string // cell, line or feed
	Closing   bool   // it says that it, or the book, ends
}

// Endings are the endings of all volumes, title by title.
func (c *Catalogue) Endings(ctx context.Context) ([]Ending, error) {
	var out []Ending
	err := c.each(ctx, `SELECT t.key, v.name, v.position, v.position = (SELECT max(position) FROM volumes w WHERE w.title_id = t.id), v.final, v.closing
		FROM volumes v JOIN titles t ON t.id = v.title_id WHERE NOT t.gone AND v.final <> '' ORDER BY t.key, v.position`, nil, func(rows *sql.Rows) error {
		var e Ending
		err := rows.Scan(&e.Key, &e.Name, &e.Position, &e.Last, &e.Final, &e.Closing)
		out = append(out, e)
		return err
	})
	return out, err
}

// SetReason gives titles that are ready one reason more, of a kind that only the
// whole archive tells, by key; such a title is one to look at then. Titles that have
// a reason of the kind and are not named lose it and are ready again. Confidences
// are those with and without the reason. It returns the keys that changed.
func (c *Catalogue) SetReason(ctx context.Context, kind string, texts map[string]string, with, without float64) (changed []string, err error) {
	err = c.write(ctx, func(tx *sql.Tx) error {
		changed = nil
		had, err := withReason(ctx, tx, kind)
		if err != nil {
			return err
		}
		for key, text := range had {
			if now, ok := texts[key]; ok && now == text {
				continue
			}
			if err := all(ctx, tx, key,
				"DELETE FROM reasons WHERE position = 1 AND title_id = (SELECT id FROM titles WHERE key = ?)",
				"UPDATE reasons SET position = 1 WHERE position = 2 AND title_id = (SELECT id FROM titles WHERE key = ?)"); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, "UPDATE titles SET state = ?, confidence = ? WHERE key = ?", Ready, without, key); err != nil {
				return err
			}
			changed = append(changed, key)
		}
		for key, text := range texts {
			res, err := tx.ExecContext(ctx, "UPDATE titles SET state = ?, confidence = ? WHERE key = ? AND state = ?", Look, with, key, Ready)
			if err != nil {
				return err
			}
			if n, err := res.RowsAffected(); err != nil || n == 0 {
				continue
			}
			if err := all(ctx, tx, key, "UPDATE reasons SET position = 2 WHERE position = 1 AND title_id = (SELECT id FROM titles WHERE key = ?)"); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, "INSERT INTO reasons (title_id, position, kind, text) SELECT id, 1, ?, ? FROM titles WHERE key = ?", kind, text, key); err != nil {
				return err
			}
			changed = append(changed, key)
		}
		return nil
	})
	return changed, err
}

// withReason are the texts of a kind of reason, by key.
func withReason(ctx context.Context, tx *sql.Tx, kind string) (map[string]string, error) {
	rows, err := tx.QueryContext(ctx, "SELECT t.key, r.text FROM reasons r JOIN titles t ON t.id = r.title_id WHERE r.kind = ? AND r.position = 1", kind)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]string{}
	for rows.Next() {
		var key, text string
		if err := rows.Scan(&key, &text); err != nil {
			return nil, err
		}
		out[key] = text
	}
	return out, rows.Err()
}

// all runs statements about the title with a key.
func all(ctx context.Context, tx *sql.Tx, key string, statements ...string) error {
	for _, s := range statements {
		if _, err := tx.ExecContext(ctx, s, key); err != nil {
			return err
		}
	}
	return nil
}
