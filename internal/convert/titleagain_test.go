package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/cell"
)

// titledVolume is a volume whose title page has these lines, "" for a blank one, on one page or
// more ("-"), and whose text begins with lines in the middle.
func titledVolume(n int, page, again []string) *houseVolume {
	s := &houseVolume{width: 38, height: 26}
	s.head = s.right
	s.next = 1000 * n
	for _, l := range page {
		switch l {
		case "":
			s.put("")
		case "-":
			s.turn()
		default:
			s.centre(strings.ReplaceAll(l, "N", string(cell.Number(n))))
		}
	}
	s.turn()
	for _, l := range again {
		s.centre(l)
	}
	return s
}

// The title stands again at the start of each volume's text (UK paper layout: older British house
// manual of the 1990s; North American: the full title on page 1 of the body). It may be divided
// otherwise than on the title page, stand there under the name of a series, or after a half title
// (common practice). It is kept once.
func TestTitleAgainDividedOtherwise(t *testing.T) {
	end := []string{"", ",9 #c ,volumes", ",volume N"}
	for _, c := range []struct {
		name        string
		page, again []string
	}{
		{"one line", append([]string{",! ,l;g ,road ( ,>d5 ,h\\se", "", "by ,orla ,penn"}, end...), []string{",! ,l;g ,road", "( ,>d5 ,h\\se"}},
		{"under a series", append([]string{",tales ( ,>d5 ,h\\se", "", ",! ,l;g ,road ( ,>d5 ,h\\se", "", "by ,orla ,penn"}, end...), []string{",! ,l;g", ",road (", ",>d5 ,h\\se"}},
		{"two lines", append([]string{",! ,l;g ,road", "( ,>d5 ,h\\se", "", "by ,orla ,penn"}, end...), []string{",! ,l;g ,road ( ,>d5 ,h\\se"}},
		{"half title", append([]string{"", ",! ,l;g ,road", "-", ",! ,l;g ,road", "", "by ,orla ,penn", ",h>b\\r ,brl ,press"}, end...), []string{",! ,l;g ,road"}},
	} {
		var vols []string
		for n := 1; n <= 3; n++ {
			s := titledVolume(n, c.page, c.again)
			s.chapter(",*apt] "+[]string{",\"o", ",two", ",?ree"}[n-1], 12)
			vols = append(vols, s.ends(n))
		}
		_, ed := hardBook(t, nil, vols...)
		text := ed[strings.Index(ed, ",*apt] ,\"o"):]
		if strings.Contains(text, ",road") || strings.Contains(text, ",penn") || strings.Contains(text, ",volume") {
			t.Errorf("%s: the title page or title stands in the text again\n%s", c.name, text)
		}
		if !strings.Contains(ed[:len(ed)-len(text)], ",road") {
			t.Errorf("%s: no title", c.name)
		}
	}
}

// A label of the volume over the title page, the title or its first words and which volume: from
// memory of UK practice (the text of a spine or cover can be the first lines of a file). The
// volumes are one title, whose name is the title alone, and no label stands in the edition.
func TestLabelOverTheTitlePage(t *testing.T) {
	for _, label := range [][]string{
		{",! ,l;g ,road3 ,volume N"},
		{",! ,l;g ,road1 ,volume N ( #b"},
		{",! ,l;g ,road ( ,>d5 ,h\\se3", ",volume N ( #b"},
	} {
		var vols []string
		for n := 1; n <= 2; n++ {
			s := titledVolume(n, append(append([]string{}, label...), "", ",! ,l;g ,road ( ,>d5 ,h\\se", "", "by ,orla ,penn", "", ",9 #b ,volumes", ",volume N"), nil)
			s.chapter(",*apt] "+[]string{",\"o", ",two"}[n-1], 12)
			vols = append(vols, s.ends(n))
		}
		_, ed := hardBook(t, nil, vols...)
		if !strings.HasPrefix(strings.TrimSpace(ed), ",! ,l;g ,road ( ,>d5 ,h\\se\n") || strings.Count(ed, ",road") != 1 || strings.Contains(ed, ",volume") {
			t.Errorf("%q\n%s", label, ed[:min(len(ed), 900)])
		}
	}
}
