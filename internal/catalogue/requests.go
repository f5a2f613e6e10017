package catalogue

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// RequestState is where a request stands.
type RequestState string

const (
	Waiting RequestState = "open"    // waits
	Unclear RequestState = "unclear" // no title, or several, are meant
	Sent    RequestState = "sent"
	Refused RequestState = "refused" // cannot be delivered, and why
	Closed  RequestState = "closed"  // by a person
)

// RequestStates lists the states of requests.
func RequestStates() []RequestState { return []RequestState{Waiting, Unclear, Sent, Refused, Closed} }

// Request is what a reader asked for. Reader is a code, never a name.
type Request struct {
	ID      int64        `json:"id"`
	Reader  string       `json:"reader"`
	Key     string       `json:"key"`    // of the title, "" while it is not clear
	Wanted  string       `json:"wanted"` // as asked for
	Format  string       `json:"format"`
	Wishes  string       `json:"wishes"` // JSON
	Due     string       `json:"due"`    // a date
	State   RequestState `json:"state"`
	Added   string       `json:"added"`
	Changed string       `json:"changed"`
	Note    string       `json:"note"`
}

// AddRequests puts requests into the queue, all or none, and returns their
// numbers. One that is there already (the same reader, title, wishes and day, open or
// unclear, or sent when it was due on a day) is not put in again: it has the number of
// that one, and again is true for it.
func (c *Catalogue) AddRequests(ctx context.Context, list []Request) (ids []int64, again []bool, err error) {
	err = c.write(ctx, func(tx *sql.Tx) error {
		ids, again = nil, nil
		now := stamp(c.now())
		for _, r := range list {
			id, waits, err := waiting(ctx, tx, r)
			if err == nil && !waits {
				id, err = insertRequest(ctx, tx, r, now)
			}
			if err != nil {
				return err
			}
			ids, again = append(ids, id), append(again, waits)
		}
		return nil
	})
	return ids, again, err
}

// waiting looks for a request that is the same: it means the same
// title, or none yet and has the same words.
func waiting(ctx context.Context, tx *sql.Tx, r Request) (id int64, found bool, err error) {
	err = tx.QueryRowContext(ctx, `SELECT r.id FROM requests r LEFT JOIN titles t ON t.id = r.title_id
		WHERE (r.state IN (?, ?) OR r.state = ? AND r.due <> '') AND r.reader = ? COLLATE NOCASE AND r.wishes = ? AND r.due = ?
		AND (t.key <> '' AND t.key = ? OR r.wanted = ? COLLATE NOCASE) ORDER BY r.id LIMIT 1`,
		Waiting, Unclear, Sent, r.Reader, r.Wishes, r.Due, r.Key, r.Wanted).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	return id, err == nil, err
}

func insertRequest(ctx context.Context, tx *sql.Tx, r Request, now string) (int64, error) {
	res, err := tx.ExecContext(ctx, `INSERT INTO requests (reader, title_id, wanted, format, wishes, due, state, added, note)
		VALUES (?, (SELECT id FROM titles WHERE key = ?), ?, ?, ?, ?, ?, ?, ?)`, r.Reader, r.Key, r.Wanted, r.Format, r.Wishes, r.Due, r.State, now, r.Note)
	if err != nil {
		return 0, err
	}
	return res.LastInsertId()
}

// Requests lists requests, the next due first; state and reader "" mean any.
func (c *Catalogue) Requests(ctx context.Context, state RequestState, reader string) ([]Request, error) {
	out := []Request{}
	err := c.each(ctx, `SELECT r.id, r.reader, coalesce(t.key, ''), r.wanted, r.format, r.wishes, r.due, r.state, r.added, r.changed, r.note
		FROM requests r LEFT JOIN titles t ON t.id = r.title_id WHERE (? = '' OR r.state = ?) AND (? = '' OR r.reader = ?)
		ORDER BY r.due = '', r.due, r.id`, []any{state, state, reader, reader}, func(rows *sql.Rows) error {
		var r Request
		err := rows.Scan(&r.ID, &r.Reader, &r.Key, &r.Wanted, &r.Format, &r.Wishes, &r.Due, &r.State, &r.Added, &r.Changed, &r.Note)
		out = append(out, r)
		return err
	})
	return out, err
}

// SetRequest changes the state of a request; key, when not "", says which title
// is meant.
func (c *Catalogue) SetRequest(ctx context.Context, id int64, key string, state RequestState, note string) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, `UPDATE requests SET state = ?, note = ?, changed = ?, title_id = coalesce((SELECT id FROM titles WHERE key = ?), title_id) WHERE id = ?`,
			state, note, stamp(c.now()), key, id)
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err == nil && n == 0 {
			return fmt.Errorf("there is no request %d", id)
		}
		return nil
	})
}

// CardTitle is one title on a card.
type CardTitle struct {
	Key, Format, Path, SHA256 string
	Bytes                     int64
}

// AddCard notes a card that was built: which titles it holds.
func (c *Catalogue) AddCard(ctx context.Context, name, reader, wishes string, titles []CardTitle) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		now := stamp(c.now())
		res, err := tx.ExecContext(ctx, "INSERT INTO cards (name, reader, wishes, built) VALUES (?, ?, ?, ?)", name, reader, wishes, now)
		if err != nil {
			return err
		}
		id, err := res.LastInsertId()
		if err != nil {
			return err
		}
		for _, t := range titles {
			if _, err := tx.ExecContext(ctx, `INSERT INTO card_titles (card_id, title_id, format, path, bytes, sha256, at)
				SELECT ?, id, ?, ?, ?, ?, ? FROM titles WHERE key = ?`, id, t.Format, t.Path, t.Bytes, t.SHA256, now, t.Key); err != nil {
				return err
			}
		}
		return nil
	})
}
