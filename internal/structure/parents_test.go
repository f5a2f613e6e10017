package structure

import "testing"

// TestWithoutPart: the head of a page names a play and its act (common practice of collected plays);
// a psalm and its number are one name, which the next page has not.
func TestWithoutPart(t *testing.T) {
	act, _ := childOf([]byte(",act ,two"))
	number, _ := childOf([]byte("#h"))
	for _, c := range []struct{ head, class, want string }{
		{"! tempe/ ,act ,two", act.class, "! tempe/"},
		{"! tempe/", act.class, "! tempe/"},
		{",psalm #h", number.class, ",psalm #h"},
	} {
		if got := string(withoutPart([]byte(c.head), c.class)); got != c.want {
			t.Errorf("%q: %q, want %q", c.head, got, c.want)
		}
	}
}
