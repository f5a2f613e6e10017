package ride_test

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"continuo/internal/ride"
)

func lines(s ...string) [][]byte {
	var out [][]byte
	for _, l := range s {
		out = append(out, []byte(l))
	}
	return out
}

// TestPlay counts by hand.
func TestPlay(t *testing.T) {
	long := "  ! old f]ry cross$ ! riv] twice a day" // 38 cells
	for _, c := range []struct {
		name string
		d    ride.Display
		in   []string
		want ride.Result
	}{
		{"one short line", ride.Display{Cells: 20}, []string{",! ,pond"}, ride.Result{Windows: 1}},
		{"cut at the last blank that fits", ride.Display{Cells: 20}, []string{long}, // "  ! old f]ry cross$", "! riv] twice a day"
			ride.Result{Windows: 2}},
		{"the blank after a full window takes none", ride.Display{Cells: 19}, []string{long}, ride.Result{Windows: 2}},
		{"one cell less", ride.Display{Cells: 18}, []string{long}, // "  ! old f]ry", "cross$ ! riv] twice", "a day"
			ride.Result{Windows: 3}},
		{"hard cut in a word", ride.Display{Cells: 18, Hard: true}, []string{long}, // ends in "cross|$" and "d|ay"
			ride.Result{Windows: 3, Cut: 2, Near: 1}},
		{"a word longer than the display", ride.Display{Cells: 8}, []string{"abcdefghijkl mn"}, // "abcdefgh", "ijkl mn"
			ride.Result{Windows: 2, Cut: 1}},
		{"an indent is no place to cut", ride.Display{Cells: 8}, []string{"    abcdefgh"}, ride.Result{Windows: 2, Cut: 1}},
		{"blank lines", ride.Display{Cells: 20}, []string{"", "a", "", "  "}, ride.Result{Windows: 4, Blank: 3, Near: 1}},
		{"blanks at the end", ride.Display{Cells: 8}, []string{"abcdefgh                     "}, ride.Result{Windows: 1}},
		{"a page number alone", ride.Display{Cells: 20}, []string{"                                    #aa"}, // a blank window, then the number
			ride.Result{Windows: 2, Blank: 1, Near: 1}},
		{"four cells are more than near-blank", ride.Display{Cells: 20}, []string{"#aab"}, ride.Result{Windows: 1}},
		{"nothing", ride.Display{Cells: 20}, nil, ride.Result{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := ride.Play([][][]byte{lines(c.in...)}, c.d)
			if got.Windows != c.want.Windows || got.Blank != c.want.Blank || got.Near != c.want.Near || got.Cut != c.want.Cut {
				t.Errorf("got %+v want %+v", got, c.want)
			}
		})
	}
}

// TestPlaces: moves to places over volumes, and the blank windows before them.
func TestPlaces(t *testing.T) {
	vols := [][][]byte{lines("", "", "      ,! ,pond", "", "#a"), lines("", "  ! pond lay 2h ! h\\se & no\"o", "last")}
	r := ride.Play(vols, ride.Display{Cells: 12}, ride.Place{Line: 2, Cell: 6}, ride.Place{Line: 4},
		ride.Place{Volume: 1, Line: 1, Cell: 2}, ride.Place{Volume: 1, Line: 1, Cell: 20}, ride.Place{Volume: 1, Line: 9})
	// volume 1: blank, blank, "      ,!" and ",pond", blank, "#a"; volume 2: blank, "  ! pond lay", "2h ! h\se &", `no"o`, last
	if want := []int{2, 5, 7, 8, -1}; !slices.Equal(r.To, want) {
		t.Errorf("moves %v, want %v", r.To, want)
	}
	if want := []int{2, 3, 4, 4, 4}; !slices.Equal(r.Before, want) {
		t.Errorf("blank windows before %v, want %v", r.Before, want)
	}
	if r.Windows != 11 || r.Moves() != 10 {
		t.Errorf("%d windows, %d moves", r.Windows, r.Moves())
	}
}

// TestAnyText holds rides over any text against what must be so: a hard
// display takes each line in its number of slices, the other cuts a word only
// when it is longer than the display, and no display of more cells needs more
// moves in hard cuts.
func TestAnyText(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 14))
	for range 2000 {
		n, text := 1+rnd.IntN(45), anyText(rnd)
		hard, soft := ride.Play([][][]byte{text}, ride.Display{Cells: n, Hard: true}), ride.Play([][][]byte{text}, ride.Display{Cells: n})
		want, blank := 0, 0
		for _, l := range text {
			l = bytes.TrimRight(l, " ")
			want += max(1, (len(l)+n-1)/n)
			if len(l) == 0 {
				blank++
			}
		}
		if hard.Windows != want {
			t.Fatalf("%d windows, want %d", hard.Windows, want)
		}
		if n > 9 && soft.Cut > 0 {
			t.Fatalf("%d words cut, none is longer than the display", soft.Cut)
		}
		if soft.Blank < blank || hard.Blank < blank {
			t.Fatalf("%d and %d blank windows, %d blank lines", soft.Blank, hard.Blank, blank)
		}
	}
}

// TestWindows holds what Play counts against the windows that Windows lists, on
// displays of 1 to 100 cells, and wanted places against windows too.
func TestWindows(t *testing.T) {
	rnd := rand.New(rand.NewPCG(15, 9))
	for range 3000 {
		d, text := ride.Display{Cells: 1 + rnd.IntN(100), Hard: rnd.IntN(3) == 0}, anyText(rnd)
		for i := range text {
			text[i] = append(bytes.Repeat([]byte(" "), rnd.IntN(3)*rnd.IntN(50)), text[i]...)
		}
		place := ride.Place{Line: rnd.IntN(9), Cell: rnd.IntN(60)}
		blank, near, cut, to := 0, 0, 0, -1
		list := ride.Windows(text, d)
		for n, w := range list {
			l := bytes.TrimRight(text[w.Line], " ")
			held := bytes.ReplaceAll(l[w.From:w.To], []byte(" "), nil)
			switch {
			case len(held) == 0:
				blank++
			case len(held) <= ride.NearBlank:
				near++
			}
			if w.To < len(l) && l[w.To] != ' ' && l[w.To-1] != ' ' {
				cut++
			}
			last := n+1 == len(list) || list[n+1].Line != w.Line
			if to < 0 && (w.Line > place.Line || w.Line == place.Line && (place.Cell < w.To || last)) {
				to = n
			}
		}
		got := ride.Play([][][]byte{text}, d, place)
		if got.Windows != len(list) || got.Blank != blank || got.Near != near || got.Cut != cut || got.To[0] != to {
			t.Fatalf("%+v: got %+v, want %d windows, %d blank, %d near-blank, %d cut, %d to %+v\n%q", d, got, len(list), blank, near, cut, to, place, text)
		}
	}
}

// anyText draws up to eight lines of up to twelve words of up to nine cells.
func anyText(rnd *rand.Rand) [][]byte {
	var text [][]byte
	for range rnd.IntN(9) {
		var words []string
		for range rnd.IntN(13) {
			words = append(words, "abcdefghi"[:rnd.IntN(10)])
		}
		text = append(text, []byte(strings.Join(words, " ")))
	}
	return text
}

func BenchmarkPlay(b *testing.B) {
	line := []byte("  ! old f]ry cross$ ! riv] twice a day & nobody")
	text := make([][]byte, 12000)
	for i := range text {
		text[i] = line
	}
	b.SetBytes(int64(len(line) * len(text)))
	for b.Loop() {
		ride.Play([][][]byte{text}, ride.Display{Cells: 20})
	}
}
