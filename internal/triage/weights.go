package triage

import "continuo/internal/catalogue"

// base is the share of right editions among titles without any sign.
const base = 0.98

// weight is the share of titles with a sign that are right all the same,
// measured on 400 pressed titles (internal/testkit, seeds 5000 to 5159 and 6000
// to 6239), each whole and with two planted faults; TestCalibration measures the
// outcome on others. Signs that are a matter of names alone hardly ever mean a
// wrong edition, but they want a person all the same.
var weight = map[string]float64{
	"volume-repeated":       0.98,
	"file-number-disagrees": 0.92,

	"number-out-of-sequence": 0.7,
	"page-missing":           0.3,
	"general-contents":       0.3,
	"volume-unlike":          0.3,
	"ends-open":              0.2,
	"new-preliminary-matter": 0.2,
	"head-or-heading":        0.3,
	"head-left":              0.2,
	"entry-order":            0.3,
	"volumes-unsure":         0.5,
	"foreign-beside":         0.8,
	"settings":               0.98,
	"print-pages-disagree":   0.1,
	"not-proved":             0.1,
	"print-pages-missing":    0.06,
	"braille-pages-missing":  0.06,
	"braille-pages-back":     0.1,
	"no-cell":                0.05,
	"stray-case":             0.05,
	"end-line-missing":       0.04,
	"heading-missing":        0.03,
	"cut-off":                0.02,
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
