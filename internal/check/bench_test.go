package check

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/source"
)

// large is a title of n volumes of invented text, about 50 pages each, with a
// head on every page and its paragraphs kept.
func large(n int) *triple {
	x := &triple{name: "large", reasons: map[string]string{"h": "head"}}
	for v := range n {
		var text strings.Builder
		for p := range 50 {
			fmt.Fprintf(&text, "       ,! l;g tale             #%c%c\n", 'a'+p%9, 'a'+v%9)
			x.records = append(x.records, `["out",1,"h"]`, `["keep",24]`)
			for l := range 24 {
				fmt.Fprintf(&text, "!y w5t %c%c%c 6! h\\se 0 ! r{ & sat 9 %c%c\n", 'a'+l, 'a'+p%26, 'a'+v%26, 'a'+l/2, 'a'+p/2)
			}
			text.WriteString("\f")
		}
		x.sources = append(x.sources, raw{fmt.Sprintf("v%d.brf", v+1), text.String()})
	}
	return x
}

func BenchmarkVerify(b *testing.B) {
	x := large(12)
	x.sources[0].text = "       ,! l;g tale\n" + x.sources[0].text
	x.records = append([]string{`["keep",1]`}, x.records...)
	x.reset(b)
	ed, acc, files := x.sealed(b)
	if r := Verify(ed, acc, files); !r.OK {
		b.Fatal(show(r))
	}
	n := int64(0)
	for _, f := range files {
		n += f.Bytes
	}
	b.SetBytes(n)
	b.ReportAllocs()
	for b.Loop() {
		Verify(ed, acc, files)
	}
}

// BenchmarkVerifyAndRead is the same with the reading of the sources.
func BenchmarkVerifyAndRead(b *testing.B) {
	x := large(12)
	x.sources[0].text = "       ,! l;g tale\n" + x.sources[0].text
	x.records = append([]string{`["keep",1]`}, x.records...)
	x.reset(b)
	ed, acc, files := x.sealed(b)
	n := int64(0)
	for _, f := range files {
		n += f.Bytes
	}
	b.SetBytes(n)
	for b.Loop() {
		var fresh []*source.File
		for _, r := range x.sources {
			f, err := source.Parse(r.name, []byte(r.text))
			if err != nil {
				b.Fatal(err)
			}
			fresh = append(fresh, f)
		}
		Verify(ed, acc, fresh)
	}
}
