package assemble

import (
	"testing"

	"continuo/internal/english"
)

// TestRanks: what a heading's line is made like: structure words, and the depth
// of numbers with the decimal points of the codes (Rules of Unified English
// Braille 2013, 6.3: dots 256; English Braille American Edition, rule on
// decimals: dots 46; SEB: dot 2).
func TestRanks(t *testing.T) {
	for text, want := range map[string]headRank{
		",\"p ,\"o": rankPart, ",*apt] #c": rankChapter, ",,*apt] ,,?ree": rankChapter, ",sc5e ;,,iv": rankSection, ",preface": rankMatter, ",! ,old ,b]?": rankCentred,
		"#c": rankNumber, "#agid": rankCentred, "#c4 ,! ,f]ry": rankNumber, "#c4b ,! ,f]ry": rankDeeper, "#c4b4a ,! ,f]ry": rankDeepest, "#c.b x": rankDeeper, "#c1b x": rankDeeper, "xiv": rankNumber, ";,,xiv": rankNumber,
	} {
		r := numberRank([]byte(text))
		if p, ok := english.Prefix([]byte(text)); ok {
			if x, ok := phraseRank(p); ok {
				r = x
			}
		}
		if r != want {
			t.Errorf("%q: rank %d, want %d", text, r, want)
		}
	}
}

// TestLevelOf: kinds of headings in the order of their rank; the contents list
// may put two kinds at one level.
func TestLevelOf(t *testing.T) {
	runs := []headingRun{{0, 1, rankPart}, {1, 2, rankMatter}, {2, 3, rankChapter}, {3, 4, rankCentred}, {4, 5, rankCell5}}
	var none, listed [nRanks]float64
	var named [nRanks]bool
	if l := levelOf(runs, none, named); l[rankPart] != 1 || l[rankMatter] != 1 || l[rankChapter] != 2 || l[rankCentred] != 3 || l[rankCell5] != 4 {
		t.Errorf("levels %v", l)
	}
	listed[rankPart], listed[rankChapter], listed[rankCentred] = 1, 2, 2
	if l := levelOf(runs, listed, named); l[rankCentred] != 2 || l[rankCell5] != 3 {
		t.Errorf("levels with a list %v", l)
	}
}

// TestOrderOfRanks: the parts of a book stand above the numbers that most of them stand right over, and above what the contents
// list puts further in or leaves out, but not above the numbers that stand over them.
func TestOrderOfRanks(t *testing.T) {
	var apart, over, under []headingRun
	for n := range 4 {
		b := 10 * n
		apart = append(apart, headingRun{b, b + 1, rankCentred}, headingRun{b + 2, b + 3, rankNumber}, headingRun{b + 6, b + 7, rankNumber})
		over = append(over, headingRun{b, b + 1, rankCentred}, headingRun{b + 1, b + 2, rankNumber}, headingRun{b + 6, b + 7, rankNumber})
		under = append(under, headingRun{b, b + 1, rankNumber}, headingRun{b + 1, b + 2, rankCentred})
	}
	var none, listed [nRanks]float64
	var nobody, named [nRanks]bool
	listed[rankCentred], listed[rankNumber] = 1, 2
	named[rankCentred] = true
	for name, c := range map[string]struct {
		runs    []headingRun
		listed  [nRanks]float64
		named   [nRanks]bool
		centred uint8
	}{
		"apart": {apart, none, nobody, 2}, "over numbers": {over, none, nobody, 1}, "under numbers": {under, none, nobody, 2},
		"further out in the list": {apart, listed, nobody, 1}, "named alone": {apart, none, named, 1}, "named under numbers": {under, none, named, 2},
	} {
		if l := levelOf(c.runs, c.listed, c.named); l[rankCentred] != c.centred || l[rankNumber] != 3-c.centred {
			t.Errorf("%s: levels %d and %d, want %d for what stands in the middle", name, l[rankCentred], l[rankNumber], c.centred)
		}
	}
}
