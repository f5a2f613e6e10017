// Command paper writes a large title as paper volumes for the benchmark: six
// volumes of a hundred pages in contracted UEB, with a page information line
// on every page, print page turns, contents and end-of-volume lines. Its
// paragraphs are those of the demo in an order drawn from a fixed seed.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/demo"
)

// The paper: 38 cells by 27 lines (a size in use in the United Kingdom; common
// practice).
const (
	width  = 38
	height = 27
)

func main() {
	volumes := flag.Int("volumes", 6, "volumes")
	pages := flag.Int("pages", 100, "pages a volume")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "use: paper [-volumes N] [-pages N] DIR")
		os.Exit(2)
	}
	if err := write(flag.Arg(0), *volumes, *pages); err != nil {
		fmt.Fprintln(os.Stderr, "paper: error:", err)
		os.Exit(1)
	}
}

func write(dir string, volumes, pages int) error {
	paras, err := paragraphs()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	p := &press{paras: paras, rnd: rand.New(rand.NewPCG(1, 2)), print: 1}
	for v := 1; v <= volumes; v++ {
		text := p.volume(v, volumes, pages)
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("large-%02d.brf", v)), text, 0o666); err != nil {
			return err
		}
	}
	return nil
}

// paragraphs takes the paragraphs of the first demo title off its paper pages.
func paragraphs() ([][]string, error) {
	var out [][]string
	var cur []string
	for _, name := range demo.Titles[0].Volumes {
		text, err := demo.Titles[0].Volume(name)
		if err != nil {
			return nil, err
		}
		for _, page := range bytes.Split(text, []byte("\f")) {
			for i, line := range strings.Split(string(page), "\n") {
				indent := len(line) - len(strings.TrimLeft(line, " "))
				if i == 0 || line == "" || indent > 2 || indent == 1 {
					continue
				}
				if indent == 2 && len(cur) > 0 {
					out = append(out, cur)
					cur = nil
				}
				cur = append(cur, strings.Fields(line)...)
			}
		}
	}
	return out, nil
}

// press sets pages of one volume after another.
type press struct {
	paras   [][]string
	rnd     *rand.Rand
	out     bytes.Buffer
	lines   []string
	page    int
	print   int
	chapter int
	words   int // since the last print page turn
}

func number(n int) string { return string(cell.Number(n)) }

func middle(s string) string { return strings.Repeat(" ", (width-len(s))/2) + s }

// end fills and writes the page at work.
func (p *press) end() {
	for len(p.lines) < height {
		p.lines = append(p.lines, "")
	}
	p.out.WriteString(strings.Join(p.lines, "\n") + "\n\f")
	p.lines = nil
}

// put sets a line, with the page information line before the first of a page.
func (p *press) put(line string) {
	if len(p.lines) == height {
		p.end()
	}
	if len(p.lines) == 0 {
		p.page++
		left, right := number(p.print), number(p.page)
		head := left + middle("a l>ge book")[len(left):]
		p.lines = append(p.lines, head+strings.Repeat(" ", width-len(head)-len(right))+right)
	}
	p.lines = append(p.lines, line)
}

// volume sets one volume: title page, contents, text, last line.
func (p *press) volume(v, of, pages int) []byte {
	p.out.Reset()
	p.page = 1
	for _, s := range []string{"", ",a ,l>ge ,book", "", `"33333333333`, ",9 " + number(of) + " ,volumes", ",volume " + number(v), `"33333333333`, "", "", ",made = m1sur+"} {
		p.lines = append(p.lines, middle(s))
	}
	p.lines[0], p.lines[2] = "", ""
	p.end()
	p.put(middle(",a ,l>ge ,book"))
	p.put(middle(`"33333333333`))
	for p.page < pages || len(p.lines) < height-8 {
		p.section()
	}
	p.put(middle(",5d ( ,volume " + number(v)))
	p.end()
	return bytes.Clone(p.out.Bytes())
}

// section sets a chapter heading and some paragraphs.
func (p *press) section() {
	if p.chapter++; len(p.lines) > height-4 {
		p.end()
	}
	p.put(middle(",*apt] " + number(p.chapter)))
	for range 12 {
		p.paragraph(p.paras[p.rnd.IntN(len(p.paras))])
	}
}

// paragraph sets words from cell 3, with print page turns on their own lines.
func (p *press) paragraph(words []string) {
	line := " "
	for _, w := range words {
		if p.words++; p.words%260 == 0 {
			p.put(line)
			p.print++
			p.put(middle(`"3` + number(p.print)))
			line = w
			continue
		}
		if len(line)+1+len(w) > width {
			p.put(line)
			line = w
			continue
		}
		line += " " + w
	}
	p.put(line)
}
