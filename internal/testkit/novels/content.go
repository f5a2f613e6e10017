package novels

import (
	"fmt"
	"strings"

	"continuo/internal/testkit"
)

// item is one element of the book in print.
type item struct {
	kind  string // "part", "chapter", "sub", "para", "verse", "extract", "date", "salute", "letter", "sign", "diary", "epigraph", "source", "break", "end"
	lines []string
	entry string // headings: as a contents list has them
	short string // headings: as a running head has them
	opens bool   // first of a displayed block
	note  string // of a paragraph
}

// All names and wordings are invented.
var (
	titles = [][3]string{ // title, short form, subtitle
		{"The Lamplighters of Farrow Hill", "The Lamplighters", "A Story in Three Winters"},
		{"A Quiet Boat", "A Quiet Boat", "and Other Pieces"},
		{"What the Orchard Kept", "What the Orchard Kept", "A Family Record"},
		{"Salt", "Salt", "A Novel"},
		{"The Long Way Round to Penmarrow", "The Long Way Round", "Walks on a Northern Coast"},
		{"Winter Letters", "Winter Letters", "From the Papers of a Country Doctor"},
		{"Mrs Dunmore's Clock", "Mrs Dunmore's Clock", "A Comedy"},
		{"The Glass Harvest", "The Glass Harvest", "A Novel of the Fens"},
		{"Half a Bridge: The Life of an Engineer", "Half a Bridge", "With His Letters"},
		{"Seven Gates", "Seven Gates", "Stories"},
		{"The Weaver and the Weather", "The Weaver", "Essays on Small Things"},
		{"An Island of One's Own Making", "An Island", "A Year in the West"},
		{"No Harbour Before Night", "No Harbour", "Book Two of the Cray Trilogy"},
		{"The Unhurried Country", "The Unhurried Country", "Notes of a Traveller"},
	}
	people   = []string{"Ottoline Brask", "Hesper Quillan", "Edwin Tarrowby", "Maud Vennering", "Jory Pelham Stokke", "Clement Ashgrove-Rudd", "I. M. Farthingoe", "Sabine Okonwell"}
	printers = []string{"Harbour Lane Press", "Grey Heron Books", "The Millwheel Press", "Northgate and Sons", "Blue Shutter Editions"}
	towns    = []string{"Castle Wray", "Port Ellery", "Dunmere", "Saltby", "Millbrook, Ohio", "Fairhaven"}
	makers   = []string{"Lantern Braille Library", "Braille Workshop of Dunmere", "The Kestrel Transcribers", "Westfield Braille Press", "County Braille Service"}
	places   = []string{"Farrow Hill", "Penmarrow", "Dunmere", "On board the Thistle", "The Old Ferry", "Castle Wray", "Saltby Sands", "The North Road", "Ellery Bridge", "Cray Abbey"}
	months   = []string{"January", "March", "April", "June", "July", "September", "October", "December"}
	others   = []string{"The Copper Kettle", "Nine Days at Saltby", "A Book of Gates", "The Ferryman's Ledger", "Under Green Glass", "Letters to a Gardener", "The Second Mrs Pell"}
)

var numberWords = []string{"Zero", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve", "Thirteen", "Fourteen", "Fifteen", "Sixteen", "Seventeen", "Eighteen", "Nineteen", "Twenty", "Twenty-one", "Twenty-two", "Twenty-three", "Twenty-four", "Twenty-five", "Twenty-six", "Twenty-seven", "Twenty-eight", "Twenty-nine", "Thirty"}
var ordinals = []string{"", "First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth", "Eleventh", "Twelfth"}

func wordOf(n int) string {
	if n < len(numberWords) {
		return numberWords[n]
	}
	return fmt.Sprint(n)
}

// names makes chapter names that are all different.
func names(d dice) func(i int) string {
	nouns := []string{"Lantern", "Ferry", "Orchard", "Mirror", "Stranger", "Ledger", "Bell", "Garden", "Horse", "Candle", "Bridge", "Visitor", "Hat", "Storm", "Kitchen", "Debt", "Parcel", "Window", "Doctor", "Road"}
	marks := []string{"Broken", "Borrowed", "Second", "Silent", "Yellow", "Lost", "Honest", "Late", "Unwelcome", "Little"}
	return func(i int) string {
		a, b, m := nouns[(i*7+d.N(20, "noun"))%20], nouns[(i*11+5+d.N(20, "noun"))%20], marks[(i*3+d.N(10, "mark"))%10]
		if a == b {
			b = "Moon"
		}
		switch (i + d.N(8, "pattern")) % 8 {
		case 0:
			return "The " + m + " " + a
		case 1:
			return "A " + a + " and a " + b
		case 2:
			return a + "s"
		case 3:
			return "In Which the " + a + " Is Found and the " + m + " " + b + " Is Lost Again"
		case 4:
			return "What the " + a + " Said"
		case 5:
			return m + " " + a + "s"
		case 6:
			return "Of " + a + "s, " + b + "s and Other Matters"
		}
		return "The " + a + " at " + places[i%len(places)]
	}
}

// section is the name of section n of the book, each another.
func section(n int) string {
	nouns := []string{"Weather", "Mill", "Supper", "Fences", "Toll", "Market", "Names", "Debts", "Friends", "Boots", "Winter", "Bread", "Maps", "Sleep"}
	return []string{"A Word on ", "Why I Remember ", "More about "}[n/len(nouns)%3] + nouns[n%len(nouns)]
}

func roman(n int) string { return strings.ToUpper(testkit.Roman(n)) }

// chapterHead gives the lines of a chapter heading and its contents entry.
func (b *builder) chapterHead(n int) item {
	f, name := b.f, b.name(n)
	place := places[(n*3+b.d.N(9, "place"))%len(places)] + ", " + fmt.Sprint(1810+b.d.N(90, "year", n/4)+n)
	l := []string{}
	switch f.Head {
	case "chapter":
		l = []string{fmt.Sprint("Chapter ", n)}
	case "chapter word":
		l = []string{"Chapter " + wordOf(n)}
	case "bare":
		l = []string{fmt.Sprint(n)}
	case "roman":
		l = []string{roman(n)}
	case "word":
		l = []string{wordOf(n)}
	case "letter":
		l = []string{"Letter " + roman(n)}
	case "bare name":
		l = []string{fmt.Sprint(n), name}
	case "roman name":
		l = []string{roman(n), name}
	case "chapter name":
		l = []string{fmt.Sprint("Chapter ", n), name}
	case "chapter capitals":
		l = []string{"CHAPTER " + roman(n), strings.ToUpper(name)}
	case "joined":
		l = []string{fmt.Sprintf("Chapter %d: %s", n, name)}
	case "stop":
		l = []string{fmt.Sprintf("%d. %s", n, name)}
	case "place":
		l = []string{fmt.Sprint("Chapter ", n), name, place}
	case "years":
		l = []string{name, fmt.Sprintf("%d-%d", 1800+n*3, 1803+n*3)}
	case "name by":
		l = []string{name, "by " + people[(n+b.d.N(8, "story by"))%len(people)]}
	case "capitals":
		l = []string{strings.ToUpper(name)}
	default:
		l = []string{name}
	}
	it := item{kind: "chapter", lines: l, entry: strings.Join(l, " "), short: l[min(1, len(l)-1)]}
	switch f.Head {
	case "years", "name by":
		it.short = l[0]
	case "joined", "stop":
		it.short = name
	case "bare", "roman", "word": // no head is a number alone: it would be taken for one of a page
		it.short = ""
	}
	named := len(l) > 1
	switch {
	case named && f.EntryForm == "name":
		it.entry = it.short
	case named && f.EntryForm == "number" && strings.HasPrefix(strings.ToLower(l[0]), "chapter "):
		it.entry = l[0][8:] + " " + it.short
	case f.Head == "place":
		it.entry = l[0] + " " + l[1]
	}
	return it
}

// builder makes the items of a book from an open text.
type builder struct {
	f     *form
	d     dice
	name  func(int) string
	items []item
	verse [][]string
	notes []string
	units []testkit.Unit
	next  int // of units
	poem  int
	size  int // letters so far
	noted int
	subs  int
}

func build(f *form, d dice, texts []testkit.Text) []item {
	b := &builder{f: f, d: d, name: names(d)}
	b.gather(texts)
	want := f.Volumes * f.PagesEach * (f.Height - 2) * f.Width * 8 / 10
	if f.ShortLast && f.Volumes > 1 {
		want -= f.PagesEach * (f.Height - 2) * f.Width * 6 / 10
	}
	if f.Code.Contracted {
		want = want * 13 / 10
	}
	if f.Double != "" {
		want /= 2
	}
	if f.Special {
		b.special("Prologue", "Foreword", "Introduction", "A Note to the Reader")
	}
	part, n := 0, 1
	for every := d.Between(3, 5, "chapters a part"); b.size < want && n < 30; n++ {
		if f.Parts && (n-1)%every == 0 {
			if part++; part > 1 && f.PartEnd {
				b.add(item{kind: "end", lines: []string{"End of " + b.partWord() + " " + wordOf(part-1)}})
			}
			b.part(part)
		}
		b.items = append(b.items, b.chapterHead(n))
		b.chapter(n, d.Between(1200, 6500, "chapter size", n))
	}
	if f.Special && d.Chance(60, "epilogue") {
		b.special("Epilogue", "Afterword", "Postscript")
	}
	return b.items
}

func (b *builder) partWord() string { return one(b.d, "part word", "Part", "Book") }

func (b *builder) add(it item) {
	for _, l := range it.lines {
		b.size += len(l)
	}
	b.items = append(b.items, it)
}

func (b *builder) part(n int) {
	l := []string{b.partWord() + " " + wordOf(n)}
	if b.d.Chance(60, "part names") {
		l = append(l, []string{"Seed-time", "High Water", "The Dry Year", "Home", "Ashes", "The Return"}[(n-1)%6])
	}
	b.add(item{kind: "part", lines: l, entry: strings.Join(l, " "), short: l[len(l)-1]})
	if !b.f.PartEpigraph {
		return
	}
	if v := b.stanza(); v != nil {
		b.add(item{kind: "epigraph", lines: v, opens: true})
		b.add(item{kind: "source", lines: []string{[]string{"Old song", "From a sampler", "The Book of the Ferry", "A saying of the fens"}[n%4]}})
	}
}

func (b *builder) special(names ...string) {
	name := names[b.d.N(len(names), "special", names[0])]
	if b.f.Head == "capitals" || b.f.Head == "chapter capitals" {
		name = strings.ToUpper(name)
	}
	b.add(item{kind: "chapter", lines: []string{name}, entry: name, short: name})
	b.chapter(50+len(names), b.d.Between(700, 2500, "special size", names[0]))
}

// gather chooses the text, and takes the poems and notes from others.
func (b *builder) gather(texts []testkit.Text) {
	var prose []testkit.Text
	for _, t := range texts {
		if strings.HasPrefix(t.Name, "novel") || t.Name == "opticks" && (b.f.Kind == "essays" || b.f.Kind == "travel") {
			prose = append(prose, t)
		}
		for _, u := range t.Units {
			if u.Kind == testkit.Verse && len(u.Lines) >= 2 && len(u.Lines) <= 8 && (t.Name == "psalms" || t.Name == "devil") {
				b.verse = append(b.verse, u.Lines)
			}
			if t.Name == "luke" && u.Kind == testkit.Para {
				if k := strings.IndexAny(u.Lines[0], ".;"); k > 25 && k < 260 {
					b.notes = append(b.notes, u.Lines[0][:k]+".")
				}
			}
		}
	}
	t := prose[b.d.N(len(prose), "text")]
	from := b.d.N(len(t.Units)*2/3, "from")
	for _, u := range append(append([]testkit.Unit(nil), t.Units[from:]...), t.Units[:from]...) {
		if u.Kind == testkit.Para {
			b.units = append(b.units, u)
		}
	}
	b.poem = b.d.N(max(1, len(b.verse)-40), "poems from")
}

func (b *builder) paragraph() string {
	s := b.units[b.next%len(b.units)].Lines[0]
	b.next++
	return strings.TrimRight(s, "—")
}

func (b *builder) stanza() []string {
	if b.poem >= len(b.verse) {
		return nil
	}
	b.poem++
	return b.verse[b.poem-1]
}

// chapter adds what stands in one chapter.
func (b *builder) chapter(n, size int) {
	d, f := b.d, b.f
	start := b.size
	if f.Kind == "letters" {
		b.dateline(n)
	}
	for i := 0; b.size < start+size; i++ {
		roll := d.N(100, "what", n, i)
		switch {
		case i < 2 || len(b.items) == 0:
			b.para(n, i)
		case roll < 4:
			b.letter(n*40 + i)
		case roll < 9:
			b.poems(n*40 + i)
		case roll < 12 && f.Extract != "":
			for k := range d.Between(1, 2, "extract", n, i) {
				b.add(item{kind: "extract", lines: []string{b.paragraph()}, opens: k == 0})
			}
		case roll < 17 && f.Diary != "":
			b.add(item{kind: "diary", lines: []string{b.day(n*7 + i)}})
		case roll < 20:
			b.add(item{kind: "break"})
		case i > 2 && i%d.Between(5, 9, "section every") == 0 && f.Sections && b.subs < 40:
			b.subs++
			s := section(b.subs)
			b.add(item{kind: "sub", lines: []string{s}, entry: s, short: s})
		}
		b.para(n, i)
	}
	if f.Kind == "letters" {
		b.sign(n)
	}
}

func (b *builder) para(n, i int) {
	it := item{kind: "para", lines: []string{b.paragraph()}}
	if b.f.NotePlace != "" && len(b.notes) > 0 && b.d.Chance(14, "note", n, i) {
		b.noted++
		it.note = b.notes[(b.d.N(200, "notes from")+b.noted)%len(b.notes)]
	}
	b.add(it)
}

func (b *builder) day(i int) string {
	days := []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	day, month := 1+i*5%28, months[i/3%len(months)]
	switch b.d.N(3, "day form") {
	case 0:
		return fmt.Sprintf("%s %d %s", days[i%7], day, month)
	case 1:
		return fmt.Sprintf("%s %d, 18%02d", month, day, 20+i%60)
	}
	return fmt.Sprintf("%d %s", day, month)
}

func (b *builder) dateline(i int) {
	b.add(item{kind: "date", opens: true, lines: []string{places[i%len(places)] + ", " + b.day(i*3) + "."}})
	b.add(item{kind: "salute", lines: []string{[]string{"My dear Hester,", "Sir,", "Dear Cousin Maud,", "My own dear Mother,", "Dear Mr Pell,"}[i%5]}})
}

func (b *builder) sign(i int) {
	l := []string{[]string{"Yours ever,", "Your affectionate brother,", "I am, Sir, your obedient servant,", "With love to all at home,"}[i%4], []string{"E. Tarrowby", "Hester", "J. P. Stokke", "Your own Ned"}[i/2%4]}
	b.add(item{kind: "sign", lines: l})
}

func (b *builder) letter(i int) {
	b.dateline(i)
	for range b.d.Between(1, 3, "letter size", i) {
		b.add(item{kind: "letter", lines: []string{b.paragraph()}})
	}
	b.sign(i)
}

func (b *builder) poems(i int) {
	for k := range b.d.Between(1, 3, "stanzas", i) {
		if v := b.stanza(); v != nil {
			b.add(item{kind: "verse", lines: v, opens: k == 0})
		}
	}
}
