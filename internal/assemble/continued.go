package assemble

import (
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// continuedAgain leaves out the heading at the start of a later volume's text that says
// that a chapter goes on, "chapter 3 (continued)" (common practice): each of its lines
// is a heading of a volume before.
func (a *assembly) continuedAgain(i int, v *structure.Volume) {
	k := 0
	for k < len(v.Units) && (a.fates[i][k] != asText || v.Units[k].Page < v.BodyPage) {
		k++
	}
	end, lines := k, []string(nil)
	for ; end < len(v.Units) && end < k+4 && v.Units[end].Centred && !v.Units[end].Rule; end++ {
		rest, last := english.CutContinued(v.Units[end].Text)
		if lines = append(lines, layout.Normal(rest)); !last {
			continue
		}
		if end++; !a.headedBefore(i, lines) {
			return
		}
		why := a.why("repeat", "heading of a chapter that goes on", "says so; the same heading in the volume before", 0.95)
		for ; k < end; k++ {
			a.leave(i, k, why)
		}
		return
	}
}

// headedBefore reports whether every line is a centred line of the text of the volumes
// before, or begins one.
func (a *assembly) headedBefore(i int, lines []string) bool {
	for _, l := range lines {
		found := false
		for j := 0; j < i && !found; j++ {
			for k := range a.vols[j].Units {
				if u := &a.vols[j].Units[k]; u.Centred && a.fates[j][k] == asText && layout.Normal(u.Text) == l {
					found = true
					break
				}
			}
		}
		if !found {
			return false
		}
	}
	return len(lines) > 0
}
