package convert_test

import (
	"strings"
	"testing"
)

// Page numbers of contents lists follow a comma (common practice). What the list of a later volume repeats
// is proved where the last line of an entry has one word alone, or the name of an entry is a letter; so is the rule under the list.
func TestListsWithCommasRepeat(t *testing.T) {
	lists := [][]string{{",! ,l$g] at ,sea & ,! ,h>b\\r|      n1 #b", ",a1 #d", "", ",! ,m>% & ,! ,h>b\\r : came|      to1 #b", ";,b1 #d"}, {",! ,m>% & ,! ,h>b\\r : came|      to1 #b", ";,b1 #d"}}
	heads := [][]string{{",! ,l$g] at ,sea & ,! ,h>b\\r n", ",a"}, {",! ,m>% & ,! ,h>b\\r : came to", ";,b"}}
	var vols []string
	for n, list := range lists {
		s := hardVolume(n+1, 2)
		s.centre(",3t5ts")
		for k, e := range list {
			if n == 0 && (k == 0 || e == "") {
				s.centre(",volume " + map[bool]string{true: "#a", false: "#b"}[k == 0])
			}
			if e != "" {
				for _, l := range strings.Split(e, "|") {
					s.put(l)
				}
			}
		}
		s.centre("333333333333")
		for _, h := range heads[n] {
			s.turn()
			s.put("")
			for _, l := range wrapped(strings.Fields(h), 32, 0, 0) {
				s.centre(l)
			}
			s.put("")
			for range 20 {
				s.para(40)
			}
		}
		vols = append(vols, s.ends(n+1))
	}
	_, ed := hardBook(t, nil, vols...)
	for _, e := range []string{"h>b\\r n", "came to", ";,b"} {
		if n := strings.Count(ed, e); n != 2 {
			t.Errorf("%q stands %d times\n%s", e, n, ed)
		}
	}
}

// The first entry of a page of the list, whose number stands on its runover, stands in the middle by chance: it is an
// entry, no heading of a list, where others begin at its cell.
func TestFirstEntryOfAPageInTheMiddle(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = s.right
	s.titleAlone()
	s.centre(",3t5ts")
	list := []string{",! ,l$g] ---------------------- #c"}
	for n := range 22 {
		list = append(list, "    #"+string(rune('b'+n%8))+" ,! "+s.word()+" ,"+s.word()+strings.Repeat(string(rune('a'+n)), 3)+" ---- #d")
	}
	list = append(list, "    #b4b ,h[ ! ,valley 8 & ,came2", "      6,ke/le ------------------ #e", "    #b4c ,! ,m>% ------------- #f", "    #b4d ,! ,h>b\\r ----------- #g")
	for _, l := range list {
		s.put(l)
	}
	s.turn()
	for _, h := range list {
		if s.put(""); strings.HasPrefix(h, "      ") {
			continue
		}
		if h = strings.TrimRight(strings.Split(h, " --")[0], " "); strings.HasSuffix(h, "came2") {
			h += " 6,ke/le"
		}
		s.put(h)
		for range 4 {
			s.para(30)
		}
	}
	_, ed := hardBook(t, nil, s.String())
	if !strings.Contains(ed, ",came2 6,ke/le\n    #b4c") || strings.Contains(ed, "---") {
		t.Errorf("the entry is not whole\n%.3000s", ed)
	}
}

// Numbers that follow a comma and have no room left stand alone on a runover (common practice); so ends the first entry of
// the page on which the list goes on. The list of a later volume has entries whose lines all stand in the middle by chance.
func TestNumbersAloneOnRunovers(t *testing.T) {
	sets := [][][]string{
		{{"  ,! ,l$g] at ,sea1 #c"}, {"  ,m>% & ,h>b\\r1 #e"}, {"  ,! ,old ,bri* ,2h8 ,! ,m>%1 #g"}, {",*apt] #b ,( ! ,mann] 9", "      ,: ! ,brok5 ,s1son", "      ,0 ,c>ri$ to ,gl5roy1", "      #i"}},
		{{",*apt] #g ,( ! ,mann] 9", "      ,: ! ,brok5 ,s1son", "      ,0 ,c>ri$ to ,lorne1", "      #aa"}, {"  ,! ,lr3 ,:at ,x ,is & n1", "      #ac"}, {"  ,! ,valley 9 ,m>sk", "      ,2f & ,af1 #ae"}, {"  ,what ! ,%op", "      ,tau<t1 #ag"}},
	}
	var vols []string
	for n := range sets {
		s := &houseVolume{width: 32, height: 25, next: 700 * n}
		s.head = s.right
		s.titleAlone()
		s.pages[len(s.pages)-2] = append(s.pages[len(s.pages)-2], "", "       ,volume "+map[int]string{0: "#a", 1: "#b"}[n])
		s.centre(",3t5ts")
		for k, set := range sets {
			if k < n {
				continue
			}
			if k > n {
				for len(s.pages[len(s.pages)-1]) < 24 {
					s.put("  ," + s.word() + " ,x" + strings.Repeat(string(rune('a'+len(s.pages[len(s.pages)-1]))), 3) + "1 #i")
				}
				s.turn()
			}
			for _, e := range set {
				for _, l := range e {
					s.put(l)
				}
			}
		}
		for _, e := range sets[n] {
			s.turn()
			words := strings.Join(strings.Fields(strings.Join(e, " ")), " ")
			for _, l := range wrapped(strings.Fields(strings.TrimRight(words[:strings.LastIndex(words, " ")], "1")), 26, 0, 0) {
				s.centre(l)
			}
			s.put("")
			for range 14 {
				s.para(40)
			}
		}
		vols = append(vols, s.String())
	}
	_, ed := hardBook(t, nil, vols...)
	for _, e := range []string{",brok5 ,s1son ,0 ,c>ri$ to ,lorne1\n", ",! ,lr3 ,:at ,x ,is & n1\n", ",! ,valley 9 ,m>sk ,2f & ,af1\n", ",what ! ,%op ,tau<t1\n"} {
		if n := strings.Count(ed, e); n != 1 {
			t.Errorf("%q stands %d times\n%.2500s", e, n, ed)
		}
	}
}
