package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// withNumbers puts the page number at the right of the first line of each page, which
// holds text too (real files: five pages in six).
func withNumbers(s *houseVolume, from int) *houseVolume {
	for p := range s.pages {
		l, n := s.pages[p][0], string(cell.Number(p+from))
		s.pages[p][0] = l + strings.Repeat(" ", max(2, s.width-len(l)-len(n))) + n
	}
	return s
}

// A print page indicator, centred on its own line (W3C w3c-wai-hc 1997, 0306), comes to
// stand on line 1, which has the page number at its right: the number is a page
// number still, and no word of the text.
func TestTurnOnTheLineOfTheNumber(t *testing.T) {
	s := &houseVolume{width: 38, height: 20}
	turn := 1
	for p := range 12 {
		s.turn()
		if p%3 == 1 {
			turn++
			s.put(strings.Repeat(" ", 16) + "\"3" + string(cell.Number(turn)))
		}
		for len(s.pages[p]) < s.height {
			line := ""
			for len(line) < 24 {
				line += s.word() + " "
			}
			s.put(strings.TrimSpace(line) + " l;g")
		}
	}
	res := makeOf(t, withNumbers(s, 1).String())
	for n := 2; n <= turn; n++ {
		if l := lineOf(res, "\"3"+string(cell.Number(n))); l == "" || strings.Contains(l, "\"3"+string(cell.Number(n))+" #") {
			t.Errorf("turn %d: %q", n, l)
		}
	}
}

// Every hymn begins on a new page and ends with the name of its writer at the right;
// few names come again and again as the last line of a page. A foot line stands on the
// last line of the paper; these stand wherever the hymn ends, and are text.
func TestNamesUnderHymns(t *testing.T) {
	s := &houseVolume{width: 38, height: 24}
	s.head = func(p int) string { return s.right(p) }
	names := []string{"hannah boat", "tom a ledg]", "tradi;nal"}
	n := 0
	for k := range 30 {
		s.turn()
		s.centre(string(cell.Number(k+1)) + " " + strings.Join(s.words(3), " "))
		for range 2 + k%4 {
			s.put("")
			for range 3 {
				s.put(strings.Join(s.words(4), " "))
			}
		}
		s.centre(names[k%3])
		n++
	}
	ed := string(makeOf(t, s.String()).Edition)
	got := 0
	for _, x := range names {
		got += strings.Count(ed, x)
	}
	if got != n {
		t.Errorf("%d of %d names stand in the edition", got, n)
	}
}

// Houses name the volumes parts or books on the title page, and the files by words
// (common practice): neither is in the order of the alphabet.
func TestOrderByWords(t *testing.T) {
	for _, c := range []struct{ name, statement string }{{"volume %s.brf", ""}, {"x%s", ",\"p %s ( #d"}, {"y%s", ",book ! %s"}} {
		words, digits := []string{"one", "two", "three", "four"}, []string{"#a", "#b", "#c", "#d"}
		ordinals := []string{"f/", "second", "?ird", "f\\r?"}
		files := map[string]string{}
		var order []string
		for v, w := range words {
			s := &houseVolume{width: 36, height: 20, next: 91 * v}
			s.turn()
			s.put("")
			s.centre(",! ,ri$")
			s.put("")
			switch {
			case strings.Contains(c.statement, "("):
				s.centre(fmt.Sprintf(c.statement, digits[v]))
			case c.statement != "":
				s.centre(fmt.Sprintf(c.statement, ordinals[v]))
			}
			s.head = s.right
			s.turn()
			s.centre(",*apt] " + digits[v])
			for range 20 {
				s.para(40)
			}
			name := fmt.Sprintf(c.name, w)
			files[name], order = s.String(), append(order, name)
		}
		res := makeNamed(t, files)
		last := -1
		for v := range order {
			at := strings.Index(string(res.Edition), ",*apt] "+digits[v])
			if at < last {
				t.Errorf("%s %s: chapter %d stands before the one before it", c.name, c.statement, v+1)
			}
			last = at
		}
	}
}

func makeNamed(t *testing.T, vols map[string]string) *convert.Result {
	t.Helper()
	var files []*source.File
	for name, v := range vols {
		f, err := source.Parse(name, []byte(v))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return madeOf(t, files...)
}

// A timetable is set at the top of most pages; its columns are named by letters, the
// last c, which is also a roman number; the page number stands at the foot (common
// practice). Column heads that come again are text (real files), and no print page;
// rows without a gap, in a list, are each one line.
func TestColumnsNamedByLetters(t *testing.T) {
	s := &houseVolume{width: 40, height: 26}
	rows := 0
	for p := range 12 {
		s.turn()
		s.put("/op            a       ;b      ;c")
		for k := range 6 {
			s.put(fmt.Sprintf("%-15s%-8s%-8s%s", houseWords[k+4]+" cross", "#g"+string("abcde"[k%5])+"4ae", "#h4ae", "#i4ae"))
		}
		s.put("")
		for k := range 5 {
			s.put(houseWords[(p+k)%40] + " teleph\"o #bcde" + string("abcdefg"[k]))
			rows++
		}
		s.put("")
		for len(s.pages[p]) < 22 {
			s.para(30)
		}
		s.pages[p] = s.pages[p][:22]
		for len(s.pages[p]) < 25 {
			s.put("")
		}
		s.put(string(cell.Number(p + 1)))
	}
	ed := string(makeOf(t, s.String()).Edition)
	if n := strings.Count(ed, "/op"); n != 12 {
		t.Errorf("heads of columns: %d of 12", n)
	}
	if n := strings.Count(ed, "---;c"); n > 0 {
		t.Errorf("%d turns to page c", n)
	}
	lines := 0
	for _, l := range strings.Split(ed, "\n") {
		if strings.Count(l, "teleph\"o") == 1 {
			lines++
		}
	}
	if lines != rows {
		t.Errorf("rows of lists: %d of %d stand alone", lines, rows)
	}
}
