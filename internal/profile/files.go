package profile

import (
	"fmt"
	"regexp"
	"strings"

	"continuo/internal/lazy"
)

// Files is how a house stores its volumes: the table [files] of a profile. It
// tells continuo archive which files are one title.
type Files struct {
	// Titles is "auto" (names that match, else one folder a title, else the
	// title pages), "folder" (one folder a title), "names" (only by Names), or
	// "title-pages" (only by the title pages).
	Titles string `toml:"titles"`
	// Names are patterns of file names without their ending. {number} stands for
	// the digits of a title, {title} for any name of a title; {volume} for the
	// digits of a volume, {letter} for one letter, {any} for anything. A blank
	// stands for any of blank, "_", "-", "." or nothing.
	Names []string `toml:"names"`
}

// fileTitles are the values of Files.Titles.
var fileTitles = []string{"auto", "folder", "names", "title-pages"}

// DefaultFiles is what applies when a profile has no table [files]: a title
// number with the volume after v, vol or volume (common practice).
func DefaultFiles() Files {
	return Files{Titles: "auto", Names: []string{"{number} v {volume}", "{number} vol {volume}", "{number} volume {volume}", "{number}_{volume}", "{number}-{volume}"}}
}

func (f *Files) problems() []problem {
	var out []problem
	if f.Titles != "" && !contains(fileTitles, f.Titles) {
		out = append(out, problem{"files.titles", fmt.Sprintf("must be one of %s, not %q", quoted(fileTitles), f.Titles)})
	}
	for i, n := range f.Names {
		if _, err := pattern(n); err != nil {
			out = append(out, problem{fmt.Sprintf("files.names[%d]", i), err.Error()})
		}
	}
	if f.Titles == "names" && len(f.Names) == 0 {
		out = append(out, problem{"files.titles", `"names" needs names`})
	}
	return out
}

// inPattern are the words in braces and what they match.
var inPattern = map[string]string{
	"number": `(?P<title>[0-9]+)`, "title without": `(?P<title>.*?[^0-9])`, "title": `(?P<title>.+?)`, "volume": `(?P<volume>[0-9]{1,3})`, "letter": `(?P<volume>[a-z])`, "any": `.*?`,
}

// titleVolume finds a volume's digits right after the name of a title, with nothing
// or a blank between.
var titleVolume = lazy.Regexp(`\{title\} *\{volume\}`)

var braces = lazy.Regexp(`\{([^{}]*)\}| +|[^{ ]+|.`)

// pattern turns a pattern of names into a regular expression.
func pattern(text string) (*regexp.Regexp, error) {
	var b strings.Builder
	b.WriteString(`(?i)^`)
	seen := map[string]int{}
	if titleVolume().MatchString(text) { // a number at the end of a title is not divided: "b18840" is no volume 840
		text = strings.Replace(text, "{title}", "{title without}", 1)
	}
	for _, m := range braces().FindAllStringSubmatch(text, -1) {
		switch re, ok := inPattern[m[1]]; {
		case ok:
			for _, g := range []string{"title", "volume"} {
				if strings.Contains(re, "<"+g+">") {
					seen[g]++
				}
			}
			b.WriteString(re)
		case strings.HasPrefix(m[0], "{"):
			return nil, fmt.Errorf("%q: there are {number}, {title}, {volume}, {letter}, {any}", m[0])
		case strings.TrimSpace(m[0]) == "":
			b.WriteString(`[ _.-]*`)
		default:
			b.WriteString(regexp.QuoteMeta(m[0]))
		}
	}
	if seen["title"] != 1 || seen["volume"] != 1 {
		return nil, fmt.Errorf("%q must name the title once, with {number} or {title}, and the volume once, with {volume} or {letter}", text)
	}
	return regexp.Compile(b.String() + `$`)
}

// Matchers returns the patterns of names, in order. They have the groups title
// and volume.
func (f Files) Matchers() []*regexp.Regexp {
	var out []*regexp.Regexp
	for _, n := range f.Names {
		if re, err := pattern(n); err == nil {
			out = append(out, re)
		}
	}
	return out
}
