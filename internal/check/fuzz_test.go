package check

import (
	"testing"
)

// FuzzVerify gives any account and edition to the check beside good sources:
// it must end, and prove nothing but what is true.
func FuzzVerify(f *testing.F) {
	good := map[string]bool{}
	for _, x := range titles() {
		for _, x.packed = range []bool{false, true} {
			ed, acc, _ := x.sealed(f)
			f.Add(ed, acc)
			good[string(ed)+string(acc)] = true
		}
	}
	f.Add([]byte("a\n"), []byte("{}\n[\"keep\",1]\n{}\n"))
	files := sea().files(f)
	f.Fuzz(func(t *testing.T, ed, acc []byte) {
		r := Verify(ed, acc, files)
		if r.OK && !good[string(ed)+string(acc)] {
			t.Errorf("proved another edition or account")
		}
		if r.OK != (r.NProblems == 0) || len(r.Problems) > MaxShown {
			t.Errorf("%d problems, %d shown, ok %v", r.NProblems, len(r.Problems), r.OK)
		}
	})
}

// FuzzRecords gives any records, sealed as they should be, to the check.
func FuzzRecords(f *testing.F) {
	for _, x := range titles() {
		text := ""
		for _, r := range x.records {
			text += r + "\n"
		}
		f.Add(text)
	}
	f.Add("[\"keep\",999999999]\n[\"swap\",999999999,\"a\",\"h\"]\n[\"double\",1,\"sp\"]\n")
	f.Fuzz(func(t *testing.T, text string) {
		x := sea()
		x.records = splitLines(text)
		x.verify(t)
		x.packed, x.lines = true, x.records
		x.verify(t)
	})
}

func splitLines(s string) (out []string) {
	from := 0
	for i := range len(s) {
		if s[i] == '\n' {
			out = append(out, s[from:i])
			from = i + 1
		}
	}
	return out
}
