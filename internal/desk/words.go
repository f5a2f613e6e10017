package desk

import (
	"fmt"
	"html/template"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"continuo/internal/decide"
)

// words are the functions that templates put facts into words with.
func words() template.FuncMap {
	return template.FuncMap{"count": count, "sentence": sentence, "moment": moment, "size": size, "format": formatWords, "plain": plain, "choice": choiceWords, "asked": askedWords, "chosen": chosenWords}
}

// count is a number of things, in words.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// plain is the name of a kind without its hyphens.
func plain(name string) string { return strings.ReplaceAll(name, "-", " ") }

// choiceWords is a choice as its button says it.
func choiceWords(k decide.Kind, name string) string {
	for _, c := range k.Choices {
		if c.Name == name {
			return c.Words
		}
	}
	return name
}

// askedWords is the question of a kind, chosenWords a choice of one, for what is known
// by name only.
func askedWords(kind string) string {
	if k, ok := decide.Find(kind); ok {
		return sentence(k.Ask)
	}
	return plain(kind)
}

func chosenWords(kind, name string) string {
	k, _ := decide.Find(kind)
	return choiceWords(k, name)
}

// sentence begins a text with a capital letter.
func sentence(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}

// moment is a time of the catalogue as a person at this machine reads it; what is
// no time stays as it is.
func moment(stamp string) template.HTML {
	t, err := time.Parse(time.RFC3339, stamp)
	if err != nil {
		return template.HTML(template.HTMLEscapeString(stamp))
	}
	return template.HTML(`<time datetime="` + t.UTC().Format(time.RFC3339) + `">` + t.Local().Format("2006-01-02 15:04") + `</time>`)
}

// size is a number of bytes in words, in powers of 1,000 as on cards.
func size(bytes int64) string {
	switch n := float64(bytes); {
	case n < 1000:
		return count(int(bytes), "byte")
	case n < 1e6:
		return trimmed(n/1e3) + " kB"
	case n < 1e9:
		return trimmed(n/1e6) + " MB"
	default:
		return trimmed(n/1e9) + " GB"
	}
}

// trimmed is a number with one place after the point while it is small.
func trimmed(n float64) string {
	if n < 10 {
		return strings.TrimSuffix(fmt.Sprintf("%.1f", n), ".0")
	}
	return fmt.Sprintf("%.0f", n)
}

// formatWords are formats of editions in words.
func formatWords(name string) string {
	if w := map[string]string{"brf": "Braille ASCII", "text": "Unicode braille text", "html": "a web page", "pef": "Portable Embosser Format", "ebraille": "eBraille"}[name]; w != "" {
		return name + ": " + w
	}
	return name
}
