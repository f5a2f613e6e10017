// Package text writes an edition as Unicode braille text: UTF-8 without a byte
// order mark, LF at the line ends, the lines of the edition in Braille ASCII
// one for one, every blank as U+2800 (The Unicode Standard, block Braille
// Patterns).
package text

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/write"
)

// Write writes the edition. A byte that is no braille cell becomes U+28FF.
func Write(e *write.Edition) ([]byte, error) {
	if err := write.Known(e.Book); err != nil {
		return nil, err
	}
	out := make([]byte, 0, 3*len(e.Data))
	fold := cell.FoldTable()
	for data := e.Data; len(data) > 0; {
		line, rest, _ := bytes.Cut(data, []byte{'\n'})
		for _, b := range bytes.TrimSuffix(line, []byte{'\r'}) {
			c := fold[b]
			if c == 0 {
				c = b
			}
			out = cell.AppendBraille(out, []byte{c})
		}
		out = append(out, '\n')
		data = rest
	}
	return out, nil
}
