package check

import "testing"

func titles() []*triple { return []*triple{sea(), hill(), song()} }

func TestGood(t *testing.T) {
	for _, x := range titles() {
		for _, x.packed = range []bool{false, true} {
			r := x.verify(t)
			if !r.OK || r.NProblems > 0 {
				t.Errorf("%s, packed %v: %s", x.name, x.packed, show(r))
			}
		}
	}
}

// TestPackedRecords: packed records that are not well formed, or are not what
// the last line says.
func TestPackedRecords(t *testing.T) {
	good := sea()
	good.packed = true
	lines := good.pack(map[string]any{"sources": []any{}})
	for _, c := range []struct{ name, want, line string }{
		{"no such letter", "not well formed", `"q"`},
		{"a blank between", "not well formed", `"k o2H"`},
		{"a count of nothing", "not well formed", `"k0"`},
		{"a count too large to read", "not well formed", `"k99999999999999999999"`},
		{"a huge count", "after the last line", `"k999999999"`},
		{"a source without its line", "not well formed", `"@1"`},
		{"a cut without its second number", "not well formed", `"c4"`},
		{"an unknown reason", "unknown reason", `"oQQ"`},
		{"no reason where none was given before", "unknown reason", `"o"`},
		{"a reason where none belongs", "has no reason", `"k2H"`},
		{"an empty string", "not well formed", `""`},
		{"no string", "not well formed", `k2`},
		{"an end left off", "not well formed", `"k2`},
		{"cells left out", "not well formed", `"s2"`},
		{"cells without an end", "not well formed", `"s2{abc"`},
		{"cells before their count", "unknown reason", `"s{abc}2"`},
		{"cells and no reason", "unknown reason", `"s2{abc}"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := good.clone()
			x.lines = append([]string{c.line}, lines...)
			noticed(t, x.verify(t), c.want)
		})
	}
	x := good.clone()
	x.edit = func(_, tail map[string]any) { tail["records"] = len(x.records) + 1 }
	noticed(t, x.verify(t), "records, its last line says")
}
