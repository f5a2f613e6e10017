package finders

import (
	"bytes"
	"sort"
)

// Hit is one place where a search lands: a line of the edition from 1, and the
// cells of it that were found, from From up to To. Over says that the string goes
// on over the line end, so that only a display that reads a line end as a blank
// finds it; To is then the end of the line.
type Hit struct {
	Line, From, To int
	Over           bool
}

// Try searches the lines of an edition for a string in canonical cells, as the
// search command of a display does from the beginning of a line (from 1): the
// first hits, at most limit of them, and how many there are to the end. A blank
// in the string is a blank of a line, or a line end.
func Try(lines [][]byte, search []byte, from, limit int) (hits []Hit, total int) {
	from = max(from, 1)
	if len(search) == 0 || from > len(lines) {
		return nil, 0
	}
	text := bytes.Join(lines[from-1:], []byte{' '})
	starts := make([]int, 0, len(lines)-from+1)
	at := 0
	for _, l := range lines[from-1:] {
		starts = append(starts, at)
		at += len(l) + 1
	}
	for i := 0; ; {
		n := bytes.Index(text[i:], search)
		if n < 0 {
			return hits, total
		}
		i += n
		if total++; len(hits) < limit {
			line := sort.SearchInts(starts, i+1) - 1
			h := Hit{Line: from + line, From: i - starts[line]}
			end, room := h.From+len(search), len(lines[from-1+line])
			h.To, h.Over = min(end, room), end > room
			hits = append(hits, h)
		}
		i++
	}
}
