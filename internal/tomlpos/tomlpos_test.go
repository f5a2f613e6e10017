package tomlpos

import "testing"

func TestLines(t *testing.T) {
	lines := Lines([]byte("a = 1\n[t]\nb = [\n1,\n2]\n[[c]]\nd = 1\n[[c]]\nd = 2\ne = {f = 1}\n"))
	for key, want := range map[string]int{"a": 1, "A": 1, "t": 2, "t.b": 3, "t.b[1]": 5, "t.b[7]": 3, "c[0].d": 7, "c[1].d": 9, "c[1].x": 8, "c[1].e.f": 10, "t.z": 2, "nothing": 0} {
		if got := Of(lines, key); got != want {
			t.Errorf("%s: line %d, want %d", key, got, want)
		}
	}
}
