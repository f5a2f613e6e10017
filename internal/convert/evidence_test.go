package convert

import (
	"bytes"
	"slices"
	"testing"

	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

func TestGaps(t *testing.T) {
	for name, c := range map[string]struct {
		numbers []int // by page, 0 none
		want    []int
	}{
		"none":                            {[]int{1, 2, 3, 0, 5, 6}, nil},
		"a leaf is missing":               {[]int{1, 2, 5, 6, 7}, []int{3}},
		"at the end":                      {[]int{1, 2, 3, 9}, []int{4}},
		"a number that is no page number": {[]int{1, 2, 9, 4, 5}, nil},
		"blank backs left out":            {[]int{1, 2, 3, 5, 6, 7, 8, 9, 11, 12, 13, 15, 16}, nil},
		"one page is missing":             {[]int{1, 2, 3, 5, 6, 7}, []int{4}},
	} {
		var seen []numbered
		for p, n := range c.numbers {
			if n > 0 {
				seen = append(seen, numbered{p, n})
			}
		}
		if got := gaps(seen); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// TestBegunLate: the first page of the text is numbered 1, or by its place in the file (common practice).
func TestBegunLate(t *testing.T) {
	for first, want := range map[numbered]bool{{4, 1}: false, {4, 2}: true, {4, 5}: false, {2, 2}: false, {5, 3}: true, {4, 90}: false} {
		if begunLate(first) != want {
			t.Errorf("%v: %v", first, !want)
		}
	}
}

func TestEndsSentence(t *testing.T) {
	for cells, want := range map[string]bool{"! 5d4": true, "is x80": true, "! 5d": false, "": false, "he sd6": true, "go ! way \"o ( ! o!r": false} {
		if got := EndsSentence([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
}

// TestEndsWithin: a last word without punctuation, and what ends a text without it. Roman
// numbers without a letter sign are words: it, do, very.
func TestEndsWithin(t *testing.T) {
	for cells, want := range map[string]bool{"he s[ x": true, "\\ ( ! /reet4 ,h[ d": true, "he 0 v": true, "*apt] #ab": false, "! 5d4": false, "n1": false} {
		if got := EndsWithin([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
	for cells, want := range map[string]bool{"all he 0 =": true, "_! duties >": true, "! bell 0": true, "! bell4": false, "(! bell>": false} {
		if got := wordsign([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
}

// ofLines is a volume of one page of text with these lines.
func ofLines(lines ...string) *structure.Volume {
	v := &structure.Volume{Volume: &layout.Volume{File: &source.File{}, TextWidth: 30}}
	for i, l := range lines {
		t := bytes.TrimLeft([]byte(l), " ")
		v.Units = append(v.Units, structure.Unit{Line: int32(i), From: int32(len(l) - len(t)), Text: t, Centred: len(l)-len(t) >= 8})
	}
	return v
}

// TestBegin: how the text of a volume begins; runovers of verse step in (UKAAF, layout guidance, part 1: verse).
func TestBegin(t *testing.T) {
	for _, c := range []struct {
		what      string
		lines     []string
		anew, mid bool
	}{
		{"a paragraph", []string{"  ,! rope 0 c\\t1 & ! boat w5t", "d[n ! /r1m4"}, true, false},
		{"a quotation", []string{"  8,! rope 0 c\\t1 & ! boat", "w5t d[n ! /r1m4"}, true, false},
		{"within a sentence", []string{"d[n ! /r1m & \\ ( si<t1 & n"}, false, true},
		{"a heading over a paragraph", []string{"            ,! ,/orm", "  ,! rope 0 c\\t1 & ! boat w5t", "d[n ! /r1m4"}, true, false},
		{"a heading over what goes on", []string{"            ,! ,/orm", "d[n ! /r1m & \\ ( si<t1 & n"}, false, false},
		{"the runover of a line of verse", []string{"    d[n ! /r1m", ",& ! boat w5t ) x"}, false, false},
	} {
		var e Evidence
		if e.begin(ofLines(c.lines...)); e.Anew != c.anew || e.Mid != c.mid {
			t.Errorf("%s: anew %v, within a sentence %v", c.what, e.Anew, e.Mid)
		}
	}
}

// TestProse: the last lines of a volume that are of a paragraph; numbered items at the margin are of a list.
func TestProse(t *testing.T) {
	for what, c := range map[string]struct {
		lines []string
		want  bool
	}{
		"a paragraph":                    {[]string{"! rope 0 c\\t1 & ! boat w5t", "d[n ! /r1m4 ,n \"o s[ x g1 &", "n \"o _h h1rd ! rope p>t2 &"}, true},
		"the first line of the next":     {[]string{"! rope 0 c\\t1 & ! boat w5t", "d[n ! /r1m & \\ ( si<t1 & n", "\"o s[ x g1 & 0 n se5 ag4", "  ,n \"o s[ x g1 & n \"o _h"}, true},
		"the runover of a line of verse": {[]string{"! rope 0 c\\t1 & ! boat w5t", "d[n ! /r1m & \\ ( si<t1 & n", "\"o s[ x g1 & 0 n se5 ag1", "  n \"o s[ x g1 & n \"o _h"}, false},
		"items of a list":                {[]string{"#d t1spoons ( salt & pepp]1", "#b ozs ( butt] & an egg1 or", "#c ozs ( s\\g> & a l;a f"}, false},
	} {
		if got := prose(ofLines(c.lines...), len(c.lines)-1); got != c.want {
			t.Errorf("%s: %v", what, got)
		}
	}
}

// TestFirstPage: a blank page numbered with the preliminary pages is none of the text.
func TestFirstPage(t *testing.T) {
	v := ofLines("! title", "! text")
	v.BodyPage, v.Units[1].Page = 1, 2
	if got := firstPage(v); got != 2 {
		t.Errorf("the text begins on page %d", got)
	}
}

// TestSaysBookEnds: "the end", "end of book" (common practice), alone or after the last words on their line.
func TestSaysBookEnds(t *testing.T) {
	for last, want := range map[string]bool{",! ,5d": true, "s5t !m 8 newspap] E \"D4         ,5d ( ,book": true, "& x 0 ! 5d": false} {
		if got := saysBookEnds(ofLines(last), []byte(last)); got != want {
			t.Errorf("%s: %v", last, got)
		}
	}
}
