package convert

import (
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/source"
)

// BenchmarkMake converts a title of the demo, or the files of the folder
// CONTINUO_BENCH_DIR, from memory.
func BenchmarkMake(b *testing.B) { benchMake(b, Defaults()) }

// BenchmarkMakeFinders converts the same titles and computes their finders.
func BenchmarkMakeFinders(b *testing.B) {
	o := Defaults()
	o.Finders = true
	benchMake(b, o)
}

func benchMake(b *testing.B, o Options) {
	names, _ := filepath.Glob("../demo/data/bell/*.brf")
	if dir := os.Getenv("CONTINUO_BENCH_DIR"); dir != "" {
		names, _ = filepath.Glob(filepath.Join(dir, "*"))
	}
	var files []*source.File
	var size int64
	for _, n := range names {
		raw, err := os.ReadFile(n)
		if err != nil {
			b.Fatal(err)
		}
		f, err := source.Parse(n, raw)
		if err != nil {
			b.Fatal(err)
		}
		files, size = append(files, f), size+f.Bytes
	}
	if len(files) == 0 {
		b.Fatal("no volumes")
	}
	b.SetBytes(size)
	for b.Loop() {
		if _, err := Make(files, o); err != nil {
			b.Fatal(err)
		}
	}
}
