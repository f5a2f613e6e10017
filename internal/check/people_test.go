package check

import "testing"

// A house rule has the words of a page head; the page number set off beside them goes
// with the line. A number that belongs to the words does not.
func TestRuleBesidePageNumber(t *testing.T) {
	v := &verifier{}
	v.readPeople([]byte("[[rule]]\nkind = 'head-or-heading'\nalike = 'psalm4'\nchoice = 'leave-out'\n"))
	f := &faces{v: v}
	for text, want := range map[string]bool{"psalm4": true, "psalm4      #bh": true, "#bh   psalm4": true, "psalm4 #bh": false, "! psalm4   #bh": false} {
		if why := f.wrongDecision(left{text: []byte(text)}); (why == "") != want {
			t.Errorf("%q: %q", text, why)
		}
	}
}
