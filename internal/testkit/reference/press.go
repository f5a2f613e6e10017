package reference

import (
	"fmt"
	"slices"
	"strings"

	"continuo/internal/testkit"
)

// Title is a title as this press sets it.
type Title struct {
	*testkit.Title
	Features []string
	Own      []string // wordings that the converter may add, in the book's code
}

// Press sets one title.
func Press(seed uint64, texts []testkit.Text) (*Title, error) { return set(seed, draw(seed), texts) }

// PressOtherGrade sets the same title in the other grade of its code.
func PressOtherGrade(seed uint64, texts []testkit.Text) (*Title, error) {
	h := draw(seed)
	h.code.Contracted = !h.code.Contracted
	return set(seed, h, texts)
}

func set(seed uint64, h *house, texts []testkit.Text) (*Title, error) {
	b, err := newBook(seed, h, texts)
	if err != nil {
		return nil, err
	}
	for _, e := range b.elems {
		e.listed = e.kind == heading && h.contents != "none" && (e.level < 2 || e.level == 2 && h.listSubs)
	}
	orig := map[*elem][][]word{}
	for _, e := range b.elems {
		orig[e] = e.words
	}
	lay := &testkit.Layout{Seed: seed, Code: h.code, Width: h.width, Height: h.height, File: h.file}
	var p *press
	var fronts []counts
	var known map[*elem]place
	volumes := 9
	for pass := 0; ; pass++ {
		for _, e := range b.elems {
			e.words = nil
			for _, l := range orig[e] {
				e.words = append(e.words, slices.Clone(l))
			}
		}
		p = &press{b: b, h: h, d: testkit.Dice(seed*31 + 7), t: testkit.NewTruth(lay), fronts: fronts, known: known, noted: map[string]int{}, places: map[*elem]place{}}
		if err := p.speak(volumes); err != nil {
			return nil, err
		}
		p.body()
		for e, at := range p.places {
			at.shown = at.on.shown
			p.places[e] = at
		}
		now := p.assemble()
		steady := slices.Equal(now, fronts) && len(p.vols) == volumes && samePlaces(known, p.places)
		fronts, known, volumes = now, p.places, len(p.vols)
		if steady {
			break
		}
		if pass > 8 {
			return nil, fmt.Errorf("seed %d: the pages do not settle", seed)
		}
	}
	return p.finish(lay), nil
}

func samePlaces(a, b map[*elem]place) bool {
	if len(a) != len(b) {
		return false
	}
	for e, x := range a {
		if y := b[e]; x.vol != y.vol || x.page != y.page || x.print != y.print {
			return false
		}
	}
	return true
}

// speak puts the wordings into cells.
func (p *press) speak(volumes int) error {
	m := p.wordings(volumes)
	for i, s := range []string{"asterisk", "solidus", "opening note sign", "dagger"} {
		m[fmt.Sprint("sign", i)] = s
	}
	var keys, print []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		print = append(print, m[k])
	}
	out, err := testkit.Translate(p.h.code, print)
	if err != nil {
		return err
	}
	p.say = map[string]string{}
	for i, k := range keys {
		p.say[k] = string(out[i])
	}
	return nil
}

// assemble sets what stands before the text of each volume.
func (p *press) assemble() []counts {
	var out []counts
	all := p.vols
	known := p.known
	p.known = p.places
	if known != nil {
		p.known = known
	}
	for v, x := range all {
		p.vols = all[:v+1]
		p.frontPages = x.front
		var pre, list []*page
		p.target = &pre
		p.label, p.cont = "", 0
		p.titlePage(v+1, len(all))
		p.matterPages()
		p.target, p.kind = &list, "list"
		if p.h.contents == "back" {
			p.target, p.kind = &x.text, "back"
		}
		p.lists(len(all))
		var front, text []*page
		for _, pg := range x.text {
			if pg.kind == "front" {
				front = append(front, pg)
			} else {
				text = append(text, pg)
			}
		}
		x.all = pre
		if p.h.listAt == "preface" {
			x.all = append(append(x.all, front...), list...)
		} else {
			x.all = append(append(x.all, list...), front...)
		}
		x.all = append(x.all, text...)
		out = append(out, counts{len(pre), len(list), len(front)})
	}
	return out
}

// finish writes the files and the rest of the truth.
func (p *press) finish(lay *testkit.Layout) *Title {
	h := p.h
	lay.Volumes = len(p.vols)
	t := &Title{Title: &testkit.Title{Lay: lay, Truth: p.t}, Features: h.features()}
	p.t.Features, p.t.Volumes = t.Features, len(p.vols)
	var name []string
	for i := range p.b.title {
		name = append(name, strings.Fields(p.say[fmt.Sprint("title", i)])...)
	}
	p.t.Title = name
	p.t.Float("title", name, 1, 2)
	p.slip()
	for v, x := range p.vols {
		var pages [][][]byte
		for _, pg := range x.all {
			var rows [][]byte
			for _, r := range pg.rows {
				rows = append(rows, []byte(strings.TrimRight(r, " ")))
			}
			pages = append(pages, rows)
		}
		p.t.Pages += len(pages)
		t.Pages = append(t.Pages, pages)
		file := fmt.Sprintf(pick(p.d, []string{"vol%d.brf", "%d.brf", "book_v%02d.brf", "Volume %d.BRF", "b-%d.txt"}, "names"), v+1)
		t.Files = append(t.Files, testkit.File{Name: file, Raw: h.file.Encode(p.d, pages, h.width)})
	}
	own := p.say["own"]
	t.Own = []string{own, strings.Replace(own, "edi;n", "$i;n", 1), strings.Replace(own, "edi,n", "$i,n", 1)}
	return t
}

// slip puts one slip of real volumes on a page in the middle.
func (p *press) slip() {
	v := p.vols[p.d.N(len(p.vols), "slip volume")]
	if p.h.slip == "" || len(v.text) < 6 {
		return
	}
	pg := v.text[len(v.text)/2]
	at := -1
	for _, i := range []int{0, len(pg.rows) - 1} {
		if pg.label != "" && (strings.HasSuffix(pg.rows[i], " "+pg.label) || strings.HasPrefix(pg.rows[i], pg.label+" ")) {
			at = i
		}
	}
	switch p.h.slip {
	case "number":
		if at >= 0 && pg.rows[at] != pg.label {
			pg.rows[at] = strings.TrimRight(strings.Replace(pg.rows[at], pg.label, blanks(len(pg.label)), 1), " ")
			p.t.Gone("page head", pg.rows[at])
		}
	case "head":
		if at >= 0 && pg.top > 0 && at == 0 {
			f := strings.Fields(pg.rows[0])
			if i := len(f) / 2; len(f) > 2 && len(f[i]) > 3 && !strings.Contains(f[i], "#") {
				pg.rows[0] = strings.Replace(pg.rows[0], f[i], f[i][:2]+"m"+f[i][3:], 1)
				p.t.Gone("page head", pg.rows[0])
				f := strings.Fields(pg.rows[0])
				p.t.Gone("page head", strings.Join(f[:len(f)-1], " "))
			}
		}
	case "long", "short":
		for i := len(pg.rows) - 2; i > len(pg.rows)/2; i-- {
			if pg.rows[i] == "" && pg.rows[i-1] == "" {
				if p.h.slip == "long" {
					pg.rows = slices.Insert(pg.rows, i, "")
				} else {
					pg.rows = slices.Delete(pg.rows, i, i+1)
				}
				break
			}
		}
	}
}
