package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// Lines of verse at cell 5, of which two stand in the middle of the page by
// chance, are no headings (common practice), nor is an
// imprint; the centred line before the text is one.
func TestNotEveryCentredLineIsAHeading(t *testing.T) {
	long := "this line of prose is as long as the pg"
	lines := []string{"            first published #aijc", "            by quay books", "\f", "              chapter one", ""}
	for range 6 {
		lines = append(lines, "  it begins in cell three & goes on and", long, long, "ends here4")
	}
	lines = append(lines, "    a lamp is in the window again", "    when all the boats are home1", "    nobody is out on the water it", "    was never so4")
	for range 6 {
		lines = append(lines, "  it begins in cell three & goes on and", long, long, "ends here4")
	}
	f, err := source.Parse("v.brf", []byte(strings.ReplaceAll(strings.Join(lines, "\n"), "\f\n", "\f")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	var heads []string
	for _, bl := range res.Book.Blocks {
		if bl.Kind == book.Heading {
			heads = append(heads, string(res.Book.Text(bl.Pieces[0])))
		}
	}
	if len(heads) != 1 || heads[0] != "chapter one" {
		t.Errorf("headings %q, want the chapter alone\n%s", heads, res.Edition)
	}
}
