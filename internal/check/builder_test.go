package check

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// raw is one source file of a test.
type raw struct{ name, text string }

// triple is a small title: its sources, the records of its account and its
// edition. The builder here knows the account's format on its own, so that
// writer and reader can be wrong only each for itself.
type triple struct {
	name    string
	sources []raw
	reasons map[string]string // id: class
	records []string
	edition []string
	splits  []int

	settings map[string]any
	crlf     bool
	upper    bool
	edit     func(head, tail map[string]any) // changes made before sealing
	packed   bool                            // version 2: records packed in strings
	lines    []string                        // of version 2, in place of the records
}

func (t *triple) clone() *triple {
	c := *t
	c.sources = slices.Clone(t.sources)
	c.records = slices.Clone(t.records)
	c.edition = slices.Clone(t.edition)
	c.splits = slices.Clone(t.splits)
	c.reasons = map[string]string{}
	for k, v := range t.reasons {
		c.reasons[k] = v
	}
	return &c
}

func sum(b []byte) string { h := sha256.Sum256(b); return hex.EncodeToString(h[:]) }

func (t *triple) files(tb testing.TB) []*source.File {
	tb.Helper()
	var out []*source.File
	for _, r := range t.sources {
		f, err := source.Parse(r.name, []byte(r.text))
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, f)
	}
	return out
}

func (t *triple) editionBytes() []byte {
	end := "\n"
	if t.crlf {
		end = "\r\n"
	}
	text := strings.Join(append(slices.Clone(t.edition), ""), end)
	if t.upper {
		text = strings.ToUpper(text)
	}
	return []byte(text)
}

// sealed writes the account over the records with true hashes and sums.
func (t *triple) sealed(tb testing.TB) (edition, account []byte, files []*source.File) {
	tb.Helper()
	files = t.files(tb)
	edition = t.editionBytes()
	marks := 0
	for _, l := range t.edition {
		marks += cell.Marks([]byte(l))
	}
	head := map[string]any{"account": 1, "tool": "test", "reasons": map[string]any{}, "settings": t.settings,
		"edition": map[string]any{"name": "x.brf", "bytes": len(edition), "sha256": sum(edition), "lines": len(t.edition), "marks": marks}}
	var sources []any
	for i, f := range files {
		sources = append(sources, map[string]any{"n": i + 1, "name": f.Name, "bytes": f.Bytes, "sha256": f.SHA256, "encoding": f.Encoding, "lines": len(f.Lines), "marks": f.Marks, "control": f.Control})
	}
	head["sources"] = sources
	for id, class := range t.reasons {
		head["reasons"].(map[string]any)[id] = map[string]any{"class": class, "why": "test", "evidence": "test", "confidence": 0.9}
	}
	splits := t.splits
	if splits == nil {
		splits = []int{}
	}
	lines := t.records
	if t.packed {
		lines = t.pack(head)
	}
	w := walk(t.records, files)
	tail := map[string]any{"end": true, "records": len(t.records), "splits": splits,
		"totals": map[string]any{"keep": w.keep, "move": w.move, "swap": w.swap, "out": w.out, "add": w.add}}
	if t.packed {
		upper := map[string]int{}
		for id, n := range w.out {
			upper[strings.ToUpper(id)] = n
		}
		tail["totals"].(map[string]any)["out"] = upper
	}
	if t.edit != nil {
		t.edit(head, tail)
	}
	var b bytes.Buffer
	write(&b, head)
	for _, r := range lines {
		b.WriteString(r + "\n")
	}
	if tail["sha256"] == nil {
		tail["sha256"] = sum(b.Bytes())
	}
	write(&b, tail)
	return edition, b.Bytes(), files
}

// pack turns records and head into version 2: reasons as arrays, and records
// without cells as letters, some ten in a string. It gives the reasons of
// totals the names they have.
func (t *triple) pack(head map[string]any) []string {
	head["account"] = 2
	reasons := map[string]any{}
	for id, class := range t.reasons {
		reasons[strings.ToUpper(id)] = []any{class, "test", "test", 0.9}
	}
	head["reasons"] = reasons
	for _, s := range head["sources"].([]any) {
		delete(s.(map[string]any), "n")
		if s.(map[string]any)["encoding"] == source.ASCII {
			delete(s.(map[string]any), "encoding")
		}
	}
	if t.lines != nil {
		return t.lines
	}
	var out []string
	open := ""
	for i, r := range t.records {
		p, ok := packed(r)
		if ok {
			open += p
		}
		if open != "" && (!ok || i%10 == 9 || i == len(t.records)-1) {
			out, open = append(out, `"`+open+`"`), ""
		}
		if !ok {
			out = append(out, p)
		}
	}
	return out
}

// packed is a record of version 2, and whether it is a packed one.
func packed(r string) (string, bool) {
	var f []any
	if json.Unmarshal([]byte(r), &f) != nil || len(f) == 0 {
		return r, false
	}
	letter := map[any]string{"keep": "k", "double": "d", "out": "o", "keep-cells": "p", "out-cells": "x", "cut": "c", "blank": "b", "join": "j", "at": "@", "move": "m",
		"swap": "s", "swap-cells": "z", "add": "a"}[f[0]]
	if letter == "" || strings.Contains(r, `\`) { // the reason is the last string, after the cells
		i := strings.LastIndex(r, `",`)
		return r[:i] + strings.ToUpper(r[i:]), false
	}
	var numbers []string
	id, cells := "", ""
	for i, x := range f[1:] {
		switch s, ok := x.(string); {
		case !ok:
			numbers = append(numbers, fmt.Sprint(x))
		case i+2 < len(f):
			cells = "{" + s + "}"
		default:
			id = strings.ToUpper(s)
		}
	}
	between := map[string]string{"c": "-"}[letter]
	if letter == "@" || letter == "m" {
		between = ":"
	}
	n := strings.Join(numbers, between)
	if n == "1" {
		n = ""
	}
	return letter + n + cells + id, true
}

func write(b *bytes.Buffer, v any) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(err)
	}
}

// walked is what a plain walk over records finds: sums, and the text line by
// line, one line for each piece that is not joined.
type walked struct {
	keep, move, swap, add int
	out                   map[string]int
	text                  []string
	fate                  map[[2]int]int // source and line: record that takes it whole as kept
}

// walk runs records over files as far as they make sense.
func walk(records []string, files []*source.File) *walked {
	w := &walked{out: map[string]int{}, fate: map[[2]int]int{}}
	s, line, pos := 0, 0, 0
	moving, joined := false, false
	text := func() string {
		if s >= len(files) || line < 0 || line >= len(files[s].Lines) {
			return ""
		}
		return string(files[s].Text(line))
	}
	norm := func() {
		for s < len(files) && line >= len(files[s].Lines) {
			s, line = s+1, 0
		}
	}
	next := func() { line, pos = line+1, 0; norm() }
	put := func(x string) {
		if joined && len(w.text) > 0 {
			w.text[len(w.text)-1] += strings.TrimLeft(x, " ")
		} else {
			w.text = append(w.text, x)
		}
		joined = false
	}
	keep := func(x string) {
		n := cell.Marks([]byte(x))
		if moving {
			w.move += n
		} else {
			w.keep += n
		}
		if n > 0 {
			put(x)
		}
	}
	cut := func(n int) string {
		t := text()
		from, to := min(pos, len(t)), min(pos+n, len(t))
		if pos = to; pos >= len(t) {
			next()
		}
		return t[from:to]
	}
	norm()
	for i, r := range records {
		var f []any
		if json.Unmarshal([]byte(r), &f) != nil || len(f) < 2 {
			continue
		}
		num := func(i int) int {
			if i < len(f) {
				x, _ := f[i].(float64)
				return int(min(max(x, -1), 1e6))
			}
			return 0
		}
		str := func(i int) string {
			if i < len(f) {
				x, _ := f[i].(string)
				return x
			}
			return ""
		}
		marks := func(s string) int { return cell.Marks([]byte(s)) }
		switch f[0] {
		case "keep":
			for range num(1) {
				if s >= len(files) {
					break
				}
				w.fate[[2]int{s, line}] = i
				if t := text(); t == "" {
					w.text = append(w.text, "")
				} else {
					keep(t)
				}
				next()
			}
		case "double":
			for range num(1) {
				if s >= len(files) {
					break
				}
				keep(text())
				next()
				w.out[str(2)] += marks(text())
				next()
			}
		case "out":
			for range num(1) {
				if s >= len(files) {
					break
				}
				w.out[str(2)] += marks(text())
				next()
			}
		case "swap":
			for range num(1) {
				w.swap += marks(text())
				next()
			}
			put(str(2))
		case "keep-cells":
			keep(cut(num(1)))
		case "out-cells":
			w.out[str(2)] += marks(cut(num(1)))
		case "swap-cells":
			w.swap += marks(cut(num(1)))
			put(str(2))
		case "add":
			w.add += marks(str(1))
			put(str(1))
		case "blank":
			w.text = append(w.text, "")
		case "join":
			joined = true
		case "at", "move":
			s, line, pos = max(num(1)-1, 0), num(2)-1, 0
			moving = f[0] == "move"
		}
	}
	return w
}

// reset writes the edition anew from the records, one line a piece, so that
// edition and account agree whatever they do.
func (t *triple) reset(tb testing.TB) {
	t.edition = walk(t.records, t.files(tb)).text
	for len(t.edition) > 0 && t.edition[0] == "" {
		t.edition = t.edition[1:]
	}
	t.splits = nil
}

func (t *triple) verify(tb testing.TB) Report {
	tb.Helper()
	return Verify(t.sealed(tb))
}

func show(r Report) string {
	var b strings.Builder
	for _, p := range r.Problems {
		fmt.Fprintln(&b, p)
	}
	return b.String()
}

// wants checks anew: the title is proved where want is "", else a problem says want.
func (x *triple) wants(t *testing.T, name, want string) {
	t.Helper()
	x.reset(t)
	got := x.verify(t)
	switch all := show(got); {
	case want == "" && !got.OK:
		t.Errorf("%s: %s", name, all)
	case want != "" && !strings.Contains(all, want):
		t.Errorf("%s: want %q, got %s", name, want, all)
	}
}
