package testkit

import (
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"sync"
)

// This file presses books of books: scripture with running heads that change by
// book, collected plays and anthologies.

// A Part of a book of books: a book of scripture, a play, a story. Its chapters
// hold paragraphs.
type Part struct {
	Name, Head string // its heading; what its page heads say
	Label      string // what its chapters are called: "Chapter", "Act", "Psalm", "" for a bare number
	Chapters   [][]string
	Scenes     bool // the chapters hold scenes, a paragraph each, with headings "Scene 1"
}

// bibleNames are the books as Debian's bible program abbreviates them, and
// their usual names.
var bibleNames = strings.Fields(`Gen=Genesis Exo=Exodus Lev=Leviticus Num=Numbers Deu=Deuteronomy Josh=Joshua Judg=Judges Ruth=Ruth 1Sam=1_Samuel 2Sam=2_Samuel
	1Ki=1_Kings 2Ki=2_Kings 1Chr=1_Chronicles 2Chr=2_Chronicles Ezra=Ezra Neh=Nehemiah Est=Esther Job=Job Psa=Psalms Prov=Proverbs Eccl=Ecclesiastes Song=Song_of_Solomon
	Isa=Isaiah Jer=Jeremiah Lam=Lamentations Ezek=Ezekiel Dan=Daniel Hosea=Hosea Joel=Joel Amos=Amos Obad=Obadiah Jonah=Jonah Micah=Micah Nahum=Nahum Hab=Habakkuk
	Zep=Zephaniah Hag=Haggai Zec=Zechariah Mal=Malachi Matt=Matthew Mark=Mark Luke=Luke John=John Acts=Acts Rom=Romans 1Cor=1_Corinthians 2Cor=2_Corinthians Gal=Galatians
	Eph=Ephesians Phil=Philippians Col=Colossians 1Thes=1_Thessalonians 2Thes=2_Thessalonians 1Tim=1_Timothy 2Tim=2_Timothy Titus=Titus Phmon=Philemon Heb=Hebrews
	Jas=James 1Pet=1_Peter 2Pet=2_Peter 1Jn=1_John 2Jn=2_John 3Jn=3_John Jude=Jude Rev=Revelation`)

var scriptureLine = regexp.MustCompile(`^([0-9]?[A-Za-z]+)\s*(\d+):(\d+) (.*)$`)

// Scripture returns the King James text (Debian's bible-kjv-text): 66 books,
// 1,189 chapters, 31,102 verses, each with its number.
func Scripture() ([]Part, error) { return loadScripture() }

var loadScripture = sync.OnceValues(func() ([]Part, error) {
	if _, err := exec.LookPath("bible"); err != nil {
		return nil, Missing{"bible-kjv"}
	}
	raw, err := exec.Command("bible", "-f", "Gen1:1-Rev22:21").Output()
	if err != nil {
		return nil, fmt.Errorf("bible: %v", err)
	}
	var out []Part
	book, chapter := "", ""
	for _, l := range strings.Split(string(raw), "\n") {
		m := scriptureLine.FindStringSubmatch(l)
		if m == nil {
			continue
		}
		if m[1] != book {
			book, chapter = m[1], ""
			if len(out) == len(bibleNames) {
				return nil, fmt.Errorf("bible: more than %d books, the last %q", len(bibleNames), book)
			}
			_, name, _ := strings.Cut(bibleNames[len(out)], "=")
			name = strings.ReplaceAll(name, "_", " ")
			out = append(out, Part{Name: name, Head: name})
		}
		p := &out[len(out)-1]
		if m[2] != chapter {
			chapter = m[2]
			p.Chapters = append(p.Chapters, nil)
		}
		text := strings.NewReplacer("[", "", "]", "", "<", "", ">", "", "#", "").Replace(m[4])
		if c := clean(text); c != "" {
			text = c
		}
		k := len(p.Chapters) - 1
		p.Chapters[k] = append(p.Chapters[k], m[3]+" "+strings.TrimSpace(text))
	}
	return out, nil
})

// Shortened returns the parts with so many paragraphs a chapter at most.
func Shortened(parts []Part, most int) []Part {
	out := append([]Part(nil), parts...)
	for i := range out {
		ch := make([][]string, len(out[i].Chapters))
		for k, c := range out[i].Chapters {
			ch[k] = c[:min(len(c), most)]
		}
		out[i].Chapters = ch
	}
	return out
}

// DrawParts draws the layout of a book of books.
func DrawParts(seed uint64) *Layout {
	l := Draw(seed)
	d := Dice(seed)
	l.Recipe, l.Exercise = false, false
	l.Block, l.EndNotes, l.Footnotes, l.Lists, l.Table, l.Index, l.Inserts, l.Remarks, l.Divide = false, false, false, false, false, false, false, false, false
	l.Contents, l.General, l.ChapterPage, l.ChapterOdd, l.File.Damage = "none", false, false, false, ""
	l.Head, l.History = "section", "none"
	l.HeadForm = pick(d, []string{"full", "full", "plain"}, "parts head form")
	for l.Style == "corner" || l.Style == "iceb" {
		l.Style = pick(d, []string{"all", "odd", "bottom", "foot", "alternate"}, "parts style")
	}
	if l.Style == "textbook" {
		l.Turns = "row"
	}
	return l
}

// WantParent is a heading in the truth that says only a number: the name of its
// book and its own cells, and the word of the body that it begins with.
type WantParent struct {
	Name, Over, Label string // Over: of a scene, its act
	Body              int
}

// NewParts makes a book of books.
func NewParts(l *Layout, parts []Part) (*Book, error) {
	d := Dice(l.Seed)
	ph, err := phrases(l.Code)
	if err != nil {
		return nil, err
	}
	b := &Book{Lay: l, Dice: d, phrase: ph, source: "parts", TitleName: pick(d, titles, "title")}
	b.Title, b.Author = ph[b.TitleName], ph[pick(d, authors, "author")]
	if err := b.putParts(parts); err != nil {
		return nil, err
	}
	b.drawTurns()
	return b, nil
}

func (b *Book) putParts(parts []Part) error {
	var print []string
	for _, p := range parts {
		print = append(print, p.Name, p.Head)
		for i, c := range p.Chapters {
			print = append(print, strings.TrimSpace(fmt.Sprint(p.Label, " ", i+1)))
			for k, text := range c {
				if p.Scenes {
					print = append(print, fmt.Sprint("Scene ", k+1))
				}
				print = append(print, text)
			}
		}
	}
	cells, err := Translate(b.Lay.Code, print)
	if err != nil {
		return err
	}
	k := 0
	next := func() string { k++; return string(cells[k-1]) }
	add := func(e Elem) {
		for _, l := range e.Lines {
			b.tokens += len(l)
		}
		b.Body = append(b.Body, e)
	}
	for _, p := range parts {
		name, head := next(), next()
		add(Elem{Kind: Heading, Short: head, Lines: [][]Tok{toks(name, nil)}})
		for _, c := range p.Chapters {
			label := next()
			add(Elem{Kind: Heading, Level: 1, Short: label, Parent: head, Lines: [][]Tok{toks(label, nil)}})
			for range c {
				if p.Scenes {
					s := next()
					add(Elem{Kind: Heading, Level: 1, Short: s, Parent: head, Over: label, Lines: [][]Tok{toks(s, nil)}})
				}
				add(Elem{Kind: Para, Lines: [][]Tok{toks(next(), nil)}})
			}
		}
	}
	return nil
}

// Collection is a set of plays (acts and scenes), or of stories with bare
// numbers, of paragraphs of an open text under invented names.
func Collection(seed uint64, texts []Text, plays bool) []Part {
	d := Dice(seed)
	t := pick(d, texts[:min(6, len(texts))], "collection text")
	var paras []string
	for _, u := range t.Units {
		if u.Kind == Para {
			paras = append(paras, u.Lines[0])
		}
	}
	n := d.Between(5, 9, "collection parts")
	at := d.N(len(paras)/3, "collection at")
	var out []Part
	for i := range n {
		name := headingNames[(i*7+d.N(30, "collection name"))%len(headingNames)]
		p := Part{Name: name, Head: name, Scenes: plays}
		if plays {
			p.Label = "Act"
		}
		for c := range d.Between(3, 5, "collection chapters", i) {
			var text []string
			for range d.Between(4, 9, "collection paragraphs", i, c) {
				text = append(text, paras[at%len(paras)])
				at++
			}
			p.Chapters = append(p.Chapters, text)
		}
		out = append(out, p)
	}
	return out
}
