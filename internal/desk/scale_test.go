package desk

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"continuo/internal/catalogue"
	"continuo/internal/cell"
)

// large is how many titles the catalogue of these tests has.
const large = 2000

// paperBook writes a book of 600 paper pages in ten volumes: a running head, page
// numbers, headings, paragraphs of letters drawn by lot.
func paperBook(tb testing.TB, dir string) {
	r := rand.New(rand.NewPCG(7, 600))
	paper := filepath.Join(dir, "70001")
	must(tb, os.MkdirAll(paper, 0o777))
	page := 0
	for v := 1; v <= 10; v++ {
		var b strings.Builder
		for range 60 {
			page++
			b.WriteString(fmt.Sprintf("%22s\r\n", ",a l;g walk"))
			for line := 2; line < 25; line++ {
				switch {
				case line == 2 && page%6 == 1:
					fmt.Fprintf(&b, "\r\n              ,*apt] %s\r\n\r\n", cell.Number(page/6+1))
					line += 2
				case line%7 == 3:
					b.WriteString("  " + prose(r, 36) + "\r\n")
				default:
					b.WriteString(prose(r, 38) + "\r\n")
				}
			}
			fmt.Fprintf(&b, "%38s\r\n\f", cell.Number(page))
		}
		must(tb, os.WriteFile(filepath.Join(paper, fmt.Sprintf("70001v%02d.brf", v)), []byte(b.String()), 0o666))
	}
}

// prose is a line of words drawn by lot.
func prose(r *rand.Rand, width int) string {
	line := ""
	for {
		word := make([]byte, 1+r.IntN(8))
		for i := range word {
			word[i] = "etaoinshrdlucmfwypvbgk"[r.IntN(22)]
		}
		if len(line)+1+len(word) > width {
			return strings.TrimSpace(line)
		}
		line += " " + string(word)
	}
}

// largeArchive has the demo's titles, the book of 600 pages, and records of more
// titles, each with the volumes of one of the demo's.
func largeArchive(tb testing.TB) *catalogue.Catalogue {
	tb.Helper()
	cat := archive(tb, func(dir string) { paperBook(tb, dir) })
	page, err := cat.List(tb.Context(), catalogue.Filter{Any: true})
	must(tb, err)
	var found []catalogue.Found
	beside := tb.TempDir()
	for i := page.Total; i < large; i++ {
		name := fmt.Sprintf("t%04d", i)
		found = append(found, catalogue.Found{Location: "/archive/" + name, Name: name, FoundBy: "folder", Sidecar: filepath.Join(beside, name)})
	}
	keys, err := cat.Plan(tb.Context(), found)
	must(tb, err)
	var like []*catalogue.Detail
	for _, t := range page.Titles {
		if t.Key != "70001" {
			d, err := cat.Show(tb.Context(), t.Key)
			must(tb, err)
			like = append(like, d)
		}
	}
	states := catalogue.States()
	var records []catalogue.Record
	for i, f := range found {
		d := like[i%len(like)]
		rec := catalogue.Record{Title: d.Title, Volumes: d.VolumeList, Findings: d.Findings, Reasons: d.Reasons, Proof: d.Proof, Headings: d.Headings, Editions: []catalogue.Edition{{Format: "brf", Path: "editions/" + f.Name}}}
		rec.Key, rec.State, rec.Confidence = keys[f.Location], states[i%len(states)], float64(i%100)/100
		rec.Title.Title = fmt.Sprintf("%s, part %d", d.Title.Title, i)
		rec.Event = catalogue.Event{Who: "continuo", What: "made"}
		records = append(records, rec)
	}
	must(tb, cat.Save(tb.Context(), records))
	return cat
}

// pagesOfScale are one page of every kind, of a title like others and of the
// book of 600 pages.
func pagesOfScale(b *browser) map[string]string {
	big := "/title/70001"
	return map[string]string{
		"archive": "/", "archive, last titles": "/?from=1950", "archive, search": "/?text=weather&sort=match", "archive, filter": "/?state=look&sort=confidence", "archive, finding": "/?finding=new-preliminary-matter",
		"title": "/title/t0100", "places": "/title/t0100/places?all=1", "place": "/title/weather/place/" + b.first(),
		"title, 600 pages": big, "places, 600 pages": big + "/places?all=1", "headings, 600 pages": big + "/headings?from=50", "compare, 600 pages": big + "/compare?volume=7&page=31",
		"line, 600 pages": big + "/line?volume=5&line=700", "line of edition, 600 pages": big + "/line?edition=9000", "read, 600 pages": big + "/read?window=9000", "read on 1 cell, 600 pages": big + "/read?cells=1&window=200000", "settings": "/settings",
		"find, 600 pages": big + "/find", "find, tried, 600 pages": big + "/find?as=cells&text=e", "metadata, 600 pages": big + "/metadata", "shelf": "/shelf", "shelf, all chosen": "/shelf?choose=1&withlook=1", "requests": "/requests", "profiles": "/profiles",
	}
}

// Pages of a large archive and of a long book are small and well made.
func TestPagesStaySmall(t *testing.T) {
	b := visit(t, largeArchive(t))
	for name, path := range pagesOfScale(b) {
		page := b.page(path)
		if len(page) > maxPage {
			t.Errorf("%s: %d bytes", name, len(page))
		}
		t.Logf("%s: %d bytes", name, len(page))
		for _, f := range faults(tree(t, page)) {
			t.Errorf("%s: %s", name, f)
		}
	}
	if page := b.page("/"); !strings.Contains(page, "1 to 50 of 2000 titles") {
		t.Error("not all titles are counted")
	}
}

// measure asks for a page again and again, and tells its size and the processor time
// that it takes, which other work on the machine does not change much. before is done
// each time.
func (b *browser) measure(bm *testing.B, path string, before func()) {
	size := len(b.page(path))
	start := processorTime()
	for bm.Loop() {
		before()
		b.get(path)
	}
	bm.ReportMetric((processorTime()-start).Seconds()*1000/float64(bm.N), "cpu-ms/page")
	bm.ReportMetric(float64(size), "bytes/page")
}

// BenchmarkPages asks for every kind of page of an archive of 2,000 titles.
func BenchmarkPages(bm *testing.B) {
	b := visit(bm, largeArchive(bm))
	pages := pagesOfScale(b)
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		bm.Run(name, func(bm *testing.B) { b.measure(bm, pages[name], func() {}) })
	}
}

// BenchmarkRule begins to look through all titles for what a house rule would change;
// its page waits a little for that.
func BenchmarkRule(bm *testing.B) {
	b := visit(bm, largeArchive(bm))
	b.measure(bm, "/title/weather/place/"+b.first()+"/rule?choice=leave-out", func() {
		b.desk.searches.last.stop()
		b.desk.searches.last = nil
	})
	b.desk.searches.last.stop()
}

// BenchmarkFirstLook opens pages of the book of 600 pages when nothing of it is
// kept.
func BenchmarkFirstLook(bm *testing.B) {
	b := visit(bm, largeArchive(bm))
	for _, name := range []string{"title", "places", "compare", "read", "find", "metadata"} {
		bm.Run(name, func(bm *testing.B) {
			b.measure(bm, strings.TrimSuffix("/title/70001/"+name, "/title"), func() { b.desk.titles.kept, b.desk.titles.order = map[string]*title{}, nil })
		})
	}
}
