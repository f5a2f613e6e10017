package convert_test

import (
	"strings"
	"testing"
)

// feet adds the last line of every page: a running head in the middle of odd pages but the first of the text,
// and the page number at the right (common practice in Commonwealth houses).
func (s *houseVolume) feet(head func(page int) string) {
	for p := range s.pages {
		pg := s.pages[p]
		for len(pg) < s.height {
			pg = append(pg, "")
		}
		n := s.right(p + 1)
		h := head(p)
		if p%2 == 1 {
			h = ""
		}
		foot := strings.Repeat(" ", (s.width-len(h))/2) + h
		s.pages[p] = append(pg, foot+n[min(len(foot), len(n)-1):])
	}
}

// The running head at the foot of right-hand pages says the number and the title of the chapter, which the
// heading says on two lines. Chapters are so short that few heads come again.
func TestHeadsAtTheFootOfHeadingsOfTwoLines(t *testing.T) {
	names := []string{",! ,silv] ,or*>d", ",! ,n>r[ ,road", ",! ,gre5 ,m1d[", ",! ,hidd5 ,clock", ",! ,salt /airs"}
	for _, newPage := range []bool{false, true} {
		s := hardVolume(1, 1)
		s.head = nil
		s.pages = [][]string{s.pages[0], nil}
		first := map[int]string{}
		var paras []string
		for i, name := range names {
			if newPage && i > 0 {
				s.turn()
			}
			s.put("")
			part := "#" + string(rune('a'+i))
			s.centre(part)
			s.centre(name)
			first[len(s.pages)-1] = part + " " + name
			s.put("")
			for n := range 9 {
				paras = append(paras, s.para(50+n))
			}
		}
		head := ""
		s.feet(func(p int) string {
			if h := first[p]; h != "" {
				head = h
				return ""
			}
			return head
		})
		res := makeOf(t, s.String())
		ed := string(res.Edition)
		for i, name := range names {
			if n := strings.Count(ed, name); n != 1 {
				t.Errorf("new page %v: %q stands %d times, want once", newPage, names[i], n)
			}
		}
		s.wholeParas(t, res, paras)
	}
}
