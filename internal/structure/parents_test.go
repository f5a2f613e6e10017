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

// TestFollows: chapter 3 that is named again where it goes on begins no other book, chapter 1 after chapter 1 or 2 does.
func TestFollows(t *testing.T) {
	for _, c := range []struct {
		a, b child
		want bool
	}{
		{child{n: 3}, child{n: 4}, true}, {child{n: 3}, child{n: 3}, true},
		{child{n: 3}, child{n: 1}, false}, {child{n: 1}, child{n: 1}, false},
		{child{n: 2, m: 3}, child{n: 2, m: 4}, true}, {child{n: 2, m: 3}, child{n: 2, m: 1}, false},
	} {
		if got := follows(c.a, c.b); got != c.want {
			t.Errorf("%v, %v: %v", c.a, c.b, got)
		}
	}
}

// TestAsWritten: the running head is the name of a book as its heading has it, and the whole heading where it breaks off.
func TestAsWritten(t *testing.T) {
	for _, c := range []struct{ heading, head, want string }{
		{",! ,s;g ( ,solomon", "! s;g (", ",! ,s;g ( ,solomon"},
		{",m1sure = ,m1sure1 a -$y", "m1sure = m1sure1", ",m1sure = ,m1sure1"},
	} {
		if got := string(asWritten([]byte(c.heading), runningHead{text: []byte(c.head), norm: c.head})); got != c.want {
			t.Errorf("%q, %q: %q, want %q", c.heading, c.head, got, c.want)
		}
	}
}
