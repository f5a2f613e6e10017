package cli

import (
	"path"
	"path/filepath"
	"strings"

	"continuo/internal/lazy"
	"continuo/internal/safename"
	"continuo/internal/source"
)

var badInName = lazy.Regexp(`[<>:"/\\|?*\x00-\x1f]+`)

// separators stand between the name of a title and the number of a volume.
const separators = " _.-"

// defaultName is the file name of an edition: what the names of its volumes
// have in common, without the number of the volume; else the name of the
// folder or zip that was given.
func defaultName(files []*source.File, args []string) string {
	var stems []string
	for _, f := range files {
		stems = append(stems, stem(f.Name))
	}
	name := stems[0]
	if len(stems) > 1 {
		name = trimVolume(common(stems))
	}
	if cleanName(name) == "" && len(args) > 0 {
		if full, err := filepath.Abs(args[0]); err == nil {
			name = stem(full)
		}
	}
	if name = cleanName(name); name == "" {
		name = "book"
	}
	if strings.HasSuffix(name, "-continuous") || strings.HasSuffix(name, "-again") { // an edition made again
		return strings.TrimSuffix(name, "-again") + "-again.brf"
	}
	return name + "-continuous.brf"
}

func slashed(p string) string { return strings.ReplaceAll(p, `\`, "/") }

// stem is the base name without its ending.
func stem(name string) string {
	base := path.Base(slashed(name))
	return strings.TrimSuffix(base, path.Ext(base))
}

// common is the longest beginning that all names share, without regard to
// case; a number that only begins alike is not shared.
func common(names []string) string {
	first := []rune(names[0])
	n := len(first)
	for _, name := range names[1:] {
		n = alike(first[:n], []rune(name))
	}
	for _, name := range names {
		if rest := []rune(name)[n:]; len(rest) > 0 && rest[0] >= '0' && rest[0] <= '9' {
			return strings.TrimRight(string(first[:n]), "0123456789")
		}
	}
	return string(first[:n])
}

// alike counts the letters that a and b begin with together.
func alike(a, b []rune) int {
	n := 0
	for n < len(a) && n < len(b) && strings.EqualFold(string(a[n]), string(b[n])) {
		n++
	}
	return n
}

func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }

// volumeWords come before the number of a volume in file names.
var volumeWords = []string{"volume", "vol", "part", "pt", "v"}

// trimVolume takes separators and a volume word off the end of a name. A word
// that goes on to the left ("depart") is left alone, but for the single v of
// another case ("WEATHERv").
func trimVolume(name string) string {
	name = strings.TrimRight(name, separators)
	for _, w := range volumeWords {
		head, ok := cutFold(name, w)
		if !ok {
			continue
		}
		if head == "" || !isLetter(head[len(head)-1]) || w == "v" && otherCase(head[len(head)-1], name[len(name)-1]) {
			return strings.TrimRight(head, separators)
		}
	}
	return name
}

// cutFold cuts word off the end of name, without regard to case.
func cutFold(name, word string) (string, bool) {
	n := len(name) - len(word)
	if n < 0 || !strings.EqualFold(name[n:], word) {
		return name, false
	}
	return name[:n], true
}

func otherCase(a, b byte) bool { return a&0x20 != b&0x20 }

// cleanName makes a name that every file system takes.
func cleanName(name string) string {
	name = strings.Trim(badInName().ReplaceAllString(name, "-"), " .-_")
	if safename.Device(name) {
		base, rest, _ := strings.Cut(name, ".")
		name = strings.TrimRight(base, " ") + "-book"
		if rest != "" {
			name += "." + rest
		}
	}
	return name
}
