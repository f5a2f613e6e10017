// Package shelf fills a reader's card, or packs a download: the chosen editions
// in folders, under short safe names, with an index in braille, as a web page
// and as a table, and a list of checksums.
//
// A card can be filled again: what is there and unchanged is not written anew.
// The order of writes: the plan (which file of which title comes where), the
// editions one by one, each whole and read back, the index, the checksums, and
// last the record of the card; then the plan goes. Whatever stops a build, the
// files on the card are whole, and the next build goes on from there. A file on
// the card that is not ours is never written over.
package shelf

import (
	"fmt"
	"path"
	"sort"
	"strings"

	"continuo/internal/english"
	"continuo/internal/lazy"
	"continuo/internal/safename"
)

// Item is one title that was chosen.
type Item struct {
	Key, Title, Author string // in print
	TitleCells         string
	Code               string // braille code, in words
	Contracted         bool
	Pages              int
	Edition            string // fingerprint of the edition in the archive, its sha256
	Bytes              int64  // of the edition, or about so many
	Why                string // not "": it cannot be delivered, and why
	// Load returns the bytes for the card.
	Load func() ([]byte, error)
}

// Wishes are what a reader wants.
type Wishes struct {
	Format       string `json:"format"`                // brf, text, html, pef, ebraille
	Width        int    `json:"width"`                 // cells a line; -1 as the edition is, 0 one line a paragraph
	Blank        string `json:"blank_lines"`           // sparse or none
	Markers      string `json:"end_markers,omitempty"` // drop: no end markers; keep or "": as the edition is
	Uncontracted bool   `json:"uncontracted_only"`     // no contracted titles
	IndexCode    string `json:"index_code"`            // ueb, seb or ebae
	IndexPlain   bool   `json:"index_uncontracted"`    // the index is uncontracted
	IndexWidth   int    `json:"index_width,omitempty"` // cells a line of the index; 0: 32
}

// Default are the wishes of a reader who says nothing.
func Default() Wishes {
	return Wishes{Format: "brf", Width: -1, Blank: "sparse", IndexCode: "ueb"}
}

// AsMade reports whether the editions of the archive are what is wished for, so
// that they are copied and not made anew.
func (w Wishes) AsMade() bool {
	return w.Format == "brf" && w.Width == -1 && w.Blank == "sparse" && w.Markers != "drop"
}

// Variant is the code that the index is written in.
func (w Wishes) Variant() (english.Variant, error) {
	v := english.Variant{Contracted: !w.IndexPlain, Capitals: true}
	switch strings.ToLower(w.IndexCode) {
	case "ueb", "":
		v.Code = english.UEB
	case "seb":
		v.Code = english.SEB
	case "ebae":
		v.Code = english.EBAE
	default:
		return v, fmt.Errorf("the code of the index must be ueb, seb or ebae, not %q", w.IndexCode)
	}
	return v, nil
}

// endings are the file endings of the formats.
var endings = map[string]string{"brf": ".brf", "text": ".txt", "html": ".html", "pef": ".pef", "ebraille": ".ebrl"}

// Formats lists the formats that can be put on a card.
func Formats() []string { return []string{"brf", "text", "html", "pef", "ebraille"} }

// MaxFile is the largest file that a card can hold (FAT32, 4 GiB less one byte).
const MaxFile = 1<<32 - 1

// Names on a card: letters a to z, digits and hyphens, which read alike in
// every braille code and sort alike on every display.
const (
	maxName  = 32 // letters of a name without its ending
	booksDir = "books"
	dataDir  = "continuo"
)

var (
	notPlain = lazy.Regexp(`[^a-z0-9]+`)
	articles = []string{"the ", "a ", "an "}
)

// sortKey is a title as it sorts: without accents, capitals and a leading
// article.
func sortKey(title string) string {
	s := plain(title)
	for _, a := range articles {
		if rest, ok := strings.CutPrefix(s, a); ok && rest != "" {
			return rest
		}
	}
	return s
}

// plain is small letters without accents.
func plain(s string) string {
	var b strings.Builder
	for _, r := range safename.Fold(s) {
		switch {
		case r == '\'' || r == '\u2019': // no blank in "don't"
		default:
			b.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// fileName is the name of a title on a card, without ending.
func fileName(it Item) string {
	name := strings.Trim(notPlain().ReplaceAllString(sortKey(it.Title), "-"), "-")
	if name == "" {
		name = strings.Trim(notPlain().ReplaceAllString(plain(it.Key), "-"), "-")
	}
	if len(name) > maxName {
		name = name[:maxName+1]
		if i := strings.LastIndexByte(name, '-'); i > maxName/2 {
			name = name[:i]
		}
		name = strings.Trim(name[:min(len(name), maxName)], "-")
	}
	if name == "" {
		name = "book"
	}
	if safename.Device(name) {
		name += "-book"
	}
	return name
}

// Groupings say how titles are divided into folders.
func Groupings() []string { return []string{"none", "letter", "author"} }

// folder is the folder of a title on a card.
func folder(it Item, grouping string) string {
	switch grouping {
	case "letter":
		k := notPlain().ReplaceAllString(sortKey(it.Title), "")
		if k == "" {
			return booksDir + "/0-9"
		}
		if k[0] < 'a' {
			return booksDir + "/0-9"
		}
		return booksDir + "/" + k[:1]
	case "author":
		by := strings.TrimPrefix(plain(it.Author), "by ")
		words := strings.FieldsFunc(by, func(r rune) bool { return !(r >= 'a' && r <= 'z') })
		if len(words) == 0 {
			return booksDir + "/no-author"
		}
		name := words[len(words)-1]
		name = name[:min(len(name), 16)]
		if safename.Device(name) {
			name += "-author"
		}
		return booksDir + "/" + name
	}
	return booksDir
}

// names gives the new titles their places: no two that differ in capitals only,
// none that is taken. used holds taken paths in small letters.
func names(items []Item, grouping, format string, used map[string]bool) map[string]string {
	order := append([]Item(nil), items...)
	sort.SliceStable(order, func(i, j int) bool { return order[i].Key < order[j].Key })
	out := map[string]string{}
	for _, it := range order {
		dir, base := folder(it, grouping), fileName(it)
		for n := 1; ; n++ {
			name := base
			if n > 1 {
				suffix := fmt.Sprintf("-%d", n)
				name = strings.TrimRight(base[:min(len(base), maxName-len(suffix))], "-") + suffix
			}
			p := path.Join(dir, name+endings[format])
			if !used[strings.ToLower(p)] {
				used[strings.ToLower(p)] = true
				out[it.Key] = p
				break
			}
		}
	}
	return out
}
