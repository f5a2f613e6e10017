package convert_test

import (
	"bytes"
	"fmt"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// shape is a title whose size would show an algorithm that grows faster than
// its input.
type shape struct {
	name           string
	volumes, pages int // pages a volume
	feeds, double  bool
}

var bigShapes = []shape{
	{"600 pages, 6 volumes", 6, 100, true, false},
	{"5,000 pages, 50 volumes", 50, 100, true, false},
	{"40 volumes of 15 pages", 40, 15, true, false},
	{"2,000 pages, one volume", 1, 2000, true, false},
	{"1,000 pages, one volume without form feeds", 1, 1000, false, false},
	{"600 pages, double spacing", 6, 100, true, true},
}

// raw presses the title: a head and a braille page number on each page, and
// paragraphs of the tests' story.
func (s shape) raw(tb testing.TB) [][]byte {
	words := story(tb, "ueb")
	n := 0
	var out [][]byte
	for v := range s.volumes {
		p := newPaper(tb, "uk", "ueb", 0)
		p.pages[0] = append(p.pages[0], "", p.centred(fmt.Sprintf(",volume %s", number(v+1))))
		for range s.pages - 1 {
			p.newPage()
			page := &p.pages[len(p.pages)-1]
			for line := ""; len(*page) < p.height; n++ {
				w := words[n%len(words)]
				if len(line)+len(w) >= p.width {
					*page, line = append(*page, line), ""
					if s.double && len(*page) < p.height {
						*page = append(*page, "")
					}
				}
				if line != "" {
					line += " "
				} else if n%7 == 0 {
					line = "  "
				}
				line += w
			}
		}
		b := p.bytes()
		if !s.feeds {
			b = bytes.ReplaceAll(b, []byte("\f"), nil)
		}
		out = append(out, b)
	}
	return out
}

func number(n int) string {
	s := "#"
	for _, d := range fmt.Sprint(n) {
		s += string("jabcdefghi"[d-'0'])
	}
	return s
}

// BenchmarkShapes converts and checks titles of many shapes: MB/s must not fall
// with the size.
func BenchmarkShapes(b *testing.B) {
	for _, s := range bigShapes {
		raw := s.raw(b)
		size := int64(0)
		parse := func() (files []*source.File) {
			for i, r := range raw {
				f, err := source.Parse(fmt.Sprintf("v%03d.brf", i+1), r)
				if err != nil {
					b.Fatal(err)
				}
				files = append(files, f)
			}
			return files
		}
		for _, r := range raw {
			size += int64(len(r))
		}
		res, err := convert.Make(parse(), convert.Defaults())
		if err != nil {
			b.Fatal(s.name, ": ", err)
		}
		b.Run("make/"+s.name, func(b *testing.B) {
			b.SetBytes(size)
			for b.Loop() {
				if _, err := convert.Make(parse(), convert.Defaults()); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("check/"+s.name, func(b *testing.B) {
			b.SetBytes(size)
			for b.Loop() {
				if r := check.Verify(res.Edition, res.Account, parse()); !r.OK {
					b.Fatal(s.name, ": ", r.Problems[:min(3, len(r.Problems))])
				}
			}
		})
	}
}
