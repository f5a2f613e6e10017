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
		"#c": rankNumber, "#c4 ,! ,f]ry": rankNumber, "#c4b ,! ,f]ry": rankDeeper, "#c4b4a ,! ,f]ry": rankDeepest, "#c.b x": rankDeeper, "#c1b x": rankDeeper, "xiv": rankNumber, ";,,xiv": rankNumber,
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
	if l := levelOf(runs, none); l[rankPart] != 1 || l[rankMatter] != 1 || l[rankChapter] != 2 || l[rankCentred] != 3 || l[rankCell5] != 4 {
		t.Errorf("levels %v", l)
	}
	listed[rankPart], listed[rankChapter], listed[rankCentred] = 1, 2, 2
	if l := levelOf(runs, listed); l[rankCentred] != 2 || l[rankCell5] != 3 {
		t.Errorf("levels with a list %v", l)
	}
}
