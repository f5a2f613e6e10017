package english

import (
	"os"
	"strings"
	"testing"
)

// disagreement is one line of testdata/disagreements.txt: where the code's own
// rule and not liblouis 3.24 decides.
type disagreement struct{ codes, print, ours, theirs, rule string }

type disagreementList []disagreement

// disagreements reads the list: codes | print | ours | liblouis | rule. A print
// that ends in * stands for all print that holds the part before it.
func disagreements(t testing.TB) disagreementList {
	t.Helper()
	b, err := os.ReadFile("testdata/disagreements.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out disagreementList
	for n, l := range strings.Split(string(b), "\n") {
		if l == "" || l[0] == '#' {
			continue
		}
		f := strings.Split(l, " | ")
		if len(f) != 5 || f[4] == "" {
			t.Fatalf("testdata/disagreements.txt:%d: want five fields", n+1)
		}
		out = append(out, disagreement{f[0], f[1], f[2], f[3], f[4]})
	}
	return out
}

// rule returns the rule that decides a difference, "" when none is listed. A
// print that ends in * stands for all print with the part before the * in it;
// several of these may meet in one text. Ours as * stands for any cells where
// liblouis has the given ones, and the print ROMAN for any roman number.
func (list disagreementList) rule(c Code, print, ours, theirs string) string {
	rules := ""
	for _, d := range list {
		if !strings.Contains(d.codes, c.String()[:1]) {
			continue
		}
		if d.print == "ROMAN" && isRoman(print) && ours == d.ours+print && theirs == d.theirs+print {
			return d.rule
		}
		if d.print == print && d.ours == ours && d.theirs == theirs {
			return d.rule
		}
		part, ok := strings.CutSuffix(d.print, "*")
		ok = ok && strings.Contains(strings.ToLower(print), part)
		if ok && d.ours == "*" && strings.Contains(theirs, d.theirs) {
			return d.rule
		}
		if ok && strings.Contains(ours, d.ours) {
			ours = strings.ReplaceAll(ours, d.ours, d.theirs)
			rules += d.rule
		}
	}
	if ours != theirs {
		return ""
	}
	return rules
}
