package convert_test

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// A lineCase is one case of a file in testdata/cases: raw lines that are set
// in the middle of a story on paper pages, and what the edition makes of them.
//
//	case:   name, with the section of the published rule
//	paper:  uk or us (see paper); code: ueb, ebae or seb
//	words:  words that stand undivided elsewhere in the book
//	print:  the print page on which the lines begin; without it no print pages
//	place:  contents or end, when the lines stand there and not in the text
//	at:     the line of its page on which the first line stands
//	lines:  raw lines after "| "; "..." is running text that fills the line
//	want:   the edition's lines, one a paragraph; "..." is the same text
//
// A "~" at the end of a raw line is a cell left free there. In short:
// "drop: A B" and "keep: A B" are words divided as A at a line end and B on
// the next line whose hyphen goes or stays.
type lineCase struct {
	file, name  string
	at          map[string]string
	lines, want []string
	from        int // line in its file
}

func (c *lineCase) get(key, or string) string {
	if v, ok := c.at[key]; ok {
		return v
	}
	return or
}

// readCases reads a case file; what stands before the first case holds for all
// of them.
func readCases(tb testing.TB, file string) []*lineCase {
	tb.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	var out []*lineCase
	common := map[string]string{}
	var cur *lineCase
	block := ""
	for n, s := 1, bufio.NewScanner(bytes.NewReader(b)); s.Scan(); n++ {
		t := s.Text()
		key, val, _ := strings.Cut(t, ":")
		val = strings.TrimSpace(val)
		switch {
		case t == "" || t[0] == '#':
		case strings.HasPrefix(t, "| ") || t == "|":
			switch t = strings.TrimPrefix(t[1:], " "); {
			case cur != nil && block == "lines":
				cur.lines = append(cur.lines, t)
			case cur != nil && block == "want":
				cur.want = append(cur.want, t)
			default:
				tb.Fatalf("%s:%d: a line outside lines and want", file, n)
			}
		case key == "lines" || key == "want":
			block = key
		case key == "case" || key == "drop" || key == "keep":
			cur = &lineCase{file: filepath.Base(file), name: val, at: map[string]string{}, from: n}
			for k, v := range common {
				cur.at[k] = v
			}
			out = append(out, cur)
			if key != "case" {
				cur.divided(tb, key, common["section"])
				if key == "keep" {
					silent := *cur
					silent.name += ", nothing in the book tells"
					silent.at = map[string]string{"paper": cur.get("paper", "uk"), "code": cur.get("code", "ueb")}
					out = append(out, &silent)
				}
			}
		case strings.Contains("paper code words print at place section", key):
			if cur == nil || key == "section" {
				cur, common[key] = nil, val
			} else {
				cur.at[key] = val
			}
		default:
			tb.Fatalf("%s:%d: cannot be read: %s", file, n, t)
		}
	}
	if len(out) == 0 {
		tb.Fatalf("%s: no cases", file)
	}
	return out
}

// divided makes a case of a pair of parts.
func (c *lineCase) divided(tb testing.TB, key, section string) {
	tb.Helper()
	f := strings.Fields(c.name)
	if len(f) != 2 || !strings.HasSuffix(f[0], "-") {
		tb.Fatalf("%s:%d: not two parts: %s", c.file, c.from, c.name)
	}
	whole := f[0] + f[1]
	if key == "drop" {
		whole = strings.TrimSuffix(f[0], "-") + f[1]
	}
	c.name = section + " " + key + " " + c.name
	c.at["words"] = whole
	c.lines = []string{"... " + f[0], f[1] + " ..."}
	c.want = []string{"... " + whole + " ..."}
}

// set puts the lines of the case on paper and returns the filled wanted lines,
// with the paragraphs around them.
func (c *lineCase) set(tb testing.TB, start int) (p *paper, want []string) {
	tb.Helper()
	p = newPaper(tb, c.get("paper", "uk"), c.get("code", "ueb"), start)
	if c.get("place", "") == "contents" {
		p.newPage()
		for _, l := range c.lines {
			p.put(l)
		}
		p.newPage()
		p.text(60)
		return p, c.want
	}
	p.newPage()
	p.text(60)
	for _, w := range strings.Fields(c.get("words", "")) {
		p.paragraph(append(append(p.sentences(6), w), p.sentences(9)...))
	}
	p.text(4)
	var fills []string
	p.raw, p.began = nil, p.print
	if strings.HasPrefix(c.lines[0], "...") {
		fills = c.flowed(tb, p)
	} else {
		for p.line()+len(c.lines)+6 > p.height {
			p.paragraph(p.sentences(12))
		}
		want = append(want, p.paragraph(p.sentences(20)))
		for _, l := range c.lines {
			p.put(l)
		}
	}
	after := []string{}
	if c.get("place", "") != "end" {
		after = append(after, p.paragraph(p.sentences(20)))
	}
	shown := p.raw
	for _, w := range c.want {
		for strings.Contains(w, "...") && len(fills) > 0 {
			w = strings.Replace(w, "...", fills[0], 1)
			fills = fills[1:]
		}
		want = append(want, w)
	}
	want = append(want, after...)
	if len(after) > 0 {
		p.text(60)
	}
	p.raw = shown
	return p, want
}

// flowed sets the case's lines as a part of a paragraph.
func (c *lineCase) flowed(tb testing.TB, p *paper) (fills []string) {
	tb.Helper()
	at, _ := strconv.Atoi(c.get("at", "0"))
	if at == 0 && p.line() > p.height-8 {
		at = 6
	}
	for at > 1 && p.line() > at-2 && p.line() <= p.height {
		p.paragraph(p.sentences(12))
	}
	for at == 1 && (len(p.pages)%2 == 0 || p.line() < p.height-12 || p.line() > p.height-2) {
		p.paragraph(p.sentences(12))
	}
	lead := "  " + p.fill(p.room()-2)
	p.put(lead)
	for k := 0; k == 0 || at > 0 && p.line() != at && !(at == 1 && p.line() > p.height); k++ {
		t := p.fill(p.room())
		p.put(t)
		lead += " " + t
	}
	if p.room(); at > 0 && p.line() != at {
		tb.Fatalf("%s:%d: the lines stand on line %d of their page, not %d", c.file, c.from, p.line(), at)
	}
	for i, l := range c.lines {
		free := len(l) - len(strings.TrimRight(l, "~"))
		l = strings.TrimSpace(l[:len(l)-free])
		raw := c.lines[i][:len(c.lines[i])-free]
		room := p.room() - free
		switch {
		case strings.HasPrefix(l, "... "):
			t := p.fill(room - len(l) + 3)
			p.put(t + l[3:])
			if i == 0 {
				t = lead + " " + t
			}
			fills = append(fills, t)
		case strings.HasSuffix(l, " ..."):
			t := p.fill(room - len(l) + 3)
			p.put(l[:len(l)-3] + t)
			if i == len(c.lines)-1 {
				more := p.fill(p.room())
				p.put(more)
				t += " " + more + " l/4"
				p.put("l/4")
			}
			fills = append(fills, t)
		default:
			p.put(raw)
		}
	}
	return fills
}

// TestCases runs the cases of published rules for line ends, page numbers and
// print page turns: the edition holds exactly the wanted lines, and the
// distrustful reader proves it.
func TestCases(t *testing.T) {
	files, _ := filepath.Glob("testdata/cases/*.txt")
	if len(files) == 0 {
		t.Fatal("no case files")
	}
	for _, file := range files {
		for _, c := range readCases(t, file) {
			t.Run(fmt.Sprintf("%s:%d %s", c.file, c.from, c.name), func(t *testing.T) { c.run(t) })
		}
	}
}

func (c *lineCase) run(t *testing.T) {
	start := 0
	if n, _ := strconv.Atoi(c.get("print", "0")); n > 0 {
		start = n
		for range 4 { // until the story reaches the lines on the wanted print page
			p, _ := c.set(t, start)
			start += n - p.began
		}
	}
	p, want := c.set(t, start)
	f, err := source.Parse("v1.brf", p.bytes())
	if err != nil {
		t.Fatal(err)
	}
	o := convert.Defaults()
	o.Width = 0
	res, err := convert.Make([]*source.File{f}, o)
	if err != nil {
		t.Fatal(err)
	}
	text := "\r\n" + string(res.Edition)
	if block := "\r\n" + strings.Join(want, "\r\n") + "\r\n"; strings.Count(text, block) != 1 || c.get("place", "") == "end" && !strings.HasSuffix(text, block) {
		t.Errorf("raw lines:\n%s\nwant:\n%s\ngot:\n%s", strings.Join(p.raw, "\n"), strings.Join(want, "\n"), nearest(text, want))
	}
	if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
		t.Errorf("not proved: %v", rep.Problems)
	}
}
