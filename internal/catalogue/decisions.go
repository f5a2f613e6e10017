package catalogue

import (
	"context"
	"database/sql"
)

// Correction is a misprint that a person mended. State is "" while it is
// applied, else why it was refused. Undone is when it was taken back.
type Correction struct {
	ID       int64  `json:"id"`
	Place    string `json:"place"`
	Where    string `json:"where"` // in words
	Old      string `json:"old_cells"`
	New      string `json:"new_cells"`
	Who      string `json:"who"`
	At       string `json:"at"`
	Why      string `json:"why,omitempty"`
	State    string `json:"state"`
	Undone   string `json:"undone,omitempty"`
	UndoneBy string `json:"undone_by,omitempty"`
}

// Decided brings what the catalogue knows of people's decisions about a title in
// line with its file of decisions, which says what holds: what is new is taken
// in, what is no longer there is marked as taken back. Nothing is deleted. who
// stands in the history.
func (c *Catalogue) Decided(ctx context.Context, key, who string, decisions []Decision, corrections []Correction) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		var id int64
		err := tx.QueryRowContext(ctx, "SELECT id FROM titles WHERE key = ?", key).Scan(&id)
		if err != nil {
			return err
		}
		d := decider{ctx, tx, id, who, stamp(c.now())}
		if err := d.decisions(decisions); err != nil {
			return err
		}
		return d.corrections(corrections)
	})
}

type decider struct {
	ctx     context.Context
	tx      *sql.Tx
	id      int64
	who, at string
}

// log writes a line of history.
func (d decider) log(who, what, text string) error {
	_, err := d.tx.ExecContext(d.ctx, "INSERT INTO history (title_id, at, who, what, text) VALUES (?, ?, ?, ?, ?)", d.id, d.at, who, what, text)
	return err
}

// standing reads what holds, as rows of one text each, with their numbers.
func (d decider) standing(query string) (map[string]int64, error) {
	rows, err := d.tx.QueryContext(d.ctx, query, d.id)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]int64{}
	for rows.Next() {
		var text string
		var id int64
		if err := rows.Scan(&text, &id); err != nil {
			return nil, err
		}
		out[text] = id
	}
	return out, rows.Err()
}

// undo marks rows as taken back.
func (d decider) undo(table string, old map[string]int64) error {
	for text, id := range old {
		if _, err := d.tx.ExecContext(d.ctx, "UPDATE "+table+" SET undone = ?, undone_by = ? WHERE id = ?", d.at, d.who, id); err != nil {
			return err
		}
		if err := d.log(d.who, "taken back", text); err != nil {
			return err
		}
	}
	return nil
}

func (d decider) decisions(list []Decision) error {
	old, err := d.standing("SELECT place || ' ' || choice, id FROM decisions WHERE title_id = ? AND undone = ''")
	if err != nil {
		return err
	}
	var fresh []Decision
	for _, x := range list {
		text := x.Place + " " + x.Choice
		if _, known := old[text]; known {
			delete(old, text)
			continue
		}
		fresh = append(fresh, x)
	}
	if err := d.undo("decisions", old); err != nil {
		return err
	}
	for _, x := range fresh {
		if _, err := d.tx.ExecContext(d.ctx, "INSERT INTO decisions (title_id, place, kind, choice, who, at, note) VALUES (?, ?, ?, ?, ?, ?, ?)", d.id, x.Place, x.Kind, x.Choice, x.Who, d.at, x.Note); err != nil {
			return err
		}
		if err := d.log(x.Who, "decided", x.Place+" "+x.Choice); err != nil {
			return err
		}
	}
	return nil
}

func (d decider) corrections(list []Correction) error {
	old, err := d.standing("SELECT place || ' ' || old_cells || ' > ' || new_cells, id FROM corrections WHERE title_id = ? AND undone = ''")
	if err != nil {
		return err
	}
	var fresh []Correction
	for _, x := range list {
		text := x.Place + " " + x.Old + " > " + x.New
		id, known := old[text]
		if !known {
			fresh = append(fresh, x)
			continue
		}
		delete(old, text)
		if _, err := d.tx.ExecContext(d.ctx, "UPDATE corrections SET state = ? WHERE id = ? AND state <> ?", x.State, id, x.State); err != nil {
			return err
		}
	}
	if err := d.undo("corrections", old); err != nil {
		return err
	}
	for _, x := range fresh {
		if _, err := d.tx.ExecContext(d.ctx, "INSERT INTO corrections (title_id, place, file, old_cells, new_cells, who, at, why, state) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
			d.id, x.Place, x.Where, x.Old, x.New, x.Who, d.at, x.Why, x.State); err != nil {
			return err
		}
		if err := d.log(x.Who, "mended", x.Where+": "+x.Old+" > "+x.New); err != nil {
			return err
		}
	}
	return nil
}

// Corrections lists what people mended in a title, what was taken back too.
func (c *Catalogue) Corrections(ctx context.Context, key string) ([]Correction, error) {
	out := []Correction{}
	err := c.each(ctx, `SELECT x.id, x.place, x.file, x.old_cells, x.new_cells, x.who, x.at, x.why, x.state, x.undone, x.undone_by
		FROM corrections x JOIN titles t ON t.id = x.title_id WHERE t.key = ? ORDER BY x.id`, []any{key}, func(r *sql.Rows) error {
		var x Correction
		err := r.Scan(&x.ID, &x.Place, &x.Where, &x.Old, &x.New, &x.Who, &x.At, &x.Why, &x.State, &x.Undone, &x.UndoneBy)
		out = append(out, x)
		return err
	})
	return out, err
}

// WithDecisions tells which titles have decisions or corrections that hold.
func (c *Catalogue) WithDecisions(ctx context.Context) (map[string]bool, error) {
	out := map[string]bool{}
	err := c.each(ctx, `SELECT key FROM titles WHERE id IN (SELECT title_id FROM decisions WHERE undone = '' UNION SELECT title_id FROM corrections WHERE undone = '')`, nil, func(r *sql.Rows) error {
		var key string
		err := r.Scan(&key)
		out[key] = true
		return err
	})
	return out, err
}
