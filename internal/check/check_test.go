package check

import "testing"

func titles() []*triple { return []*triple{sea(), hill(), song()} }

func TestGood(t *testing.T) {
	for _, x := range titles() {
		r := x.verify(t)
		if !r.OK || r.NProblems > 0 {
			t.Errorf("%s: %s", x.name, show(r))
		}
	}
}
