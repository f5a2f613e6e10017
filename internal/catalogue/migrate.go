package catalogue

import (
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"sort"
)

//go:embed migrations/*.sql
var migrations embed.FS

// steps are the migrations in their order. A migration that was ever released
// is never changed; what changes is a new file with the next number.
func steps() []string {
	entries, err := migrations.ReadDir("migrations")
	if err != nil {
		panic(err) // they are part of the program
	}
	var out []string
	for _, e := range entries {
		out = append(out, "migrations/"+e.Name())
	}
	sort.Strings(out)
	return out
}

func version(db *sql.DB) (n int, err error) {
	err = db.QueryRow("PRAGMA user_version").Scan(&n)
	return n, err
}

// ErrNewer is the error of a catalogue in a form that this program does not know.
var ErrNewer = errors.New("it was made by a newer continuo")

func tooNew(have int) error {
	return fmt.Errorf("%w: its form is %d, this program knows %d", ErrNewer, have, len(steps()))
}

// migrate brings a catalogue up to date, each step in one transaction.
func migrate(db *sql.DB) error {
	have, err := version(db)
	if err != nil {
		return err
	}
	var tables, ours int
	if err := db.QueryRow("SELECT count(*), count(CASE name WHEN 'titles' THEN 1 END) FROM sqlite_master WHERE type = 'table'").Scan(&tables, &ours); err != nil {
		return err
	}
	if tables > 0 && ours == 0 {
		return errors.New("it is a database of another program")
	}
	list := steps()
	if have > len(list) {
		return tooNew(have)
	}
	for ; have < len(list); have++ {
		text, err := migrations.ReadFile(list[have])
		if err != nil {
			return err
		}
		if err := step(db, string(text), have); err != nil {
			return fmt.Errorf("%s: %w", list[have], err)
		}
	}
	return nil
}

// step runs one migration, unless another program did so meanwhile.
func step(db *sql.DB, text string, from int) error {
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback()
	now := 0
	if err := tx.QueryRow("PRAGMA user_version").Scan(&now); err != nil || now != from {
		return err
	}
	if _, err := tx.Exec(text); err != nil {
		return err
	}
	if _, err := tx.Exec(fmt.Sprintf("PRAGMA user_version = %d", from+1)); err != nil {
		return err
	}
	return tx.Commit()
}
