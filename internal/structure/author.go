package structure

import (
	"bytes"
	"strings"

	"continuo/internal/english"
	"continuo/internal/layout"
)

// maxAuthor is how many lines an author line may take.
const maxAuthor = 4

// Author is the author line of the title page, in cells, its lines joined by
// blanks: the line "by ...", or "by" and the lines up to the next gap; without
// such a line, what follows the title and says nothing else of a title page.
// It is empty when the volume has no such lines.
func (v *Volume) Author() string {
	from, to := v.TitleFrom+v.TitleHead, v.Title[1]
	if v.TitleHead == 0 {
		return ""
	}
	if by := v.authorAt(); by >= from {
		return v.author(by, to)
	}
	for i := from; i < to; i++ {
		if _, ok := v.Words.Prefix(v.Units[i].Text); ok && !v.Units[i].Rule {
			return v.author(v.pastSubtitle(from, i), i)
		}
	}
	return v.author(from, to)
}

// pastSubtitle is where the name of the author begins, among the units between the title and a phrase of a title page:
// a subtitle may stand before it where the title is told to end.
func (v *Volume) pastSubtitle(from, to int) int {
	if !v.titleEnds {
		return from
	}
	for k := from; k+1 < to && !v.Units[k+1].Rule; k++ {
		if v.hasRoom(k) || v.Units[k+1].Blanks > 0 {
			from = k + 1
		}
	}
	return from
}

// EndTitles ends the title of a book before a subtitle or the name of its author that stand right under it, without
// a blank line or the word by: the title over its text says the first lines and no more, or its running heads do, three
// at least, and the last of these lines had room for what follows; a head is shortened.
func EndTitles(vols []*Volume) {
	heads := map[string]int{}
	for _, v := range vols {
		for i := range v.Lines {
			if v.Lines[i].Role == layout.Head {
				heads[layout.Normal(v.TextOf(int32(i)))]++
			}
		}
	}
	for _, v := range vols {
		lines := v.TitleLines()
		if heads[strings.Join(lines, " ")] >= headsSay {
			continue
		}
		for m := len(lines) - 1; m > 0; m-- {
			if v.hasRoom(v.TitleFrom+m-1) && heads[strings.Join(lines[:m], " ")] >= headsSay || overText(vols, lines, m) {
				v.TitleHead, v.titleEnds = m, true
				break
			}
		}
	}
}

// headsSay is how many running heads tell the title of a book.
const headsSay = 3

// overText reports whether a volume begins its text with the first m lines of a title, and not with the next.
func overText(vols []*Volume, lines []string, m int) bool {
	for _, v := range vols {
		for i := v.firstUnitOf(v.BodyPage); i+m < len(v.Units) && v.Units[i].Page < v.BodyPage+3; i++ {
			u := &v.Units[i]
			if !u.PageTop {
				continue
			}
			n := 0
			for n <= m && layout.Normal(v.Units[i+n].Text) == lines[n] {
				n++
			}
			if n == m {
				return true
			}
		}
	}
	return false
}

// hasRoom reports whether the line of a title, in the middle or at the margin, had room for the first word of the
// next, six cells left free.
func (v *Volume) hasRoom(i int) bool {
	return len(v.Units[i].Text)+1+len(firstWord(v.Units[i+1].Text)) <= v.Width-6
}

// authorAt is the unit of the title page that begins with "by", the last one, as
// a title may go on with that word; -1 when there is none.
func (v *Volume) authorAt() int {
	for i := v.Title[1] - 1; i >= v.Title[0]; i-- {
		if p, ok := v.Words.Prefix(v.Units[i].Text); ok && p.ID == english.By {
			return i
		}
	}
	return -1
}

// author joins the lines of the author's name from a unit on, up to the next gap. A line that says only "by" may
// be set off from the name.
func (v *Volume) author(from, to int) string {
	var out [][]byte
	if from >= to {
		return ""
	}
	by, ok := v.Words.Prefix(v.Units[from].Text)
	alone := ok && by.ID == english.By && len(by.Tail) == 0
	for i := from; i < to && len(out) < maxAuthor; i++ {
		u := &v.Units[i]
		_, ok := v.Words.Prefix(u.Text)
		if u.Rule || i > from && (u.Blanks > 0 && !(alone && i == from+1) || ok) {
			break
		}
		out = append(out, u.Text)
	}
	return string(bytes.Join(out, []byte(" ")))
}
