package convert_test

import (
	"strings"
	"testing"
)

// TestStaircase: rows of a table that step in column by column (BANA, Braille Formats
// 2016, section 11) stay lines on a narrow display too, after a full line as well.
func TestStaircase(t *testing.T) {
	rows := []string{
		",janu>y", "  /orms f ! nor?1 & ll fi%+", "    ! boats >e m5d$ 9 ! l;g %$",
		",febru>y", "  fro/", "    nets",
		",m>*", "  gales", "    ! f/ lambs come d[n 6! %ore",
		",april", "  ra9 & sun", "    se$ is s[n",
		",may", "  fair", "    ! fair",
	}
	got := "\n" + strings.ReplaceAll(string(tableBook(t, "keep", 20, tablePage(append([]string{""}, rows...)...)).Edition), "\r\n", "\n")
	for _, r := range rows {
		if first := strings.Fields(r)[0]; !strings.Contains(got, "\n"+r[:len(r)-len(strings.TrimLeft(r, " "))]+first) {
			t.Errorf("no line begins as %q:\n%s", r, got)
		}
	}
}
