package triage

import "continuo/internal/catalogue"

// base is the share of right editions among titles without any sign: what the
// conversion gets wrong without a doubt, and cuts that nothing tells.
const base = 0.97

// weight is the share of titles with a sign that are right all the same,
// measured on 800 pressed titles (internal/testkit, seeds 21000 to 21399 and
// 22000 to 22399), each whole and with two planted faults; TestCalibration measures the
// outcome on others. Those of head-or-text, heading-twice, seam and pages-announced are
// set by hand: titles with these signs are too few for a share. Signs that are a matter of names alone hardly ever mean a
// wrong edition, but they want a person all the same.
var weight = map[string]float64{
	"volume-repeated":       0.98,
	"file-number-disagrees": 0.98,
	"settings":              0.98,

	"note-not-joined":        0.85,
	"facing-pages":           0.85,
	"notes-go-on":            0.85,
	"number-out-of-sequence": 0.85,
	"foreign-beside":         0.8,
	"volumes-unsure":         0.5,
	"page-missing":           0.4,
	"entry-order":            0.3,
	"head-or-text":           0.5,
	"heading-twice":          0.3,
	"stops-short":            0.25,
	"volume-unlike":          0.2,
	"print-pages-disagree":   0.1,
	"not-proved":             0.1,
	"braille-pages-back":     0.1,
	"general-contents":       0.1,
	"head-left":              0.1,
	"head-or-heading":        0.1,
	"new-preliminary-matter": 0.06,
	"print-pages-missing":    0.06,
	"braille-pages-missing":  0.06,
	"no-cell":                0.05,
	"stray-case":             0.05,
	"end-line-missing":       0.05,
	"seam":                   0.06,
	"ends-open":              0.04,
	"heading-missing":        0.03,
	"cut-off":                0.02,
	"pages-announced":        0.02,
	"print":                  0.02,
	"file-number-missing":    0.02,
	"volume-missing":         0.01,
}

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
