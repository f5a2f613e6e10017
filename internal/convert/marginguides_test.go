package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// TestGuideWordsAtTheMargin: a dictionary with its guide words at the margin of line 1 over a blank line, the page number at
// the foot (common practice). They go, on a page too where a print page turns within the first entry, on one that names the
// first entry alone, and on the last, where other matter follows the entries; and so does the title over the foreword.
func TestGuideWordsAtTheMargin(t *testing.T) {
	s := &houseVolume{width: 38, height: 24}
	s.titleAlone()
	s.put(",! ,l;g ,road")
	s.put("")
	s.centre(",=ew>d")
	s.put("")
	s.para(60)
	foot := func() {
		p := &s.pages[len(s.pages)-1]
		for len(*p) < 23 {
			*p = append(*p, "")
		}
		*p = append(*p, string(cell.Number(len(s.pages))))
	}
	foot()
	entry := 0
	var heads []string
	for page := range 9 {
		s.turn()
		s.put("")
		s.put("")
		first, last := "", ""
		for len(s.pages[len(s.pages)-1]) < 21 && !(page == 8 && len(s.pages[len(s.pages)-1]) > 10) {
			last = fmt.Sprintf("%c%cle", 'b'+entry/20, 'a'+entry%20)
			entry++
			if page == 4 && first == "" {
				s.put(last)
				s.put(turnRow(38, "#d"))
				s.put("  ban1 " + strings.Join(s.words(3), " "))
				first = last + " ban"
				continue
			}
			s.flow(append([]string{last + "1"}, s.words(7)...), 0, 2)
			if first == "" {
				first = last
			}
		}
		if page == 8 {
			s.put("")
			s.centre(",5d")
			s.put("")
			s.put("\"s o!r words")
		}
		if head := first + "-" + last; page != 6 {
			heads = append(heads, head)
		} else {
			heads = append(heads, first)
		}
		s.pages[len(s.pages)-1][0] = heads[page]
		foot()
	}
	_, ed := hardBook(t, nil, s.String())
	for _, h := range heads {
		if strings.Contains(ed, "\n"+h+"\n") {
			t.Errorf("the guide words %q stay\n%s", h, ed)
		}
	}
	if n := strings.Count(ed, ",! ,l;g ,road"); n != 1 {
		t.Errorf("the title stands %d times", n)
	}
}
