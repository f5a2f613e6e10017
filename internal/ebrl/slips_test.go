package ebrl_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"continuo/internal/testkit"
)

var (
	attribute = regexp.MustCompile(` [a-zA-Z:-]+="[^"]*"`)
	tag       = regexp.MustCompile(`<(/?)([a-zA-Z:0-9]+)[^>]*>`)
)

// slips are the good publication with one slip each, made without thinking: an
// attribute left out, emptied or doubled, a tag left out, an element left out.
func slips() map[string][]pair {
	out := map[string][]pair{}
	for i, f := range good() {
		if !strings.Contains(f.text, "<?xml") {
			continue
		}
		put := func(what string, at int, text string) {
			files := good()
			files[i].text = text
			out[fmt.Sprintf("%s:%d %s", f.name, 1+strings.Count(f.text[:at], "\n"), what)] = files
		}
		for _, m := range attribute.FindAllStringIndex(f.text, -1) {
			a := f.text[m[0]:m[1]]
			put("without"+a, m[0], f.text[:m[0]]+f.text[m[1]:])
			put("empty"+a, m[0], f.text[:m[0]]+a[:strings.Index(a, `"`)+1]+`"`+f.text[m[1]:])
			put("other"+a, m[0], f.text[:m[0]]+a[:len(a)-1]+`x"`+f.text[m[1]:])
		}
		for _, m := range tag.FindAllStringSubmatchIndex(f.text, -1) {
			if f.text[m[2]:m[3]] == "/" {
				continue
			}
			name := f.text[m[4]:m[5]]
			whole := f.text[m[0]:]
			if !strings.HasSuffix(f.text[m[0]:m[1]], "/>") {
				end := matching(whole, name)
				put("without element "+name+fmt.Sprint(m[0]), m[0], f.text[:m[0]]+whole[end:])
				put("element twice "+name+fmt.Sprint(m[0]), m[0], f.text[:m[0]]+whole[:end]+whole)
				put("unwrapped "+name+fmt.Sprint(m[0]), m[0], f.text[:m[0]]+f.text[m[1]:m[0]+end-len(name)-3]+whole[end:])
				for _, n := range []string{"div", "span", "p", "li", "h1", "a", "table", "dl"} {
					put("renamed "+name+" "+n+fmt.Sprint(m[0]), m[0], f.text[:m[0]]+"<"+n+f.text[m[5]:m[0]+end-len(name)-1]+n+">"+whole[end:])
				}
			} else {
				put("without empty "+name+fmt.Sprint(m[0]), m[0], f.text[:m[0]]+f.text[m[1]:])
			}
		}
	}
	return out
}

// matching is the end of the element that text begins with.
func matching(text, name string) int {
	depth := 0
	for _, m := range tag.FindAllStringSubmatchIndex(text, -1) {
		if text[m[4]:m[5]] != name || strings.HasSuffix(text[m[0]:m[1]], "/>") {
			continue
		}
		if text[m[2]:m[3]] == "/" {
			if depth--; depth == 0 {
				return m[1]
			}
			continue
		}
		depth++
	}
	return len(text)
}

// TestNothingOverlooked: where epubcheck-ts finds an error in a publication with
// one slip, this checker finds a broken MUST. The other way round it need not
// hold: epubcheck-ts knows no eBraille and does not check which elements of HTML
// may stand in which.
func TestNothingOverlooked(t *testing.T) {
	every := 24
	if testkit.Required() {
		every = 4
	}
	all := slips()
	dir := t.TempDir()
	names := map[string]string{}
	for i, name := range slices.Sorted(maps.Keys(all)) {
		if i%every != 0 {
			continue
		}
		file := fmt.Sprintf("%04d.ebrl", i)
		names[file] = name
		if err := os.WriteFile(filepath.Join(dir, file), pack(t, all[name], nil), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	said, err := testkit.EPUBCheckTSAll(dir)
	if err != nil {
		testkit.Need(t, err)
	}
	errs := 0
	for file, list := range said {
		if len(list) == 0 {
			continue
		}
		errs++
		rep, err := check(t, file, pack(t, all[names[file]], nil))
		if err == nil && rep.OK {
			t.Errorf("%s: epubcheck-ts finds %v, this checker nothing", names[file], list)
		}
	}
	t.Logf("%d publications with a slip, %d of them errors to epubcheck-ts", len(said), errs)
	if len(said) != len(names) || errs < len(names)/4 {
		t.Errorf("epubcheck-ts read %d of %d publications and found errors in %d", len(said), len(names), errs)
	}
}
