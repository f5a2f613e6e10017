package batch

import (
	"os"
	"testing"
)

// BenchmarkRun converts, proves and catalogues the demo's titles, or the
// archive that CONTINUO_BENCH_DIR names.
func BenchmarkRun(b *testing.B) {
	dir := os.Getenv("CONTINUO_BENCH_DIR")
	if dir == "" {
		dir = b.TempDir()
		shelf(b, dir)
	}
	for b.Loop() {
		s := must(b, b.TempDir(), nil, dir)
		b.SetBytes(s.MadeBytes)
	}
}

// BenchmarkUnchanged looks over an archive in which nothing changed.
func BenchmarkUnchanged(b *testing.B) {
	dir := os.Getenv("CONTINUO_BENCH_DIR")
	if dir == "" {
		dir = b.TempDir()
		shelf(b, dir)
	}
	home := b.TempDir()
	must(b, home, nil, dir)
	for b.Loop() {
		must(b, home, nil, dir)
	}
}
