package structure

import (
	"bytes"

	"continuo/internal/english"
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
			return v.author(from, i)
		}
	}
	return v.author(from, to)
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
