package diag

import "testing"

func TestPlace(t *testing.T) {
	for _, c := range []struct {
		p    Place
		want string
	}{
		{Place{}, ""},
		{Place{Page: 3, Line: 2}, ""},
		{Place{File: "v1.brf"}, "v1.brf"},
		{Place{File: "v1.brf", Page: 3}, "v1.brf page 3"},
		{Place{File: "v1.brf", Page: 3, Line: 12}, "v1.brf page 3 line 12"},
	} {
		if got := c.p.String(); got != c.want {
			t.Errorf("%+v: %q, want %q", c.p, got, c.want)
		}
	}
}

func TestSeverity(t *testing.T) {
	for s, want := range map[Severity]string{Note: "note", Look: "look", Stop: "stop"} {
		if s.String() != want {
			t.Errorf("%d: %q, want %q", s, s, want)
		}
	}
	if !(Note < Look && Look < Stop) {
		t.Error("severities are not in order")
	}
}
