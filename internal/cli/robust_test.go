package cli

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/demo"
)

// Damaged files never make read, look, ride or find panic, whatever the flags; and what
// read prints is the same each time.
func TestReadDamaged(t *testing.T) {
	raw, err := demo.Titles[2].Volume("WEATHERv01.BRF")
	if err != nil {
		t.Fatal(err)
	}
	dice := rand.New(rand.NewPCG(1, 2))
	path := filepath.Join(t.TempDir(), "a.brf")
	signs := []byte("\r\n\f  \"3#--,;_%.@^1'\x80\x00az")
	for n := range 60 {
		file := bytes.Clone(raw[dice.IntN(len(raw)/2):])
		for range 1 + n*n {
			file[dice.IntN(len(file))] = signs[dice.IntN(len(signs))]
		}
		if n%4 == 0 {
			file = file[:dice.IntN(400)]
		}
		if err := os.WriteFile(path, file, 0o666); err != nil {
			t.Fatal(err)
		}
		for _, flag := range []string{"", "--pages", "--headings"} {
			args := []string{"read", path, "--code", "ebae"}
			if flag != "" {
				args = append(args, flag)
			}
			var first, again bytes.Buffer
			Run(args, &first, &bytes.Buffer{})
			Run(args, &again, &bytes.Buffer{})
			if first.String() != again.String() {
				t.Fatalf("file %d, %v: not the same print twice", n, args)
			}
		}
		Run([]string{"look", path}, &bytes.Buffer{}, &bytes.Buffer{})
		Run([]string{"ride", path}, &bytes.Buffer{}, &bytes.Buffer{})
		edition := bytes.ReplaceAll(file, []byte("\f"), nil)
		if err := os.WriteFile(path, edition, 0o666); err != nil {
			t.Fatal(err)
		}
		Run([]string{"find", "--json", path}, &bytes.Buffer{}, &bytes.Buffer{})
	}
}
