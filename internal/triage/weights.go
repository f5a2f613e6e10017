package triage

import "continuo/internal/catalogue"

// base is the share of right editions among titles without any sign.
const base = 0.99

// weight is the share of titles with a sign that are right all the same,
// measured on generated titles (internal/testkit): see TestCalibration.
var weight = map[string]float64{
	"not-proved": 0.3,
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
