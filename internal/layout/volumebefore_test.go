package layout

import (
	"testing"
)

// Heads of parts that go on from one volume to the next. That a volume may end within a chapter is
// in the standards (BANA, Braille Formats 1997, rule 1; UK practice cuts at pages too); what its heads
// then say follows from a running head's naming the part on its page (BANA, Braille Formats 2016, 1.7).

// bareHeads sets heads in the middle of line 1 of pages from one on, page numbers at the foot and a
// title page that says the volume.
func bareHeads(s *sheet, from int, head, volume string) {
	for p := from; p < len(s.pages); p++ {
		s.pages[p][0] = s.centre(head)
	}
	for p := range s.pages {
		s.pages[p][s.height-1] = s.corner("", num(p+1))
	}
	s.pages = append([][]string{{"", s.centre("! f]ry l$g]"), "", s.centre("volume " + volume)}}, s.pages...)
}

// TestHeadsGoOnOverVolumes: a part goes on in the next volume, whose first page of text has no head.
// The first head is the one with which the volume before ends, over the runover of an item; so is the
// next. Which volume is the one before, the title pages tell, not the names. Where the volume before
// ends with other heads, the first of its words is the heading.
func TestHeadsGoOnOverVolumes(t *testing.T) {
	for _, c := range []struct {
		before string
		want   Role
	}{{",a li<t at sea", Head}, {",! old wat]m5", Text}} {
		one, two := newSheet(9, 38, 25), newSheet(9, 38, 25)
		two.pages[1][1] = "    " + two.line(20)
		bareHeads(one, 1, c.before, "#a")
		bareHeads(two, 1, ",a li<t at sea", "#b")
		v := surveyAll(t, two, one)[0] // the first name is that of the second volume
		if got := v.Lines[v.Pages[2].First].Role; got != c.want {
			t.Errorf("after %q: the first is %s, want %s", c.before, got, c.want)
		}
		if got := v.Lines[v.Pages[3].First].Role; got != Head {
			t.Errorf("after %q: the second is %s, want head", c.before, got)
		}
	}
}

// TestHeadOfAPartFromTheVolumeBefore: two heads stand over verse before the first heading of the
// volume; of its words no more are there.
func TestHeadOfAPartFromTheVolumeBefore(t *testing.T) {
	one, two := newSheet(24, 38, 25), newSheet(20, 38, 25)
	for p := range 2 {
		for i := range 24 {
			two.pages[p][i] = "    ,s " + two.line(24)
			if i%2 == 1 {
				two.pages[p][i] = "        ,& " + two.line(20)
			}
		}
	}
	bareHeads(one, 1, ",a li<t at sea", "#a")
	bareHeads(two, 2, ",! wat] mill", "#b")
	for p := 9; p < len(two.pages); p++ {
		two.pages[p][0] = two.line(38)
	}
	two.pages[1][0], two.pages[2][0] = two.centre(",a li<t at sea"), two.centre(",a li<t at sea")
	two.pages[2][9], two.pages[2][10], two.pages[2][11] = "", two.centre(",! wat] mill"), ""
	v := surveyAll(t, one, two)[1]
	for p := 1; p <= 4; p++ {
		if got := v.Lines[v.Pages[p].First].Role; got != Head {
			t.Errorf("page %d: %s %q, want a head", p+1, got, v.TextOf(v.Pages[p].First))
		}
	}
}

// TestHeadOnTheLastPage: a part begins on the last page but one of a volume whose pages have
// numbers alone on line 1. What stands beside the number of the last page is the heading before it, and the
// head of the next volume's pages. In a title without such heads it is text.
func TestHeadOnTheLastPage(t *testing.T) {
	for _, c := range []struct {
		head string
		want Role
	}{{"! wat] mill", Head}, {"", Text}} {
		one, two := newSheet(12, 38, 25), newSheet(9, 38, 25)
		for p := range one.pages {
			one.pages[p][0] = one.corner("", num(p+1))
		}
		for p := range two.pages {
			two.pages[p][0] = two.head("", c.head, num(p+1))
		}
		one.pages[10][9], one.pages[10][10], one.pages[10][11] = "", one.centre("! wat] mill"), ""
		one.pages[11][0], one.pages[11][1] = one.head("", "! wat] mill", num(12)), "  ,"+one.line(35)
		v := surveyAll(t, one, two)[0]
		if got := v.Lines[v.Pages[11].First].Role; got != c.want {
			t.Errorf("heads %q in the next volume: %s, want %s", c.head, got, c.want)
		}
	}
}

// TestNextNumberWithinASentence: a print page without a number leaves the corner of line 1 empty
// (BANA, Braille Formats 2016, 1.11.6). "chapter 6" stands there after chapter 5, and is a head where a
// sentence goes on over it, a heading where it ended.
func TestNextNumberWithinASentence(t *testing.T) {
	for _, c := range []struct {
		end  string
		want Role
	}{{"& he wait$ =", Head}, {"& he wait$4", Text}} {
		s := newSheet(16, 38, 25)
		for p := range s.pages {
			for i := 3; i < 24; i += 2 {
				s.pages[p][i] = "he c4 ,& ! f]ry w5t4 ,& he came"
			}
			s.pages[p][0] = s.head("", ",*apt] #e", num(p+1))
			if p >= 7 {
				s.pages[p][0] = s.head("", ",*apt] #f", num(p+1))
			}
		}
		s.pages[0][1], s.pages[0][2], s.pages[0][3] = "", s.centre(",*apt] #e"), ""
		s.pages[6][24] = c.end
		s.pages[7][0], s.pages[7][1] = s.centre(",*apt] #f"), "! tide 6turn & g home1 z he sd1 at n"
		if c.want == Text {
			s.pages[7][1], s.pages[7][2] = "", "  ,! tide turn$ & he w5t home"
		}
		v := s.survey(t)
		if got := v.Lines[v.Pages[7].First].Role; got != c.want {
			t.Errorf("after %q: %s, want %s", c.end, got, c.want)
		}
	}
}

// TestHeadOverTheTitleAndItsHeading: few pages have heads. The first page of the text has the head of
// its part over the whole title, a rule and the part's heading: no heading stands above the title (BANA, Braille
// Formats 2016, 1.8). Without that heading the line is the heading itself.
func TestHeadOverTheTitleAndItsHeading(t *testing.T) {
	for _, c := range []struct {
		under string
		want  Role
	}{{",*apt] ,\"o", Head}, {"", Text}} {
		s := newSheet(14, 30, 25)
		for p := range s.pages {
			s.pages[p][24] = s.corner("", num(p+1))
		}
		copy(s.pages[1], []string{s.centre(",*apt] ,\"o"), s.centre(",! f]ry"), s.centre("l$g]"), s.centre("333333333333"), s.centre(c.under), ""})
		s.pages[0] = []string{"", "", s.centre(",! f]ry"), s.centre("l$g]")}
		v := s.survey(t)
		if got := v.Lines[v.Pages[1].First].Role; got != c.want {
			t.Errorf("over %q: %s, want %s", c.under, got, c.want)
		}
	}
}

// TestHeadAsLongAsTheHeadingUnderIt: head, number of the chapter and its title stand at one cell by chance,
// for they are of one length; three lines at one cell are no verse where one says a chapter.
func TestHeadAsLongAsTheHeadingUnderIt(t *testing.T) {
	s := newSheet(22, 34, 28)
	for p := range s.pages {
		s.pages[p][0] = s.head("", ",l$g] & ,rope", num(p+1))
		if p > 19 {
			s.pages[p][0] = s.head("", ",l[ ,wat]", num(p+1))
		}
	}
	copy(s.pages[19], []string{s.centre(",l[ ,wat]"), s.centre(",*apt] #h"), s.centre(",l[ ,wat]"), ""})
	if got := linesOf(s.survey(t), true)[19]; got != "head ,l[ ,wat]" {
		t.Errorf("%q, want a head", got)
	}
}

// TestPlainHeadsOverVerse: heads are written without the capitals of the headings that they repeat (RUEB
// 2.3.1, note: taken for the same title). Those of a part whose pages of verse are left unfilled, each ending with a poem,
// begin nothing: a heading would have its capitals.
func TestPlainHeadsOverVerse(t *testing.T) {
	for _, c := range []struct {
		head string
		want Role
	}{{"m>ket day", Head}, {",m>ket ,day", Text}} {
		s := newSheet(16, 38, 25)
		for p := range s.pages {
			if s.pages[p][0] = s.centre("! wat] mill"); p == 0 {
				s.pages[p][0] = ""
			}
			s.pages[p][24] = s.corner("", num(p+1))
		}
		s.pages[1][3], s.pages[1][4], s.pages[1][5] = "", s.centre(",! ,wat] ,mill"), ""
		s.pages[9][9], s.pages[9][10], s.pages[9][11] = "", s.centre(",m>ket ,day"), ""
		for p := 10; p < 14; p++ {
			copy(s.pages[p-1][18:24], make([]string, 6))
			s.pages[p][0] = s.centre(c.head)
			for i := 1; i < 24; i++ {
				s.pages[p][i] = "    ,s " + s.line(24)
			}
		}
		v := s.survey(t)
		for p := 10; p < 14; p++ {
			if got := v.Lines[v.Pages[p].First].Role; got != c.want {
				t.Errorf("%q, page %d: %s, want %s", c.head, p+1, got, c.want)
			}
		}
	}
}

// TestHeadBesideANumberOverItsHeading: one page of a volume whose other first lines are numbers or text
// with numbers has words beside the number, and the same words as a heading under the title.
func TestHeadBesideANumberOverItsHeading(t *testing.T) {
	for _, c := range []struct {
		under string
		want  Role
	}{{"an old promise", Head}, {"! l;g ro1d h", Text}} {
		s := newSheet(12, 38, 28)
		for p := range s.pages {
			s.pages[p][0] = s.corner(s.line(28), num(p+1))
		}
		copy(s.pages[5], []string{s.head("", "an old promise", num(6)), s.centre("! f]ry l$g]"), "", s.centre("*apt] #a"), s.centre(c.under), ""})
		v := s.survey(t)
		if got := v.Lines[v.Pages[5].First].Role; got != c.want {
			t.Errorf("over %q: %s, want %s", c.under, got, c.want)
		}
	}
}

// TestNumberOfTheVolumeBefore: the heads of a chapter that goes on from the volume before are misspelt on two
// pages (seen on several pages in a row of a published sample). The one on the next page names no next
// chapter, though no heading of the volume has a number before.
func TestNumberOfTheVolumeBefore(t *testing.T) {
	one, two := newSheet(24, 38, 25), newSheet(24, 38, 25)
	bareHeads(one, 1, ",*apt] ,?ree", "#a")
	bareHeads(two, 10, ",*apt] ,f\\r", "#b")
	two.pages[1][0], two.pages[2][0] = two.centre(",*apt] ,?ere"), two.centre(",*apt] ,?ere")
	two.pages[3][0], two.pages[3][1] = two.centre(",*apt] ,?ree"), ",:5 "+two.line(33)
	two.pages[9][9], two.pages[9][10], two.pages[9][11] = "", two.centre(",*apt] ,f\\r"), ""
	v := surveyAll(t, one, two)[1]
	for p := 1; p <= 3; p++ {
		if got := v.Lines[v.Pages[p].First].Role; got != Head {
			t.Errorf("page %d: %s, want head", p+1, got)
		}
	}
}

// TestTitleAsAHeadOverVerse: on a print page without a number the head stands without one (BANA, Braille
// Formats 2016, 1.11.6), over verse and a heading that comes soon after it. After pages of verse it is no title
// above the text, though no page of running text is before it.
func TestTitleAsAHeadOverVerse(t *testing.T) {
	for _, c := range []struct {
		verse bool
		want  Role
	}{{true, Head}, {false, Text}} {
		s := newSheet(24, 38, 25)
		for p := range s.pages {
			for i := 1; i < 24; i++ {
				s.pages[p][i] = "    ," + s.line(30)
				if i%3 == 1 {
					s.pages[p][i] = "        " + s.line(24)
				}
			}
			s.pages[p][0], s.pages[p][24] = s.head("", ",! ,old ,f]ry", num(p/2+7)), s.corner("", num(p+21))
		}
		s.pages[6][0] = s.centre(",! ,old ,f]ry")
		copy(s.pages[6][1:], []string{s.centre(",,*apt] #b"), s.centre(",! ,lamp"), ""})
		if !c.verse {
			for p := range 6 {
				s.pages[p] = append(s.pages[p][:1], append(make([]string, 23), s.corner("", num(p+21)))...)
				s.pages[p][2], s.pages[p][3] = s.centre(",special ,symbols"), "99 a/]isk"
			}
		}
		s.pages = append([][]string{{"", s.centre(",! ,old ,f]ry"), "", s.centre("volume #b")}}, s.pages...)
		v := s.survey(t)
		if got := v.Lines[v.Pages[7].First].Role; got != c.want {
			t.Errorf("verse %v: %s, want %s", c.verse, got, c.want)
		}
	}
}

// TestTitleShortenedOverARule: the running head stands over the end of a list, which is all that its page holds
// (UK practice: a rule closes the contents). It is the title, shortened as on other pages, and opens no second work.
func TestTitleShortenedOverARule(t *testing.T) {
	s := newSheet(24, 34, 26)
	s.pages[0] = []string{"", "", s.centre(",a ,h&book ( ,coa/al"), s.centre(",pa?s")}
	s.pages[2] = []string{s.centre(",a ,,h&book ,,( ,,coa/al"), s.centre("333333333333")}
	for p := 3; p < 24; p++ {
		if p%2 == 1 {
			s.pages[p][0] = s.head(num(p/2+7), ",a ,,h&book ,,( ,,coa/al", num(p-2))
		}
	}
	if got := linesOf(s.survey(t), true)[2]; got != "head ,a ,,h&book ,,( ,,coa/al" {
		t.Errorf("%q, want a head", got)
	}
}

// TestTitleWithinSentencesAgain: heads without a number, on print pages without one (BANA, Braille Formats 2016,
// 1.11.6), say more of the title than those beside numbers, as the title page does. One over a sentence that goes
// on from the page before is a head, and so is the next, over a heading of the text.
func TestTitleWithinSentencesAgain(t *testing.T) {
	for _, c := range []struct {
		within bool
		want   Role
	}{{true, Head}, {false, Text}} {
		one, two := newSheet(20, 38, 25), newSheet(20, 38, 25)
		for k, s := range []*sheet{one, two} {
			s.pages[0] = []string{"", s.centre(",a ,h&book ( ,coa/al"), s.centre(",pa?s"), "", s.centre("volume " + []string{"#a", "#b"}[k])}
			for p := 1; p < 20; p++ {
				s.pages[p][0], s.pages[p][24] = s.head("", ",a ,h&book (", num(p+40*k+7)), s.corner("", num(p+20*k))
			}
		}
		for p := 1; p < 5; p++ {
			two.pages[p][0] = two.centre(",a ,h&book ( ,coa/al")
			if !c.within {
				two.pages[p] = []string{two.pages[p][0], "", two.centre(",3t5ts"), "", two.corner("", num(p+20))}
			}
		}
		copy(two.pages[4], []string{two.pages[4][0], two.centre(",spr+ ,tide"), "", "  ,b " + two.line(30)})
		v := surveyAll(t, one, two)[1]
		if got := v.Lines[v.Pages[4].First].Role; got != c.want {
			t.Errorf("within a sentence %v: %s, want %s", c.within, got, c.want)
		}
	}
}

// TestSentenceOverARunover: in a book of verse a runover goes on over the page, and it and the last line before stand
// in the middle by chance (BANA, Braille Formats 2016, section 13). The sentence goes on under what stands over it.
func TestSentenceOverARunover(t *testing.T) {
	for _, c := range []struct {
		last, first string
		want        bool
	}{
		{"    _! h&s1 le/ ?\\ da% ! foot", "    agn/ a /one ( ! way s4", true},
		{"    _! h&s1 le/ ?\\ da% x4", "    agn/ a /one ( ! way s4", false},
		{"    _! h&s1 le/ ?\\ da% ! foot", "      agn/ a /one ( way", false}, // no line runs over there
	} {
		s := newSheet(12, 32, 25)
		for p := range s.pages {
			for i := 1; i < 24; i++ {
				if s.pages[p][i] = ",! " + s.line(26); i%3 == 1 {
					s.pages[p][i] = "    " + s.line(18)
				}
			}
			s.pages[p][24] = s.corner("", num(p+1))
		}
		s.pages[8][22], s.pages[8][23] = ",!y % be> !e up 9", c.last
		copy(s.pages[9], []string{s.centre(",,! ,,l;g ,,tide"), c.first, ""})
		v := s.survey(t)
		line := v.Pages[9].First
		e := edgeLine{page: 9, line: line, top: true, text: v.Lines[line].Text}
		if got := v.withinSentence(&e, newHeadbook()); got != c.want {
			t.Errorf("%q over %q: %v, want %v", c.last, c.first, got, c.want)
		}
	}
}

// TestHeadOverAHeadingThatGoesOn: the first page of a volume's text has the head with which the volume before ends, beside
// its number, over the name of a poem that goes on and says so.
func TestHeadOverAHeadingThatGoesOn(t *testing.T) {
	one, two := newSheet(12, 38, 25), newSheet(12, 38, 25)
	for p := range one.pages {
		one.pages[p][0] = one.head("", ",pray]s at ,sea", num(p+1))
		two.pages[p][0] = two.head("", ",verse ( ! ,road", num(p+1))
	}
	two.pages[1][0] = two.head("", ",pray]s at ,sea", num(2))
	two.pages[1][1], two.pages[1][2], two.pages[1][3] = two.centre(",:y ! ,clock ,is ,quiet"), two.centre("\"<3t9u$\">"), ""
	copy(two.pages[0], make([]string, 24))
	two.pages[0][1] = two.centre(",! ,volume")
	if got := linesOf(surveyAll(t, one, two)[1], true)[1]; got != "head ,pray]s at ,sea" {
		t.Errorf("%q, want a head", got)
	}
}

// TestHeadsOfTheVolumeBeforeGoOn: the head with which a volume ends stands beside the numbers of the next one from its first page
// of text on, over a heading within its part.
func TestHeadsOfTheVolumeBeforeGoOn(t *testing.T) {
	one, two := newSheet(24, 38, 25), newSheet(40, 38, 25)
	for p := range one.pages {
		one.pages[p][0] = one.head("", ",a ,s]vice at ,sea", num(p+1))
	}
	for p := range two.pages {
		two.pages[p][0] = two.head("", ",a ,s]vice at ,sea", num(p+1))
		if p > 9 {
			two.pages[p][0] = two.head("", []string{",morn+ ,pray]", ",ev5+ ,s;g", ",n[ ,! ,boats"}[p/14], num(p+1))
		}
	}
	copy(two.pages[0], make([]string, 24))
	two.pages[0][1] = two.centre(",! ,volume")
	two.pages[1][1], two.pages[1][2], two.pages[1][3] = "", "    ,s;g ( ! ,c&le", ""
	if got := linesOf(surveyAll(t, one, two)[1], true)[1]; got != "head ,a ,s]vice at ,sea" {
		t.Errorf("%q, want a head", got)
	}
}
