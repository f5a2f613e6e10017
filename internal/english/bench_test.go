package english

import (
	"bytes"
	"testing"
)

// Benchmarks run over a novel in UEB as liblouis writes it, set in lines of 38
// cells: go test -bench . ./internal/english

func novelLines(b *testing.B) (lines [][]byte, cells []byte) {
	for _, p := range louisCells(b, Variant{UEB, true, true}, novel(b, "emma")) {
		lines = append(lines, wrap(p, 38)...)
	}
	return lines, bytes.Join(lines, []byte("\n"))
}

func BenchmarkRead(b *testing.B) {
	_, cells := novelLines(b)
	b.SetBytes(int64(len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		NewReader(Variant{UEB, true, true}).Text(cells)
	}
}

func BenchmarkReadMapped(b *testing.B) {
	_, cells := novelLines(b)
	b.SetBytes(int64(len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		NewReader(Variant{UEB, true, true}).Mapped(cells)
	}
}

func BenchmarkDetect(b *testing.B) {
	lines, cells := novelLines(b)
	b.SetBytes(int64(len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		Detect(lines)
	}
}

func BenchmarkLookup(b *testing.B) {
	lines, cells := novelLines(b)
	b.SetBytes(int64(len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		for _, l := range lines {
			Lookup(l)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(lines)), "ns/line")
}

func BenchmarkStrip(b *testing.B) {
	lines, cells := novelLines(b)
	b.SetBytes(int64(len(cells)))
	var dst []byte
	for b.Loop() {
		for _, l := range lines {
			dst = AppendStrip(dst[:0], l)
		}
	}
}

func BenchmarkVocabularyAdd(b *testing.B) {
	_, cells := novelLines(b)
	words := bytes.Fields(cells)
	b.SetBytes(int64(len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		var v Vocabulary
		for _, w := range words {
			v.Add(w)
		}
	}
	b.ReportMetric(float64(len(words)), "words")
}

func BenchmarkFirstUse(b *testing.B) {
	b.Run("lexicon", func(b *testing.B) {
		for b.Loop() {
			buildLexicon()
		}
	})
	b.Run("signs", func(b *testing.B) {
		for b.Loop() {
			buildSigns(UEB)
		}
	})
	b.Run("write", func(b *testing.B) {
		for b.Loop() {
			if _, err := Write("End of volume 1", Variant{UEB, true, true}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
