package ebrl

import (
	"regexp"
	"strings"
	"sync"
)

// statement is a part of a style sheet: what stands before "{", or up to ";" or
// "}". depth is how many blocks it stands in.
type statement struct {
	text  string
	line  int
	depth int
	block bool // a block follows
}

// statements divides a style sheet. Comments are left out, strings stay whole.
func statements(css string, line int) []statement {
	var out []statement
	var b strings.Builder
	depth, parens, start := 0, 0, line
	var quote byte
	flush := func(block bool) {
		if t := strings.TrimSpace(b.String()); t != "" {
			out = append(out, statement{t, start, depth, block})
		}
		b.Reset()
	}
	for i := 0; i < len(css); i++ {
		ch := css[i]
		if ch == '\n' {
			line++
		}
		switch {
		case quote != 0:
			if ch == '\\' && i+1 < len(css) {
				b.WriteByte(ch)
				i++
				ch = css[i]
			} else if ch == quote || ch == '\n' {
				quote = 0
			}
		case strings.HasPrefix(css[i:], "/*"):
			n := strings.Index(css[i+2:], "*/")
			if n < 0 {
				n = len(css) - i - 2
			}
			line += strings.Count(css[i:min(len(css), i+n+4)], "\n")
			i = min(len(css), i+n+4) - 1
			continue
		case ch == '"' || ch == '\'':
			quote = ch
		case ch == '(':
			parens++
		case ch == ')':
			parens = max(0, parens-1)
		case parens == 0 && ch == '{':
			flush(true)
			depth++
			continue
		case parens == 0 && ch == ';':
			flush(false)
			continue
		case parens == 0 && ch == '}':
			flush(false)
			depth = max(0, depth-1)
			continue
		}
		if b.Len() == 0 && (ch == ' ' || ch == '\n' || ch == '\t' || ch == '\r') {
			continue
		}
		if b.Len() == 0 {
			start = line
		}
		b.WriteByte(ch)
	}
	flush(false)
	return out
}

// checkSheet checks CSS text that begins on a line of a file, and tells whether
// it sets the markers of lists to nothing or to text.
func (c *checker) checkSheet(file, css string, line int) bool {
	if strings.HasPrefix(css, "\xFE\xFF") || strings.HasPrefix(css, "\xFF\xFE") {
		c.add("X7", file, 0, "is in UTF-16")
		return false
	}
	if n := badUTF8([]byte(css)); n > 0 {
		c.add("X7", file, n, "is not UTF-8 here")
		return false
	}
	markers := false
	for _, s := range statements(strings.TrimPrefix(css, "\uFEFF"), line) {
		switch {
		case strings.HasPrefix(s.text, "@"):
			c.atRule(file, s)
		case !s.block && s.depth > 0:
			name, value, ok := strings.Cut(s.text, ":")
			if ok {
				markers = c.declaration(file, strings.ToLower(strings.TrimSpace(name)), strings.TrimSpace(value), s.line) || markers
			}
		}
		for _, m := range cssURL().FindAllStringSubmatch(s.text, -1) {
			c.resource(file, strings.Trim(m[1], `"' `), s.line)
		}
	}
	return markers
}

var (
	cssURL  = lazily(`(?i)url\(\s*("[^"]*"|'[^']*'|[^)]*)\s*\)`)
	lengths = lazily(`(?i)(^|[^a-z0-9.#_-])[-+]?[0-9]*\.?[0-9]+(px|pt|pc|cm|mm|in|q|vw|vh|vmin|vmax|vi|vb|svw|svh|lvw|lvh|dvw|dvh)($|[^a-z0-9-])`)
	words   = lazily(`(?i)[a-z-]+`)
)

// atRule checks @charset, @import and @media.
func (c *checker) atRule(file string, s statement) {
	lower := strings.ToLower(s.text)
	switch {
	case strings.HasPrefix(lower, "@charset"):
		if name := strings.Trim(lower[len("@charset"):], ` "'`); name != "utf-8" {
			c.add("X7", file, s.line, "is declared to be in %q", name)
		}
	case strings.HasPrefix(lower, "@import"):
		rest := strings.TrimSpace(s.text[len("@import"):])
		if rest != "" && (rest[0] == '"' || rest[0] == '\'') {
			name, after, _ := strings.Cut(rest[1:], rest[:1])
			c.resource(file, name, s.line)
			rest = after
		}
		c.media(file, cssURL().ReplaceAllString(rest, ""), s.line)
	case strings.HasPrefix(lower, "@media"):
		c.media(file, s.text[len("@media"):], s.line)
	}
}

// media checks a media query (6.3.3).
func (c *checker) media(file, query string, line int) {
	for _, w := range words().FindAllString(query, -1) {
		switch strings.ToLower(w) {
		case "braille":
			c.add("X10", file, line, "a media query asks for braille")
		case "grid", "screen":
			c.add("X10-other", file, line, "a media query asks for %s", strings.ToLower(w))
		}
	}
	if m := lengths().FindString(query); m != "" {
		c.add("X9", file, line, "the length %q in a media query is not relative to the font", strings.Trim(m, " :;,()<>="))
	}
}

// declaration checks one property.
func (c *checker) declaration(file, name, value string, line int) bool {
	switch {
	case strings.HasPrefix(name, "-epub-"):
		c.add("X7", file, line, "the property %s is of EPUB's own", name)
	case name == "direction" || name == "unicode-bidi":
		c.add("X7", file, line, "the property %s is set", name)
	case name == "color" || name == "font" || strings.HasPrefix(name, "font-") || strings.HasPrefix(name, "text-decoration") || name == "text-shadow" || name == "text-underline-position":
		c.add("X8", file, line, "the property %s changes the look of characters", name)
	}
	if m := lengths().FindString(value); m != "" && !strings.HasPrefix(name, "--") {
		c.add("X9", file, line, "the length %q of %s is not relative to the font", strings.Trim(m, " :;,()"), name)
	}
	if name != "list-style" && name != "list-style-type" {
		return false
	}
	if strings.ContainsAny(value, `"'`) || has(strings.ToLower(value), "none") {
		return true
	}
	c.add("X3", file, line, "%s is %q: the reading system would mark the items", name, value)
	return true
}

// lazily is a regular expression that is compiled on its first use.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}
