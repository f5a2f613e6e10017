// Package lazy makes values when they are first asked for, so that a command
// pays at its start for nothing that it does not use. It imports nothing of the
// project.
package lazy

import (
	"html/template"
	"regexp"
	"sync"
)

// Regexp is a regular expression that is compiled on its first use. One that
// does not compile panics then.
func Regexp(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

// Template is a template that is parsed on its first use; a fault in it panics
// then.
func Template(parse func() (*template.Template, error)) func() *template.Template {
	return sync.OnceValue(func() *template.Template { return template.Must(parse()) })
}
