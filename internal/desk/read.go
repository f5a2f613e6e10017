package desk

import (
	"fmt"
	"slices"

	"continuo/internal/ride"
)

// readData is the edition as a display of N cells shows it.
type readData struct {
	Key               string
	Cells             int
	Number, Of        int // of the window, from 1
	Text              string
	Line, Lines       int
	Before, After     string
	FirstOf, LastOf   string
	Hard              bool
	Near              []window
	Account, Headings string
}

// window is one window of the display.
type window struct {
	Number int
	Text   string
	Here   bool
}

// around is how many windows are listed before and after the one that is read.
const around = 3

func (d *Desk) read(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	data := &readData{Key: x.Key, Cells: number(q.Get("cells"), 1, maxDisplay, r.prefs.Cells), Hard: q.Get("hard") == "1", Lines: len(t.trace.lines)}
	list := ride.Windows(t.trace.lines, ride.Display{Cells: data.Cells, Hard: data.Hard})
	data.Of = len(list)
	n := number(q.Get("window"), 1, len(list), 1)
	if line := number(q.Get("line"), 1, len(t.trace.lines), 0); line > 0 {
		n, _ = slices.BinarySearchFunc(list, line-1, func(w ride.Shown, l int) int { return w.Line - l })
		n++
	}
	data.fill(t, list, min(n, len(list)))
	return about(x, &view{Page: "read", Title: "Reading on a display", Trail: trail(x), Data: data, Variant: t.variant()}), nil
}

func (d *readData) fill(t *title, list []ride.Shown, n int) {
	text := func(w ride.Shown) string { return string(t.trace.lines[w.Line][w.From:w.To]) }
	w := list[n-1]
	d.Number, d.Text, d.Line = n, text(w), w.Line+1
	at := func(n int) string {
		p := fmt.Sprintf("%s/read?cells=%d&window=%d", titlePath(d.Key), d.Cells, n)
		if d.Hard {
			p += "&hard=1"
		}
		return p
	}
	if n > 1 {
		d.Before, d.FirstOf = at(n-1), at(1)
	}
	if n < len(list) {
		d.After, d.LastOf = at(n+1), at(len(list))
	}
	for i := max(1, n-around); i <= min(len(list), n+around); i++ {
		d.Near = append(d.Near, window{i, text(list[i-1]), i == n})
	}
	d.Account = fmt.Sprintf("%s/line?edition=%d", titlePath(d.Key), d.Line)
}
