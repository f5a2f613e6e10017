package check

import "testing"

// "Continued" at the end of a heading, in the brackets of any code or bare, is no part of
// its words (common practice).
func TestWithoutContinued(t *testing.T) {
	for line, want := range map[string]string{
		",*apt] ,two \"<3t9u$\">":   ",*apt] ,two",
		"*apt] two 73t9u$7":         "*apt] two",
		"chapter two \"<cont4\">":   "chapter two",
		"  \"<continued\">":         "",
		",*apt] ,two":               ",*apt] ,two",
		"! m5 3t9u$ to walk":        "! m5 3t9u$ to walk",
		"        ,! ,long ,road #c": "        ,! ,long ,road #c",
	} {
		if got := string(withoutContinued([]byte(line))); got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}

// A roman number of a part begins the words of its line, one blank before them; the page numbers stand at the right, set
// off by two blanks.
func TestEdges(t *testing.T) {
	for line, want := range map[string]string{
		"   ,,ii 73t9u$7     d#aj": ",,ii 73t9u$7", "#c  ! road  #d": "! road", "#c ! road  #d": "#c ! road", "#c #d ! road": "#d ! road",
	} {
		if rest, _, _ := edges([]byte(line)); string(rest) != want {
			t.Errorf("%q: %q, want %q", line, rest, want)
		}
	}
	if _, _, apart := edges([]byte("#c ! road  #d")); !apart {
		t.Error("a number that begins the words is no page number")
	}
}
