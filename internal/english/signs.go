package english

import (
	"strings"
	"sync"
)

// The signs of the codes, as `cells=print` pairs. Published sources: Rules of
// UEB 2013, section 10 (contractions) and appendix 1 (shortforms); British
// Braille 2004, section 5; EBAE 1994, rules X to XVIII. "Older" lists hold for
// SEB and EBAE and were dropped by UEB (UEB 2013, 1.3.1).
const (
	// alphabetic wordsigns, UEB 10.1
	alphaWords = "b=but c=can d=do e=every f=from g=go h=have j=just k=knowledge l=like m=more n=not p=people q=quite r=rather s=so t=that u=us v=very w=will x=it y=you z=as"
	// strong wordsigns, UEB 10.2
	strongWords = "*=child %=shall ?=this :=which \\=out /=still"
	// strong contractions, UEB 10.3
	strongContractions = "&=and ==for (=of !=the )=with"
	// strong groupsigns, UEB 10.4
	strongGroups = "*=ch <=gh %=sh ?=th :=wh $=ed ]=er \\=ou [=ow /=st +=ing >=ar"
	// lower wordsigns, UEB 10.5
	lowerWords = "2=be 5=enough 7=were 8=his 9=in 0=was"
	// lower groupsigns, UEB 10.6: at a word start, between letters, anywhere
	lowerStart  = "2=be 3=con 4=dis"
	lowerMiddle = "1=ea 2=bb 3=cc 6=ff 7=gg"
	lowerAny    = "5=en 9=in"
	// initial-letter contractions, UEB 10.7
	initials = "\"d=day \"e=ever \"f=father \"h=here \"k=know \"l=lord \"m=mother \"n=name \"o=one \"p=part \"q=question \"r=right \"s=some \"t=time \"u=under \"w=work \"y=young \"!=there \"*=character \"?=through \":=where \"\\=ought " +
		"^u=upon ^w=word ^!=these ^?=those ^:=whose _c=cannot _h=had _m=many _s=spirit _w=world _!=their"
	// final-letter groupsigns, UEB 10.8
	finals = ".d=ound .e=ance .n=sion .s=less .t=ount ;e=ence ;g=ong ;l=ful ;n=tion ;s=ness ;t=ment ;y=ity"

	olderStart  = "-=com"
	olderMiddle = "4=dd"
	olderFinals = ",n=ation ,y=ally #=ble"

	// shortforms, UEB 10.9 and appendix 1
	shortforms = "ab=about abv=above ac=according acr=across af=after afn=afternoon afw=afterward ag=again ag/=against alm=almost alr=already al=also al?=although alt=altogether alw=always " +
		"2c=because 2f=before 2h=behind 2l=below 2n=beneath 2s=beside 2t=between 2y=beyond bl=blind brl=braille *n=children 3cv=conceive 3cvg=conceiving cd=could dcv=deceive dcvg=deceiving dcl=declare dclg=declaring ei=either " +
		"f/=first fr=friend gd=good grt=great h]f=herself hm=him hmf=himself imm=immediate xs=its xf=itself lr=letter ll=little m*=much m/=must myf=myself nec=necessary nei=neither \"of=oneself \\rvs=ourselves pd=paid " +
		"p]cv=perceive p]cvg=perceiving p]h=perhaps qk=quick rcv=receive rcvg=receiving rjc=rejoice rjcg=rejoicing sd=said %d=should s*=such !mvs=themselves ?yf=thyself td=today tgr=together tm=tomorrow tn=tonight wd=would yr=your yrf=yourself yrvs=yourselves"
	olderShortforms = "o'c=o'clock"
)

// pair is one sign and its print.
type pair struct{ cells, print string }

func pairs(list string) []pair {
	var out []pair
	for _, f := range strings.Fields(list) {
		i := strings.IndexByte(f[1:], '=') + 1
		if i == 0 || i+1 == len(f) {
			continue
		}
		out = append(out, pair{f[:i], f[i+1:]})
	}
	return out
}

// place says where in a run of letters a groupsign may stand.
type place uint8

const (
	anywhere   place = iota
	atStart          // first, with a letter after it
	inMiddle         // between letters
	notAtStart       // after a letter
	byRule           // only where a rule says so: shortforms in longer words
)

// group is a groupsign with its place and its rank: the sign of lower rank is
// preferred where two ways of writing take the same cells (UEB 10.10).
type group struct {
	cells, print string
	place        place
	rank         int
	rules        []rule // exceptions, the first that holds decides
}

// signs is the sign list of one code, made ready for writing and reading.
type signs struct {
	code      Code
	words     map[string]string // print of a word to its wordsign
	wordOf    map[string]string // cells of a wordsign to print
	short     map[string]string // print of a shortform to its cells
	shortOf   map[string]string
	groups    []group
	byLetter  [26][]group // groups by first letter of their print
	lowerWord map[string]bool
}

var signsOf = [...]func() *signs{
	UEB:  sync.OnceValue(func() *signs { return buildSigns(UEB) }),
	SEB:  sync.OnceValue(func() *signs { return buildSigns(SEB) }),
	EBAE: sync.OnceValue(func() *signs { return buildSigns(EBAE) }),
}

func buildSigns(code Code) *signs {
	s := &signs{code: code, words: map[string]string{}, wordOf: map[string]string{}, short: map[string]string{}, shortOf: map[string]string{}, lowerWord: map[string]bool{}}
	for _, p := range pairs(alphaWords + " " + strongWords + " " + strongContractions + " " + lowerWords) {
		s.words[p.print], s.wordOf[p.cells] = p.cells, p.print
	}
	for _, p := range pairs(lowerWords) {
		s.lowerWord[p.print] = true
	}
	short := shortforms
	if code.Older() {
		short += " " + olderShortforms
	}
	for _, p := range pairs(short) {
		s.short[p.print], s.shortOf[p.cells] = p.cells, p.print
	}
	for _, p := range pairs(short) {
		s.add(group{cells: p.cells, print: p.print, place: byRule})
	}
	s.addGroups(strongContractions, anywhere, 0)
	s.addGroups(strongGroups, anywhere, 1)
	s.addGroups(initials, anywhere, 2)
	s.addGroups(finals, notAtStart, 2)
	s.addGroups(lowerStart, atStart, 3)
	s.addGroups(lowerMiddle, inMiddle, 4)
	s.addGroups(lowerAny, anywhere, 3)
	if code.Older() {
		s.addGroups(olderStart, atStart, 3)
		s.addGroups(olderMiddle, inMiddle, 4)
		s.addGroups(olderFinals, notAtStart, 2)
	}
	s.setRules(loadRules(code))
	return s
}

// setRules gives every groupsign its exceptions, by its print.
func (s *signs) setRules(rules map[string][]rule) {
	for i := range s.groups {
		s.groups[i].rules = rules[s.groups[i].print]
	}
	for _, list := range s.byLetter {
		for i := range list {
			list[i].rules = rules[list[i].print]
		}
	}
}

func (s *signs) addGroups(list string, at place, rank int) {
	for _, p := range pairs(list) {
		g := group{cells: p.cells, print: p.print, place: at, rank: rank}
		if p.print == "ing" {
			g.place = notAtStart
		}
		s.add(g)
	}
}

func (s *signs) add(g group) {
	s.groups = append(s.groups, g)
	s.byLetter[g.print[0]-'a'] = append(s.byLetter[g.print[0]-'a'], g)
}
