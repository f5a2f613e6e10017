package collected

import (
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"sync"

	"continuo/internal/testkit"
)

// source holds the open texts that the pieces are taken from.
type source struct {
	verse [][]string // stanzas
	prose []string   // paragraphs
	poem  [][]testkit.Unit
	acts  [][]testkit.Unit
}

var dashed = regexp.MustCompile(`(\S*)—(\S*)`)

// tame keeps words short: a dash between long words becomes a comma.
func tame(s string) string {
	s = dashed.ReplaceAllStringFunc(s, func(m string) string {
		if len(m) > 15 || strings.HasPrefix(m, "—") || strings.HasSuffix(m, "—") {
			return strings.TrimSuffix(strings.Replace(m, "—", ", ", -1), " ")
		}
		return m
	})
	return strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(s), ","))
}

func newSource(texts []testkit.Text) (*source, error) {
	s := &source{}
	for _, t := range texts {
		for _, u := range t.Units {
			switch u.Kind {
			case testkit.Verse:
				var lines []string
				for _, l := range u.Lines {
					if l = tame(l); len(l) < 78 && l != "" {
						lines = append(lines, l)
					}
				}
				if len(lines) > 1 {
					s.verse = append(s.verse, lines)
				}
			case testkit.Para:
				if l := tame(u.Lines[0]); strings.HasPrefix(t.Name, "novel") && len(l) < 1400 {
					s.prose = append(s.prose, l)
				}
			}
		}
	}
	var err error
	if s.acts, err = testkit.AsYouLikeIt(); err != nil {
		return nil, err
	}
	if s.poem, err = testkit.ParadiseLost(); err != nil {
		return nil, err
	}
	return s, nil
}

var scriptures = []struct{ name, spec string }{
	{"Ruth", "Ruth1:1-4:22"}, {"Job", "Job1:1-42:17"}, {"Ecclesiastes", "Eccl1:1-12:14"}, {"The Song of Solomon", "Song1:1-8:14"},
	{"Lamentations", "Lam1:1-5:22"}, {"Jonah", "Jonah1:1-4:11"}, {"Micah", "Micah1:1-7:20"}, {"Esther", "Esth1:1-10:3"}, {"Joel", "Joel1:1-3:21"},
}

// versesOf asks the bible program for a book: chapters of verses.
func versesOf(spec string) ([][]string, error) {
	v, _ := asked.LoadOrStore(spec, sync.OnceValues(func() ([][]string, error) { return ask(spec) }))
	return v.(func() ([][]string, error))()
}

var (
	asked   sync.Map
	oneLine = regexp.MustCompile(`^[0-9]?[A-Za-z]+(\d+):(\d+) (.*)$`)
)

func ask(spec string) ([][]string, error) {
	raw, err := exec.Command("bible", "-f", spec).Output()
	if err != nil {
		return nil, testkit.Missing{What: "bible-kjv"}
	}
	var out [][]string
	for _, l := range strings.Split(string(raw), "\n") {
		m := oneLine.FindStringSubmatch(l)
		if m == nil {
			continue
		}
		if m[2] == "1" {
			out = append(out, nil)
		}
		text := strings.NewReplacer("[", "", "]", "", "{", "", "}", "", "#", "", "--", ", ").Replace(m[3])
		out[len(out)-1] = append(out[len(out)-1], strings.Join(strings.Fields(text), " "))
	}
	return out, nil
}

// maker draws the pieces of one book.
type maker struct {
	d    testkit.Dice
	h    *House
	src  *source
	out  []piece
	v, p int // next stanza and paragraph
	used map[string]bool
	n    int // for dice
	size int // letters
}

func (m *maker) add(p ...piece) {
	for _, x := range p {
		for _, l := range x.lines {
			m.size += len(l)
		}
	}
	m.out = append(m.out, p...)
}

func (m *maker) dice(n int, what string) int { m.n++; return m.d.N(n, what, m.n) }

func (m *maker) chance(percent int, what string) bool { return m.dice(100, what) < percent }

func (m *maker) stanza() []string {
	m.v++
	return m.src.verse[m.v%len(m.src.verse)]
}

func (m *maker) para() string {
	m.p++
	return m.src.prose[m.p%len(m.src.prose)]
}

var (
	adjectives = strings.Fields("Quiet Winter Hollow Silver Last Broken Second Early Distant Salt Painted Little Sleeping Unfinished Northern Borrowed Golden Idle")
	nouns      = strings.Fields("Garden River Window Harvest Letter Bridge Lantern Shore Orchard Bell Road Mirror Stranger Clock Feather Meadow Candle Kitchen Ferry Stone")
	places     = strings.Fields("Saltmere Lowmoor Wexcombe Thornby Aldersey Greywater Pinhallow Quenby")
	first      = strings.Fields("Orla Tobias Maud Ivo Hester Piers Sabina Conrad Edith Rufus Lettice Amos")
	last       = strings.Fields("Fennimore Wrenfield Askerley Penhallock Quillfeather Dunmarsh Copperthwaite Ravelstone Marrable Holloway")
	langs      = strings.Fields("Greek Latin French Welsh German Spanish Persian Irish")
	months     = strings.Fields("January March April June August October December")
)

func (m *maker) person() string { return pick(m.d, first, "f", m.n) + " " + m.pick(last) }

func (m *maker) pick(list []string) string { return list[m.dice(len(list), "pick")] }

// name makes a title that the book has not had.
func (m *maker) name() string {
	for {
		a, n, p := m.pick(adjectives), m.pick(nouns), m.pick(places)
		s := []string{
			"The " + a + " " + n, "To a " + a + " " + n, "Lines Written near " + p, "On the " + n + " at " + p, a + " " + n,
			"The " + n + " and the " + m.pick(nouns), "Song of the " + n, p, n + "s", "Why the " + n + " Is " + a,
			"A Ballad of " + p + " and of the " + a + " " + n + " That Was Found There",
		}[m.dice(11, "name")]
		if !m.used[s] {
			m.used[s] = true
			return s
		}
	}
}

// genre is a kind of book.
type genre struct {
	name string
	make func(*maker, int)
}

var genres []genre

func init() {
	genres = []genre{
		{"poems", (*maker).poems}, {"long poem", (*maker).longPoem}, {"play", (*maker).play}, {"scripture", (*maker).scripture},
		{"anthology", (*maker).anthology}, {"hymns", (*maker).hymns}, {"recipes", (*maker).recipes}, {"letters", (*maker).letters},
		{"quotations", (*maker).quotations}, {"prayers", (*maker).prayers}, {"stories", (*maker).stories}, {"two works", (*maker).twoWorks},
	}
}

// verse adds stanzas of about n lines, all in one form.
func (m *maker) verse(n int, number bool) {
	form := m.dice(5, "stanza form")
	for k := 0; k < n; {
		lines := m.stanza()
		var step []int
		if form == 0 {
			for i := range lines {
				step = append(step, i%2)
			}
		}
		m.add(piece{kind: kStanza, lines: lines, step: step, number: number})
		k += len(lines)
	}
}

// part heads a part of a collection.
func (m *maker) part(n int, names ...string) {
	lines := [][]string{{names[0]}, {"Part " + roman(n), names[0]}, {"Book " + word(n)}, {"Part " + fmt.Sprint(n)}}[m.d.N(4, "part wording")]
	m.add(piece{kind: kHead, level: 1, lines: lines})
}

func (m *maker) poems(want int) {
	style := m.d.N(4, "poem titles") // name, number and name, number, name with an epigraph
	parts := m.d.Chance(70, "parts")
	close := m.d.N(4, "closings")
	if style == 2 && parts {
		m.h.ListLevel = 1
	}
	for n, part := 1, 0; m.size < want; n++ {
		if parts && (n-1)%(5+int(m.d)%4) == 0 {
			part++
			m.part(part, m.name())
		}
		title := []string{m.name()}
		switch {
		case style == 1:
			title = []string{roman(n), title[0]}
		case style == 2 && parts:
			title = []string{fmt.Sprint(n)}
		}
		m.add(piece{kind: kHead, level: 2, lines: title, piece: true})
		if style == 3 && m.chance(40, "epigraph") {
			m.add(piece{kind: kAside, lines: []string{"For " + m.person()}})
		}
		m.verse(4+m.dice(34, "length"), true)
		if close == 0 || close == 1 && m.chance(30, "close") {
			m.add(piece{kind: kAside, lines: []string{[]string{"From the " + m.pick(langs), m.pick(places) + ", 18" + fmt.Sprint(10+m.dice(80, "year")), "After " + m.person()}[m.dice(3, "closing")]}})
		}
	}
}

func (m *maker) longPoem(want int) {
	k := m.d.N(11, "book")
	for n := 0; m.size < want && n < 3; n++ {
		for i, u := range m.src.poem[(k+n)%12] {
			var lines []string
			for _, l := range u.Lines {
				if l = tame(strings.TrimPrefix(l, "\t")); l != "" {
					lines = append(lines, l)
				}
			}
			switch u.Kind {
			case testkit.Heading:
				m.add(piece{kind: kHead, level: 1, lines: []string{"Book " + word(n+1)}, page: m.h.PartPage})
				if m.d.Chance(50, "argument") {
					m.add(piece{kind: kHead, level: 3, lines: []string{"The Argument"}}, piece{kind: kPara, lines: []string{m.para()}})
				}
			case testkit.Para:
				m.add(piece{kind: kPara, lines: []string{strings.Join(lines, " ")}})
			default:
				if i > 0 && m.size < want {
					m.add(piece{kind: kStanza, lines: lines, number: true})
				}
			}
		}
	}
}

func (m *maker) play(want int) {
	m.add(piece{kind: kHead, level: 1, lines: []string{pick(m.d, []string{"Persons of the Play", "Characters", "Dramatis Personae"}, "cast")}})
	for range 8 + m.dice(8, "cast") {
		m.add(piece{kind: kItem, lines: []string{m.person() + ", " + pick(m.d, []string{"a merchant", "servant to the Duke", "his brother", "a shepherd who keeps the king's flock beyond the forest", "a clown"}, "who", m.n)}})
	}
	style := m.d.N(3, "act wording")
	for n, k := 0, m.d.N(5, "act"); m.size < want && n < 5; n++ {
		scene := 0
		for _, u := range m.src.acts[(k+n)%5] {
			if m.size > want*5/4 {
				break
			}
			m.playUnit(u, n+1, &scene, style)
		}
	}
}

func (m *maker) playUnit(u testkit.Unit, act int, scene *int, style int) {
	switch u.Kind {
	case testkit.Heading:
		if u.Lines[0] != "" {
			m.add(piece{kind: kHead, level: 1, lines: []string{[]string{"Act " + word(act), "Act " + fmt.Sprint(act), "ACT " + roman(act)}[style]}})
			return
		}
		*scene++
		m.add(piece{kind: kHead, level: 2, lines: []string{[]string{"Scene " + word(*scene), "Scene " + fmt.Sprint(*scene), "SCENE " + roman(*scene)}[style]}})
	case testkit.Direction:
		m.add(piece{kind: kMove, lines: []string{tame(u.Lines[0])}})
	case testkit.Speech, testkit.SpeechOn:
		p := piece{kind: kSpeech, name: title(u.Lines[0])}
		if u.Kind == testkit.SpeechOn {
			p.kind = kVerses
		}
		for _, l := range u.Lines[1:] {
			if l = tame(l); l != "" {
				p.lines = append(p.lines, l)
			}
		}
		if len(p.lines) > 0 {
			m.add(p)
		}
	}
}

func (m *maker) scripture(want int) {
	form := pick(m.d, []string{"run", "para", "margin", "verse"}, "verse numbers")
	head := pick(m.d, []string{"Chapter %d", "%d", "Chapter %s"}, "chapter wording")
	for k, n := m.d.N(9, "first book"), 0; m.size < want && n < 9; n++ {
		b := scriptures[(k+n)%9]
		chapters, err := versesOf(b.spec)
		if err != nil {
			continue
		}
		m.add(piece{kind: kHead, level: 1, lines: []string{b.name}, head: b.name})
		for c, verses := range chapters {
			if m.size > want*5/4 {
				return
			}
			x := head
			if strings.Contains(x, "%d") {
				x = fmt.Sprintf(x, c+1)
			} else {
				x = fmt.Sprintf(x, roman(c+1))
			}
			m.add(piece{kind: kHead, level: 2, lines: []string{x}, head: b.name})
			if m.chance(15, "superscription") {
				m.add(piece{kind: kMove, lines: []string{"The vision of " + m.pick(first) + " concerning " + m.pick(places) + "."}})
			}
			m.chapter(verses, form)
		}
	}
}

func (m *maker) chapter(verses []string, form string) {
	run := ""
	flush := func() {
		if run != "" {
			m.add(piece{kind: kPara, lines: []string{run}})
		}
		run = ""
	}
	for i, v := range verses {
		v = tame(v)
		switch form {
		case "run":
			run = strings.TrimSpace(run + " " + fmt.Sprint(i+1) + " " + v)
			if m.chance(20, "new paragraph") {
				flush()
			}
		case "para":
			m.add(piece{kind: kPara, lines: []string{fmt.Sprint(i+1) + " " + v}})
		case "margin":
			m.add(piece{kind: kNumber, lines: []string{fmt.Sprint(i+1) + " " + v}})
		default:
			lines := cutLines(v)
			lines[0] = fmt.Sprint(i+1) + " " + lines[0]
			m.add(piece{kind: kStanza, lines: lines})
		}
	}
	flush()
}

// cutLines cuts a sentence at its stops into lines of verse.
func cutLines(s string) (out []string) {
	for len(s) > 30 {
		i := strings.IndexAny(s[18:], ",:;")
		if i < 0 || i+20 >= len(s) {
			break
		}
		out = append(out, strings.TrimSpace(s[:i+19]))
		s = s[i+19:]
	}
	return append(out, strings.TrimSpace(s))
}

func (m *maker) anthology(want int) {
	before := m.d.Chance(50, "author before")
	source := m.d.Chance(50, "sources")
	for part := 1; m.size < want; part++ {
		m.part(part, m.name())
		for range 3 + m.dice(4, "pieces") {
			who := m.person()
			if m.chance(25, "born") {
				who += fmt.Sprintf(" (%d-%d)", 1600+m.dice(200, "b"), 1830+m.dice(60, "died"))
			}
			m.add(piece{kind: kHead, level: 2, lines: []string{m.name()}, piece: true})
			if before {
				m.add(piece{kind: kAside, lines: []string{who}})
			}
			if m.chance(45, "prose") {
				for range 2 + m.dice(6, "paragraphs") {
					m.add(piece{kind: kPara, lines: []string{m.para()}})
				}
			} else {
				m.verse(6+m.dice(30, "length"), false)
			}
			if !before {
				m.add(piece{kind: kAside, lines: []string{who}})
			}
			if source && m.chance(60, "source") {
				m.add(piece{kind: kAside, lines: []string{"From " + m.name() + ", " + fmt.Sprint(1700+m.dice(200, "sy"))}})
			}
		}
	}
}

func (m *maker) hymns(want int) {
	style := m.d.N(3, "hymn heading") // number; Hymn n; number and name
	if style == 0 {
		m.h.ListLevel = 1 // no list names numbers alone
	}
	refrain := m.d.Chance(40, "refrains")
	numbered := m.d.Chance(60, "numbered stanzas")
	metre := m.d.N(3, "metre")
	parts := m.d.Chance(60, "parts")
	var index []string
	for n := 1; m.size < want; n++ {
		if parts && n%12 == 1 {
			m.add(piece{kind: kHead, level: 1, lines: []string{m.name()}})
		}
		t := [][]string{{fmt.Sprint(n)}, {fmt.Sprint("Hymn ", n)}, {fmt.Sprint(n), m.name()}}[style]
		m.add(piece{kind: kHead, level: 2, lines: t, piece: true})
		if metre == 0 {
			m.add(piece{kind: kAside, lines: []string{[]string{"Common metre", "Long metre", "Short metre", "8 7 8 7 D"}[m.dice(4, "metre")]}})
		}
		for v := range 2 + m.dice(4, "stanzas") {
			lines := m.hymnLines()
			if v == 0 {
				index = append(index, strings.TrimRight(lines[0], ",:;.")+" "+fmt.Sprint(n))
			}
			if numbered {
				lines[0] = fmt.Sprint(v+1) + " " + lines[0]
			}
			m.add(piece{kind: kStanza, lines: lines})
			if refrain {
				m.add(piece{kind: kStanza, lines: []string{"Sing aloud, ye hills of morning,", "Sing aloud from shore to shore."}, step: []int{1, 1}})
			}
		}
		if metre == 1 {
			m.add(piece{kind: kAside, lines: []string{m.person() + " " + fmt.Sprint(1700+m.dice(190, "hy"))}})
		}
	}
	m.add(piece{kind: kHead, level: 1, lines: []string{"Index of First Lines"}, page: true})
	sortStrings(index)
	for _, l := range index {
		m.add(piece{kind: kItem, lines: []string{l}})
	}
}

func (m *maker) hymnLines() []string {
	var out []string
	for len(out) < 4 {
		for _, l := range m.stanza() {
			for _, x := range cutLines(l) {
				if len(x) < 60 {
					out = append(out, upperFirst(x))
				}
			}
		}
	}
	return out[:4]
}

func upperFirst(s string) string {
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

var foods = []string{"plain flour", "caster sugar", "unsalted butter, softened", "milk", "oats", "honey", "chopped almonds", "dried figs, cut into strips and soaked overnight", "grated cheese", "eggs, lightly beaten", "salt", "ground ginger", "black treacle"}
var steps = []string{
	"Heat the oven and grease a shallow tin.", "Rub the butter into the flour until the mixture looks like fine crumbs, then stir in the sugar.",
	"Beat well.", "Add the milk a little at a time, beating after each addition, until the batter drops easily from the spoon.",
	"Bake for 25 minutes or until firm to the touch. Leave in the tin for 5 minutes before turning out.", "Serve warm.",
	"Simmer gently, stirring now and then, for about 1 hour.", "Cover and leave in a cool place overnight.",
}

func (m *maker) recipes(want int) {
	numbered := m.d.Chance(60, "numbered steps")
	labels := m.d.Chance(60, "labels")
	for n := 0; m.size < want; n++ {
		if n%7 == 0 {
			m.part(n/7+1, m.pick([]string{"Soups", "Breads", "Puddings", "Preserves", "Cakes for Visitors", "Winter Suppers"})+" of "+m.pick(places))
			m.add(piece{kind: kPara, lines: []string{m.para()}})
		}
		m.add(piece{kind: kHead, level: 2, lines: []string{m.name()}, piece: true})
		if m.chance(60, "yield") {
			m.add(piece{kind: kAside, lines: []string{fmt.Sprintf([]string{"Serves %d", "Makes about %d", "For %d people"}[int(m.d)%3], 2+m.dice(20, "y"))}})
		}
		if labels {
			m.add(piece{kind: kHead, level: 3, lines: []string{"Ingredients"}})
		}
		for range 4 + m.dice(6, "ingredients") {
			m.add(piece{kind: kItem, lines: []string{fmt.Sprintf([]string{"%d g %s", "%d oz %s", "%d tablespoons %s"}[m.dice(3, "unit")], 2+m.dice(300, "q"), m.pick(foods))}})
		}
		if labels {
			m.add(piece{kind: kHead, level: 3, lines: []string{"Method"}})
		}
		for k := range 3 + m.dice(5, "steps") {
			s := m.pick(steps)
			if numbered {
				s = fmt.Sprint(k+1) + ". " + s
			}
			m.add(piece{kind: kPara, lines: []string{s}})
		}
	}
	m.add(piece{kind: kHead, level: 1, lines: []string{"Weights and Measures"}, page: true})
	m.add(piece{kind: kRow, lines: []string{"Cups\tOunces\tGrams", "1\t4\t113", "2\t8\t226", "3\t12\t340", "4\t16\t453", "5\t20\t566", "6\t24\t680"}})
}

func (m *maker) letters(want int) {
	style := m.d.N(3, "letter headings")
	for n := 1; m.size < want; n++ {
		to := m.person()
		t := [][]string{{fmt.Sprint("Letter ", n)}, {"To " + to}, {roman(n), "To " + to}}[style]
		m.add(piece{kind: kHead, level: 1, lines: t, piece: true})
		m.add(piece{kind: kAside, lines: []string{m.pick(places) + ",", fmt.Sprint(1+m.dice(28, "day"), " ", m.pick(months), " 18", 10+m.dice(80, "ly"))}})
		m.add(piece{kind: kPara, lines: []string{"My dear " + m.pick(first) + ","}})
		for range 2 + m.dice(7, "paragraphs") {
			m.add(piece{kind: kPara, lines: []string{m.para()}})
		}
		m.add(piece{kind: kAside, lines: []string{m.pick([]string{"Yours ever,", "Your affectionate friend,", "I am, Sir, your obedient servant,"}), m.pick(first)}})
		if m.chance(25, "postscript") {
			m.add(piece{kind: kPara, lines: []string{"P.S. " + m.para()}})
		}
	}
}

func (m *maker) quotations(want int) {
	verse := m.d.Chance(50, "verse quoted")
	for n := 0; m.size < want; n++ {
		m.add(piece{kind: kHead, level: 1, lines: []string{m.pick(nouns) + "s and " + m.name()}})
		for range 4 + m.dice(8, "quoted") {
			if verse && m.chance(40, "verse") {
				m.add(piece{kind: kStanza, lines: m.stanza()})
			} else {
				m.add(piece{kind: kPara, lines: []string{m.short()}})
			}
			m.add(piece{kind: kAside, lines: []string{m.person() + m.pick([]string{"", ", " + m.name(), ", in a letter, 1788"})}})
		}
	}
}

// short is the first sentence or two of a paragraph.
func (m *maker) short() string {
	p := m.para()
	if i := strings.Index(p[min(60, len(p)):], ". "); i >= 0 {
		return p[:min(60, len(p))+i+1]
	}
	return p
}

func (m *maker) prayers(want int) {
	who := pick(m.d, [][2]string{{"V.", "R."}, {"Priest:", "People:"}, {"Leader", "All"}}, "responses")
	for n := 0; m.size < want; n++ {
		if n%5 == 0 {
			m.add(piece{kind: kHead, level: 1, lines: []string{m.pick([]string{"Morning Prayer", "Evening Prayer", "A Service for the Harvest", "Prayers at Sea", "The Litany"}) + " at " + m.pick(places)}})
		}
		m.add(piece{kind: kHead, level: 2, lines: []string{m.name()}, piece: true})
		m.add(piece{kind: kMove, lines: []string{m.pick([]string{"The people kneel.", "Here all stand and the minister says", "This may be said or sung."})}})
		for range 3 + m.dice(5, "versicles") {
			m.add(piece{kind: kItem, lines: []string{who[0] + " " + cutLines(m.stanza()[0])[0], who[1] + " " + cutLines(m.stanza()[0])[0]}})
		}
		if m.chance(60, "collect") {
			m.add(piece{kind: kPara, lines: []string{m.short() + " Amen."}})
		}
		if m.chance(50, "psalm") {
			m.verse(8, false)
		}
	}
}

func (m *maker) stories(want int) {
	for n := 1; m.size < want; n++ {
		t := []string{m.name()}
		if m.d.Chance(30, "numbered") {
			t = []string{fmt.Sprint(n), t[0]}
		}
		m.add(piece{kind: kHead, level: 1, lines: t, piece: true})
		if m.d.Chance(40, "by") {
			m.add(piece{kind: kAside, lines: []string{"by " + m.person()}})
		}
		for k := range 12 + m.dice(40, "paragraphs") {
			m.add(piece{kind: kPara, lines: []string{m.para()}})
			if k > 1 && m.chance(4, "scene") {
				m.add(piece{kind: kBreak})
			} else if m.chance(3, "song") {
				m.add(piece{kind: kStanza, lines: m.stanza()})
			}
		}
		if last := m.out[len(m.out)-1]; last.kind == kBreak {
			m.out = m.out[:len(m.out)-1]
		}
	}
}

// twoWorks are two works in one set of volumes.
func (m *maker) twoWorks(want int) {
	a, b := m.d.N(11, "work one"), m.d.N(11, "work two")
	if a == b {
		b = (a + 1) % 11
	}
	genres[a].make(m, want/2)
	genres[b].make(m, want)
}
