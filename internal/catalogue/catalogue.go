// Package catalogue keeps what is known of an archive in one SQLite file, and
// holds all SQL of the project. What stands in it of sources and editions can
// be made again from the files; decisions, corrections, requests and history
// are a person's work, and nothing ever deletes them.
//
// A catalogue is opened with Open. Reading is safe from any goroutine and
// beside a run: readers never wait for a writer (write-ahead log). Writing goes
// through one connection at a time; a second program waits up to a minute.
//
//	Open, OpenReadOnly, Close
//	List(Filter)          titles with filters, full-text search, order, paging
//	Show(key)             one title with all that belongs to it
//	Stats                 counts for a first page
//	Plan, Save, MarkGone  what a run writes
//	Log                   who did what and when
//	Check, Backup, Dump   integrity, a copy, canonical text for comparison
//
// Other writers (decisions, shelf) add their queries here in files of their
// own; db.write runs a function in one transaction.
package catalogue

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"modernc.org/sqlite" // the driver "sqlite": SQLite itself, without cgo
	sqlite3 "modernc.org/sqlite/lib"
)

// FileName is the name of a catalogue in its folder.
const FileName = "catalogue.db"

// busy is how long a writer waits for another one, in milliseconds.
const busy = 60_000

// Catalogue is an open catalogue.
type Catalogue struct {
	path string
	r    *sql.DB // several connections
	w    *sql.DB // one connection; nil when opened to read only
	now  func() time.Time

	mu   sync.Mutex
	look *sql.Conn // of r, the one that Version asks
}

// ErrUnwritable is the error of a catalogue, or a folder for one, that may not be
// written to; it can be read.
var ErrUnwritable = errors.New("it may not be written to")

// ErrNotFound is the error of a key that no title has.
var ErrNotFound = errors.New("no such title")

// Open opens the catalogue in a file, makes it when it is not there, and
// brings an older one up to date.
func Open(path string) (*Catalogue, error) {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%q is not a file", path)
	}
	if err := writable(path); err != nil {
		return nil, err
	}
	w, err := connect(path, "rwc", 1)
	if err != nil {
		return nil, err
	}
	if err := patiently(func() error { return migrate(w) }); err != nil {
		w.Close()
		return nil, fmt.Errorf("catalogue %q: %w", path, plain(err))
	}
	r, err := connect(path, "rw", 5)
	if err != nil {
		w.Close()
		return nil, err
	}
	return &Catalogue{path: path, r: r, w: w, now: time.Now}, nil
}

// writable opens the file of a catalogue for writing: what speaks against it SQLite
// does not tell.
func writable(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if err == nil {
		return f.Close()
	}
	if !errors.Is(err, os.ErrPermission) && !errors.Is(err, syscall.EROFS) {
		return nil // SQLite tells what it is
	}
	var cause *os.PathError
	if errors.As(err, &cause) {
		err = cause.Err
	}
	return fmt.Errorf("catalogue %q: %w (%w)", path, ErrUnwritable, err)
}

// patiently does again what fails because another program makes the same
// catalogue at this moment: the change to a write-ahead log does not wait by
// itself (SQLite, PRAGMA journal_mode and busy_timeout).
func patiently(work func() error) error {
	for end := time.Now().Add(busy * time.Millisecond); ; time.Sleep(20 * time.Millisecond) {
		err := work()
		var e *sqlite.Error
		if !errors.As(err, &e) || e.Code()&0xff != sqlite3.SQLITE_BUSY || time.Now().After(end) {
			return err
		}
	}
}

// OpenReadOnly opens a catalogue that must be there and be up to date.
// Everything that writes returns an error.
func OpenReadOnly(path string) (*Catalogue, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, fmt.Errorf("no catalogue %q", path)
	}
	r, err := connect(path, "ro", 5)
	if err != nil {
		return nil, err
	}
	have, err := version(r)
	if err != nil && settled(path) { // a folder that may not be written to
		r.Close()
		if r, err = connect(path, "immutable", 5); err != nil {
			return nil, err
		}
		have, err = version(r)
	}
	c := &Catalogue{path: path, r: r, now: time.Now}
	switch {
	case err != nil:
		err = fmt.Errorf("catalogue %q: %w", path, plain(err))
	case have > len(steps()):
		err = fmt.Errorf("catalogue %q: %w", path, tooNew(have))
	case have < len(steps()):
		r.Close()
		if c, err = Open(path); err == nil {
			return c, nil
		}
		return nil, err
	}
	if err != nil {
		r.Close()
		return nil, err
	}
	return c, nil
}

// settled reports whether all that was written to a catalogue is in its one
// file, so that it can be read without the files beside it.
func settled(path string) bool {
	info, err := os.Stat(path + "-wal")
	return errors.Is(err, os.ErrNotExist) || err == nil && info.Size() == 0
}

// connect opens a pool of connections to a file. The path goes into a URI, so
// that any sign may stand in it.
func connect(path, mode string, most int) (*sql.DB, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	full = filepath.ToSlash(full)
	if !strings.HasPrefix(full, "/") { // C:/...
		full = "/" + full
	}
	uri := url.URL{Scheme: "file", Path: full}
	q := url.Values{"mode": {mode}, "_txlock": {"immediate"}, "_pragma": {
		fmt.Sprintf("busy_timeout(%d)", busy), "foreign_keys(1)", "synchronous(NORMAL)", "cache_size(-8000)", "temp_store(MEMORY)"}}
	if mode == "rwc" {
		q["_pragma"] = append(q["_pragma"], "journal_mode(WAL)")
	}
	if mode == "immutable" || mode == "immutable copy" {
		q.Set("mode", "ro")
		q.Set("immutable", "1")
	}
	if q.Get("mode") == "ro" {
		q.Del("_txlock")
	}
	if mode == "ro" || mode == "immutable" {
		q.Add("_pragma", "query_only(1)")
	}
	uri.RawQuery = q.Encode()
	db, err := sql.Open("sqlite", uri.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}

// Path is the file of the catalogue.
func (c *Catalogue) Path() string { return c.path }

// Folder is the folder of the catalogue; paths of editions are relative to it.
func (c *Catalogue) Folder() string { return filepath.Dir(c.path) }

// Version is another number whenever anybody has written to the catalogue since it was
// asked for last, here or in another program.
func (c *Catalogue) Version(ctx context.Context) (int64, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.look == nil {
		conn, err := c.r.Conn(ctx)
		if err != nil {
			return 0, plain(err)
		}
		c.look = conn
	}
	var n int64 // SQLite: changes with commits of other connections, to be compared on one connection only
	err := c.look.QueryRowContext(ctx, "PRAGMA data_version").Scan(&n)
	return n, plain(err)
}

// Close closes the catalogue.
func (c *Catalogue) Close() error {
	c.mu.Lock()
	if c.look != nil {
		c.look.Close()
		c.look = nil
	}
	c.mu.Unlock()
	err := c.r.Close()
	if c.w != nil {
		err = errors.Join(err, c.w.Close())
	}
	return err
}

// errReadOnly is the error of writing to a catalogue that was opened to read.
var errReadOnly = errors.New("the catalogue was opened to read only")

// write runs f in one transaction, which stands whole or not at all.
func (c *Catalogue) write(ctx context.Context, f func(*sql.Tx) error) error {
	if c.w == nil {
		return errReadOnly
	}
	tx, err := c.w.BeginTx(ctx, nil)
	if err != nil {
		return plain(err)
	}
	defer tx.Rollback()
	if err := f(tx); err != nil {
		return plain(err)
	}
	return plain(tx.Commit())
}

// plain puts the errors of the database that people meet into plain words.
func plain(err error) error {
	if err == nil {
		return nil
	}
	s := err.Error()
	for _, p := range []struct{ sign, words string }{
		{"database or disk is full", "the disk is full"},
		{"attempt to write a readonly database", "it cannot be written to"},
		{"unable to open database file", "it cannot be opened, or files beside it cannot be made"},
		{"disk I/O error", "the disk reports an error"},
		{"file is not a database", "it is no catalogue of this program, or it is damaged"},
		{"database disk image is malformed", "it is damaged; take the last backup"},
		{"database is locked", "another program is writing to it"},
	} {
		if strings.Contains(s, p.sign) {
			return fmt.Errorf("%s (%w)", p.words, err)
		}
	}
	return err
}

// stamp is a time as it stands in the catalogue.
func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// Setting returns a setting of the catalogue, "" when it was never set.
func (c *Catalogue) Setting(ctx context.Context, name string) (string, error) {
	var v string
	err := c.r.QueryRowContext(ctx, "SELECT value FROM settings WHERE name = ?", name).Scan(&v)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return v, plain(err)
}

// Set keeps a setting of the catalogue.
func (c *Catalogue) Set(ctx context.Context, name, value string) error {
	return c.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO settings VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value", name, value)
		return err
	})
}
