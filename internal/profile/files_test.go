package profile

import (
	"strings"
	"testing"
)

func TestFileNames(t *testing.T) {
	for _, c := range []struct{ pattern, name, title, volume string }{
		{"{number} v {volume}", "40172v01", "40172", "01"},
		{"{number} v {volume}", "40172 V 1", "40172", "1"},
		{"{number} v {volume}", "40172_v_12", "40172", "12"},
		{"{number} v {volume}", "lantern-1", "", ""},
		{"{number} v {volume}", "40172v01 copy", "", ""},
		{"{title}-{volume}", "the bell-under-3", "the bell-under", "3"},
		{"{title}{letter}", "bella", "bell", "a"},
		{"{title} {volume}", "b18840", "", ""}, // no volume 840
		{"{title} {volume}", "lantern 12", "lantern", "12"},
		{"{title} {volume}", "lantern2", "lantern", "2"},
		{"{title} {volume}", "1984 - 2", "1984 ", "2"}, // blanks go later
		{"B{number}{any}vol {volume}", "b77 (uk) Vol.3", "77", "3"},
		{"{number}.{volume}", "12x3", "", ""},
	} {
		re, err := pattern(c.pattern)
		if err != nil {
			t.Fatal(err)
		}
		title, volume := "", ""
		if m := re.FindStringSubmatch(c.name); m != nil {
			title, volume = m[re.SubexpIndex("title")], m[re.SubexpIndex("volume")]
		}
		if title != c.title || volume != c.volume {
			t.Errorf("%s on %s: title %q, volume %q", c.pattern, c.name, title, volume)
		}
	}
}

func TestFilesTable(t *testing.T) {
	p, err := Parse("x.toml", []byte("name = \"x\"\n[files]\ntitles = \"names\"\nnames = [\"{number}v{volume}\"]\n"))
	if err != nil || p.Files == nil || len(p.Files.Matchers()) != 1 {
		t.Errorf("%+v %v", p.Files, err)
	}
	for text, want := range map[string]string{
		"[files]\ntitles = \"shelf\"\n":                        "line 3: files.titles",
		"[files]\nnames = [\n\"{number}v{volume}\",\n\"x\"]\n": "line 5: files.names[1]",
		"[files]\nnames = [\"{number}{colour}\"]\n":            "{colour}",
		"[files]\ntitles = \"names\"\n":                        "needs names",
	} {
		if _, err := Parse("x.toml", []byte("name = \"x\"\n"+text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	d := DefaultFiles()
	if len(d.problems()) > 0 {
		t.Errorf("%v", d.problems())
	}
}
