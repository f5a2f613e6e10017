// Package tomlpos tells on which line of a TOML text a key stands, for errors that
// are found after the text was read.
package tomlpos

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"continuo/internal/lazy"
)

// Lines finds the line of every key and table of a TOML text, by its dotted
// path in lower case (the TOML reader takes keys in any case), and of the
// elements of lists, as "key[0]" (of an array of tables, the keys in it as
// "table[0].key"). A text that cannot be read gives the lines
// before its fault.
func Lines(text []byte) map[string]int {
	l := liner{text: text, lines: map[string]int{}}
	l.p.Reset(text)
	table, nth := "", map[string]int{}
	for l.p.NextExpression() {
		e := l.p.Expression()
		switch e.Kind {
		case unstable.Table:
			table = l.path("", e.Key())
		case unstable.ArrayTable:
			name := l.path("", e.Key())
			table = fmt.Sprintf("%s[%d]", name, nth[name])
			nth[name]++
			for it := e.Key(); it.Next(); {
				if it.IsLast() {
					l.note(table, it.Node())
				}
			}
		case unstable.KeyValue:
			l.value(l.path(table, e.Key()), e.Value())
		}
	}
	return l.lines
}

type liner struct {
	p     unstable.Parser
	text  []byte
	lines map[string]int
}

// path notes the line of a dotted key and of the tables that it passes, and
// returns it whole.
func (l *liner) path(table string, key unstable.Iterator) string {
	at := table
	for key.Next() {
		n := key.Node()
		if at != "" {
			at += "."
		}
		at += string(n.Data)
		l.note(at, n)
	}
	return at
}

// value notes the lines inside a list or an inline table.
func (l *liner) value(at string, v *unstable.Node) {
	switch v.Kind {
	case unstable.Array:
		i := 0
		for it := v.Children(); it.Next(); {
			if it.Node().Kind == unstable.Comment {
				continue
			}
			l.note(fmt.Sprintf("%s[%d]", at, i), it.Node())
			i++
		}
	case unstable.InlineTable:
		for it := v.Children(); it.Next(); {
			if n := it.Node(); n.Kind == unstable.KeyValue {
				l.value(l.path(at, n.Key()), n.Value())
			}
		}
	}
}

// note keeps the first line of a path.
func (l *liner) note(at string, n *unstable.Node) {
	at = strings.ToLower(at)
	if _, known := l.lines[at]; !known && n.Raw.Length > 0 {
		l.lines[at] = bytes.Count(l.text[:n.Raw.Offset], []byte{'\n'}) + 1
	}
}

// Of is the line of a key; of a key that is not set, the line of what it
// would stand in; or 0.
func Of(lines map[string]int, key string) int {
	for key = strings.ToLower(key); key != ""; {
		if n := lines[key]; n > 0 {
			return n
		}
		key = key[:max(strings.LastIndexAny(key, ".["), 0)]
	}
	return 0
}

// Fault is one thing that is wrong with a TOML text: the line, 0 when the text as
// a whole is meant, and why.
type Fault struct {
	Line int
	Why  string
}

// faultsOf are the faults that an error of a strict reader tells.
func faultsOf(err error) []Fault {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
		var out []Fault
		for _, e := range unknown.Errors {
			line, _ := e.Position()
			out = append(out, Fault{line, fmt.Sprintf("unknown key %q", strings.Join(e.Key(), "."))})
		}
		return out
	}
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		line, _ := bad.Position()
		return []Fault{{line, inWords(strings.TrimPrefix(bad.Error(), "toml: "), bad.Key())}}
	}
	return []Fault{{0, err.Error()}}
}

// wrongKind is what the reader says of a value of the wrong kind, in words of Go.
var wrongKind = lazy.Regexp(`^cannot decode TOML (.+?) into (?:struct field \S+ of type )?(\S+)$`)

// kindWords are kinds of TOML values and types of Go in words; other types are
// tables.
var kindWords = map[string]string{"string": "text in quotes", "integer": "a whole number", "int": "a whole number", "float": "a number with a point", "float64": "a number with a point",
	"boolean": "true or false", "bool": "true or false", "array": "a list", "local date": "a date", "local time": "a time of day", "local datetime": "a date with a time", "datetime": "a date with a time"}

// inWords says it for people who do not write Go.
func inWords(why string, key []string) string {
	m := wrongKind().FindStringSubmatch(why)
	if m == nil {
		return why
	}
	word := func(kind string) string {
		if w := kindWords[kind]; w != "" {
			return w
		}
		if strings.HasPrefix(kind, "[]") {
			return "a list"
		}
		return "a table"
	}
	return fmt.Sprintf("%s: must be %s, not %s", strings.Join(key, "."), word(m[2]), word(m[1]))
}

// maxFaults is how many lines with a value of the wrong kind are told.
const maxFaults = 20

// Decode reads a text by decode, a strict reader, and returns all that it refuses.
// Such a reader stops at the first value of the wrong kind; its line is then left
// out and the rest read again, as long as the text is TOML. Whole says that all
// other lines were read.
func Decode(text []byte, decode func(text []byte) error) (list []Fault, whole bool) {
	for range maxFaults {
		err := decode(text)
		if err == nil {
			return list, true
		}
		found := faultsOf(err)
		list = append(list, found...)
		if errors.As(err, new(*toml.StrictMissingError)) { // unknown keys are told when the rest is read
			return list, true
		}
		if text = without(text, found[0].Line); text == nil {
			return list, false
		}
	}
	return list, false
}

// valid reports whether a text is TOML.
func valid(text []byte) bool {
	var p unstable.Parser
	p.Reset(text)
	for p.NextExpression() {
	}
	return p.Error() == nil
}

// without is a text with a blank line in place of another, nil when that has no
// key with its value, or the text is not TOML with it or without it.
func without(text []byte, line int) []byte {
	lines := bytes.SplitAfter(text, []byte{'\n'})
	if !valid(text) || line < 1 || line > len(lines) || bytes.HasPrefix(bytes.TrimSpace(lines[line-1]), []byte{'['}) || !bytes.Contains(lines[line-1], []byte{'='}) {
		return nil
	}
	lines[line-1] = []byte("\n")
	if text = bytes.Join(lines, nil); !valid(text) {
		return nil
	}
	return text
}

// First is what is wrong with a text that a strict reader refused, the first thing.
func First(err error) Fault { return faultsOf(err)[0] }

// Message is the error of a file that cannot be used: what the file is, its name
// in quotes with backslashes as people write them, the line when it is known
// (1-based, else 0), and why.
func Message(what, file string, line int, why string) string {
	name := strings.ReplaceAll(fmt.Sprintf("%q", file), `\\`, `\`)
	if line > 0 {
		return fmt.Sprintf("%s %s line %d: %s", what, name, line, why)
	}
	return fmt.Sprintf("%s %s: %s", what, name, why)
}
