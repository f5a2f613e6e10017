package meta

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/quick"

	"github.com/google/go-cmp/cmp"
)

const whole = `# a comment
title = " The Pond "
language = "en-GB"
identifiers = ["https://example.org/pond", "ISBN 0-306-40615-2"]
producers = ["Mill Lane Braille Press"]
publisher = "Mill Lane"
rights = """
Copyright 1999.
All rights reserved."""
description = "A pond."
subjects = ["ponds", "fish"]
complete = true
modified = 2026-02-01T12:00:00+01:00
system = ["UEB grade2"]

[dates]
copyright = 1999
publication = 2026-01-31
transcription = "2004-05"

[[creator]]
name = "Ann Lee"
role = "aut"
sort = "Lee, Ann"

[[creator]]
name = "Bo Ray"
role = "trl"

[source]
identifier = "978-3-16-148410-0"
publisher = "Pond House"
date = "1999"
edition = "second edition"
`

func TestParse(t *testing.T) {
	got, err := Parse("title.toml", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	want := Title{Title: "The Pond", Language: "en-GB", Identifiers: []string{"https://example.org/pond", "urn:isbn:0306406152"},
		Producers: []string{"Mill Lane Braille Press"}, Publisher: "Mill Lane", Rights: "Copyright 1999.\nAll rights reserved.",
		Description: "A pond.", Subjects: []string{"ponds", "fish"},
		Complete: "true", Modified: "2026-02-01T11:00:00Z", Systems: []string{"UEB grade2"},
		Dates:    Dates{"1999", "2026-01-31", "2004-05"},
		Creators: []Creator{{"Ann Lee", "aut", "Lee, Ann"}, {"Bo Ray", "trl", ""}},
		Source:   Source{Identifier: "urn:isbn:9783161484100", Publisher: "Pond House", Date: "1999", Edition: "second edition"}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if got.ByRole() != "Ann Lee, Bo Ray (trl)" {
		t.Error(got.ByRole())
	}
}

func TestErrorsNameFileAndLine(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"titel = \"x\"", `metadata "t.toml" line 1: unknown key "titel"`},
		{"title = 3", `metadata "t.toml" line 1: `},
		{"title = \"a", `metadata "t.toml" line 1: `},
		{"\ntitle = \"a\\nb\"", `metadata "t.toml" line 2: title: must be one line`},
		{"title = \"  \"", `metadata "t.toml" line 1: title: is blank; leave it out`},
		{"title = \"a\\u0007\"", `metadata "t.toml" line 1: title: holds the control character U+0007`},
		{"\n\nlanguage = \"english\"", `metadata "t.toml" line 3: language: "english" is not a language tag`},
		{"language = \"en_GB\"", `metadata "t.toml" line 1: language: "en_GB" is not`},
		{"subjects = [\n\"a\",\n\"a\",\n]", `metadata "t.toml" line 3: subjects[1]: "a" stands there twice`},
		{"producers = [\"\"]", `metadata "t.toml" line 1: producers[0]: is blank`},
		{"identifiers = [\"pond 3\"]", `metadata "t.toml" line 1: identifiers[0]: "pond 3" is neither`},
		{"[source]\nidentifier = \"978-3-16-148410-1\"", `metadata "t.toml" line 2: source.identifier: "978-3-16-148410-1" is no ISBN`},
		{"[dates]\n\ncopyright = \"c. 1999\"", `metadata "t.toml" line 3: dates.copyright: "c. 1999" is not a date`},
		{"[dates]\npublication = \"2026-02-30\"", `metadata "t.toml" line 2: dates.publication: "2026-02-30" is not a date`},
		{"[dates]\npublication = true", `metadata "t.toml" line 2: dates.publication: "true" is not a date`},
		{"[[creator]]\nname = \"A\"\n[[creator]]\nrole = \"aut\"", `metadata "t.toml" line 3: creator[1].name: a creator needs a name`},
		{"[[creator]]\nname = \"A\"\n[[creator]]\nname = \"B\"\nrole = \"author\"", `metadata "t.toml" line 5: creator[1].role: "author" is not a code`},
		{"complete = \"yes\"", `metadata "t.toml" line 1: `},
		{"modified = \"2026\"", `metadata "t.toml" line 1: modified: "2026" is not a moment`},
		{"creator = \"A\"", `metadata "t.toml" line 1: `},
		{"title = \"a\"\ntitle = \"b\"", `metadata "t.toml" line 2: `},
		{"title = \"" + strings.Repeat("a", maxText+1) + "\"", `metadata "t.toml" line 1: title: is longer than`},
		{"\xff", `metadata "t.toml"`},
	} {
		if _, err := Parse("t.toml", []byte(c.text)); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.text, err, c.want)
		}
	}
}

// What an offer holds is in force nowhere; with every sign of a comment taken
// away, its lines are a file that can be read.
func TestOffer(t *testing.T) {
	found := []Found{{"title", `The "Pond" \ `, "page 1"}, {"creator", "Ann Lee", "page 1"}, {"dates.copyright", "1999", "page 2"},
		{"producers", "Mill Lane", "page\n2"}, {"source.identifier", "urn:isbn:9783161484100", "page 2"}}
	offer := Offer(found)
	got, err := Parse("offer", offer)
	if err != nil || !got.IsZero() {
		t.Fatalf("an offer is in force: %v %v", got, err)
	}
	var confirmed []string
	lines := strings.Split(string(offer), "\n")
	for i, l := range lines {
		switch {
		case strings.HasPrefix(l, "["):
			confirmed = append(confirmed, l)
		case i > 0 && strings.HasPrefix(lines[i-1], "# to confirm"), strings.HasPrefix(l, "#name ="):
			confirmed = append(confirmed, strings.TrimPrefix(l, "#"))
		}
	}
	got, err = Parse("confirmed", []byte(strings.Join(confirmed, "\n")))
	want := Title{Title: `The "Pond" \`, Creators: []Creator{{Name: "Ann Lee"}}, Producers: []string{"Mill Lane"},
		Dates: Dates{Copyright: "1999"}, Source: Source{Identifier: "urn:isbn:9783161484100"}}
	if d := cmp.Diff(want, got); d != "" || err != nil {
		t.Error(err, d)
	}
}

// Whatever a volume is read as, the offer stays a file that says nothing.
func TestOfferOfAnything(t *testing.T) {
	f := func(value, where string) bool {
		got, err := Parse("offer", Offer([]Found{{"title", value, where}, {"creator", value, where}, {"subjects", value, where}}))
		return err == nil && got.IsZero()
	}
	if err := quick.Check(f, nil); err != nil {
		t.Error(err)
	}
	for c := rune(0); c < 0xA0; c++ {
		if s := string(c); !f(s, "page"+s) || !f("x", s) {
			t.Errorf("%U", c)
		}
	}
}

// eBraille 1.0 (DAISY, 14 August 2025), 5.3.3: the tag of braille has the script
// subtag Brai, as in en-Brai and en-Brai-GB.
func TestBrai(t *testing.T) {
	for in, want := range map[string]string{"en": "en-Brai", "en-GB": "en-Brai-GB", "en-US": "en-Brai-US", "en-Brai-GB": "en-Brai-GB", "cy": "cy-Brai",
		"sr-Latn": "sr-Brai", "de-1901": "de-Brai-1901", "": "und-Brai"} {
		if got := Brai(in); got != want {
			t.Errorf("Brai(%q) is %q, want %q", in, got, want)
		}
	}
}

// The numbers are the worked examples of check digits that libraries use
// (from memory): 0-306-40615-2 and 978-3-16-148410-0.
func TestISBN(t *testing.T) {
	for in, want := range map[string]string{"ISBN 0-306-40615-2": "urn:isbn:0306406152", "isbn 978 3 16 148410 0 (cloth)": "urn:isbn:9783161484100",
		"ISBN 0-8044-2957-X": "urn:isbn:080442957X", "ISBN 978-3-16-148410-1": "", "tel. 0306406153": "", "page 12": ""} {
		if got, _ := ISBN(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

func TestIdentifierIsOfTheBytes(t *testing.T) {
	a, b := (Title{}).Identifier([]byte("a")), (Title{}).Identifier([]byte("b"))
	if a == b || a != (Title{}).Identifier([]byte("a")) {
		t.Errorf("%s, %s", a, b)
	}
	// RFC 9562: version in the 13th digit, variant in the 17th.
	if u := strings.TrimPrefix(a, "urn:uuid:"); len(u) != 36 || u[14] != '8' || !strings.ContainsRune("89ab", rune(u[19])) {
		t.Errorf("%s is no UUID of version 8", a)
	}
	if got := (Title{Identifiers: []string{"urn:x:1"}}).Identifier(nil); got != "urn:x:1" {
		t.Error(got)
	}
}

func TestOver(t *testing.T) {
	base := Title{Title: "a", Language: "en", Subjects: []string{"x"}, Dates: Dates{Copyright: "1999"}}
	got := base.Over(Title{Title: "b", Subjects: []string{"y", "z"}, Source: Source{Date: "2000"}})
	want := Title{Title: "b", Language: "en", Subjects: []string{"y", "z"}, Dates: Dates{Copyright: "1999"}, Source: Source{Date: "2000"}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	if _, err := Load(filepath.Join(dir, "none.toml")); err == nil || !strings.Contains(err.Error(), "none.toml") {
		t.Error(err)
	}
	big := filepath.Join(dir, "big.toml")
	if err := os.WriteFile(big, make([]byte, MaxBytes+1), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := Load(big); err == nil || !strings.Contains(err.Error(), "too large") {
		t.Error(err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(whole))
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := Parse("f", text)
		if err == nil && len(m.Problems()) > 0 {
			t.Errorf("read with faults: %v", m.Problems())
		}
	})
}

func TestMoment(t *testing.T) {
	for want, m := range map[string]Title{"": {Dates: Dates{Publication: "2026"}}, "2026-01-31T00:00:00Z": {Dates: Dates{Publication: "2026-01-31"}}, "x": {Modified: "x"}} {
		if got := m.Moment(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
