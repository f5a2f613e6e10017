package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/source"
)

// The author line of title pages, and of the edition read again, whose title page
// has no blank lines (common practice: the author under the title, with or without
// "by", with or without a blank line).
func TestAuthorLine(t *testing.T) {
	for _, c := range []struct{ front, title, author string }{
		{"               ,! ,h>b\\r\n\n             ,a4 ,p5fold\n\n          ,9 ,two ,volumes\n", ",! ,h>b\\r", ",a4 ,p5fold"},
		{"               ,! ,h>b\\r\n          by ,a4 ,p5fold\n\n          ,9 ,two ,volumes\n", ",! ,h>b\\r", "by ,a4 ,p5fold"},
		{"               ,/opp+ by\n               by ,woods\n\n          by ,a4 ,p5fold\n\n        ,9 ,two ,volumes\n", ",/opp+ by by ,woods", "by ,a4 ,p5fold"},
		{"               ,! ,h>b\\r\n\n                 by\n\n             ,a4 ,p5fold\n\n          ,9 ,two ,volumes\n", ",! ,h>b\\r", "by ,a4 ,p5fold"},
		{"               ,! ,h>b\\r\n\n          ,9 ,two ,volumes\n", ",! ,h>b\\r", ""},
	} {
		text := c.front + "          ,volume ,one\n\f" + strings.Repeat("  ,! boats came 9 2f ! ra9 & went\nagain at dusk4\n", 40)
		f, err := source.Parse("book.brf", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		for _, what := range []string{"volume", "edition"} {
			r, err := convert.Make([]*source.File{f}, convert.Defaults())
			if err != nil {
				t.Fatal(err)
			}
			want := c.title + "; " + c.author
			if what == "edition" && !strings.HasPrefix(c.author, "by ") && c.author != "" {
				want = c.title + " " + c.author + "; " // no blank line tells them apart any more
			}
			if s := r.Survey.Titles[0]; s.Title+"; "+s.Author != want {
				t.Errorf("%s of %q: title and author %q; %q, want %q", what, c.front, s.Title, s.Author, want)
			}
			if f, err = source.Parse("edition.brf", r.Edition); err != nil {
				t.Fatal(err)
			}
		}
	}
}
