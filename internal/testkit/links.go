package testkit

// Places tells, for each word of the body, the line of the edition (1-based) on
// which it stands; 0 when it is not there.
func Places(ed []byte, t *Truth) []int {
	e := readEdition(ed, t.forms())
	used := make([]bool, len(e.toks))
	longFloats(e, t, used, &Report{})
	out := make([]int, len(t.Body))
	for i, k := range alignRest(t.Body, e, used) {
		if k >= 0 {
			out[i] = e.toks[k].line
		}
	}
	return out
}
