// Package plaintext reads text files that people write: settings, decisions,
// lists and tables. Editors and shells of Windows put a byte order mark before
// such files or write them as UTF-16; what is read is UTF-8 without a mark. What it
// writes for a table no spreadsheet takes for a formula.
package plaintext

import (
	"os"
	"strings"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// Decode is a text as UTF-8 without a byte order mark. A mark tells its
// encoding: UTF-8, UTF-16LE or UTF-16BE (Unicode 16.0, section 23.8); a text
// without one is returned as it is.
func Decode(raw []byte) []byte {
	out, _, err := transform.Bytes(unicode.BOMOverride(transform.Nop), raw)
	if err != nil {
		return raw // the reader of the text tells what is wrong with it
	}
	return out
}

// ReadFile reads a file and decodes it.
func ReadFile(path string) ([]byte, error) {
	raw, err := os.ReadFile(path)
	return Decode(raw), err
}

// Inert keeps a cell of a table for spreadsheets from being taken for a formula: a
// quotation mark comes before it.
func Inert(s string) string {
	if s != "" && strings.IndexByte("=+-@\t\r", s[0]) >= 0 {
		return "'" + s
	}
	return s
}
