package triage

import "continuo/internal/catalogue"

// base is the share of right editions among titles without any sign: what the
// conversion gets wrong without a doubt, and cuts that nothing tells.
const base = 0.99

// weight is by how much a sign lowers the confidence: fitted to what came of 4,800
// pressed titles (internal/testkit, seeds 40000 to 44799), each whole and with two
// planted faults, by bench/triage.sh, most of all to the last 1,600; TestCalibration measures the
// outcome on others. Those of end-untold and entry-order are of a fit to 900 such titles (seeds 209000 to 209899), 120 of
// testkit/reference and 80 of testkit/novels (from 3000); the rest of that fit told no better of other titles (mean
// Brier score 0.052, with these 0.051). The last group is set by hand: titles with these signs are too few.
var weight = map[string]float64{
	// Matters of names and order: hardly ever a wrong edition, but they want a person.
	"volume-repeated":       0.99,
	"file-number-disagrees": 0.99,

	// Doubts about places, and ends of volumes that are unlike the others.
	"head-or-text":           0.85,
	"head-or-heading":        0.8,
	"note-not-joined":        0.7,
	"page-missing":           0.7,
	"end-untold":             0.9,
	"entry-order":            0.85,
	"end-line-missing":       0.6,
	"number-out-of-sequence": 0.56,
	"volume-short":           0.5,
	"head-left":              0.5,
	"print-pages-missing":    0.45,
	"seam":                   0.24,
	"stops-short":            0.2,
	"cut-off":                0.16,
	"ends-open":              0.15,
	"heading-twice":          0.15,
	"new-preliminary-matter": 0.14,
	"braille-pages-missing":  0.08,

	// Signs under which no title was right.
	"end-in-doubt":         0.03,
	"general-contents":     0.01,
	"heading-missing":      0.01,
	"heading-within":       0.03,
	"no-cell":              0.01,
	"not-proved":           0.01,
	"notes-gone":           0.01,
	"number-gone":          0.01,
	"pages-announced":      0.01,
	"print":                0.01,
	"print-pages-disagree": 0.01,
	"stray-case":           0.01,
	"volume-missing":       0.01,

	// Set by hand.
	"settings":            0.98,
	"facing-pages":        0.85,
	"notes-go-on":         0.85,
	"foreign-beside":      0.8,
	"volumes-unsure":      0.5,
	"braille-pages-back":  0.3,
	Habit:                 0.3,
	"volume-unlike":       0.1,
	"code-unknown":        0.1,
	"text-twice":          0.05,
	"part-of-more":        0.5,
	"file-number-missing": 0.01, // where no finding says that volumes are missing
}

// Base is the confidence of a title without any sign.
const Base = base

// Habit is the kind of reason that only the whole archive tells: a file that ends as
// hardly any other does.
const Habit = "unlike-archive"

// WithHabit is the confidence of a title with that sign alone.
func WithHabit() float64 { return base * weight[Habit] }

// weightOf is the weight of a sign; of one that was never measured a careful
// guess.
func weightOf(kind string, state catalogue.State) float64 {
	if w, ok := weight[kind]; ok {
		return w
	}
	if state == catalogue.Stop {
		return 0.2
	}
	return 0.6
}
