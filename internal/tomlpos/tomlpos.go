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

// Fault is what is wrong with a TOML text that a strict reader refused: the
// line, 0 when the text as a whole is meant, and why.
func Fault(err error) (line int, why string) {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
		first := unknown.Errors[0]
		line, _ := first.Position()
		return line, fmt.Sprintf("unknown key %q", strings.Join(first.Key(), "."))
	}
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		line, _ := bad.Position()
		return line, strings.TrimPrefix(bad.Error(), "toml: ")
	}
	return 0, err.Error()
}

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
