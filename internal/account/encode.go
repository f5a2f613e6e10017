package account

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strconv"

	"continuo/internal/book"
	"continuo/internal/source"
)

// version is that of the account's format.
const version = 2

type header struct {
	Account  int               `json:"account"`
	Tool     string            `json:"tool"`
	Edition  part              `json:"edition"`
	Sources  []part            `json:"sources"`
	Reasons  map[string]reason `json:"reasons"`
	Settings map[string]any    `json:"settings"`
}

// part is the edition or a source; Encoding is left off when it is ascii.
type part struct {
	Name     string `json:"name"`
	Bytes    int64  `json:"bytes"`
	SHA256   string `json:"sha256"`
	Encoding string `json:"encoding,omitempty"`
	Lines    int    `json:"lines"`
	Marks    int64  `json:"marks"`
	Control  *int64 `json:"control,omitempty"`
}

// reason is written as an array: class, why, evidence, confidence.
type reason book.Reason

func (r reason) MarshalJSON() ([]byte, error) {
	return json.Marshal([]any{r.Class, r.Why, r.Evidence, r.Confidence})
}

type totalsPart struct {
	Keep int64            `json:"keep"`
	Move int64            `json:"move"`
	Swap int64            `json:"swap"`
	Out  map[string]int64 `json:"out"`
	Add  int64            `json:"add"`
}

type trailer struct {
	End     bool       `json:"end"`
	Records int        `json:"records"`
	Splits  []int      `json:"splits"`
	Totals  totalsPart `json:"totals"`
	SHA256  string     `json:"sha256"`
}

// encode writes the account.
func (l *Ledger) encode(e Edition) ([]byte, error) {
	ops := l.doubles()
	ids := reasonIDs(ops)
	h := header{Account: version, Tool: e.Tool, Settings: e.Settings, Reasons: map[string]reason{}}
	h.Edition = part{Name: e.Name, Bytes: int64(len(e.Data)), SHA256: hexSum(e.Data), Lines: e.Lines, Marks: e.Marks}
	for _, f := range l.b.Files {
		h.Sources = append(h.Sources, sourcePart(f))
	}
	for r, id := range ids {
		h.Reasons[id] = reason(l.b.Reasons[r])
	}
	out, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	return l.seal(appendRecords(append(out, '\n'), ops, ids), ids, len(ops), e.Splits)
}

func hexSum(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func sourcePart(f *source.File) part {
	p := part{Name: f.Name, Bytes: f.Bytes, SHA256: f.SHA256, Lines: len(f.Lines), Marks: f.Marks, Control: &f.Control}
	if f.Encoding != source.ASCII {
		p.Encoding = string(f.Encoding)
	}
	return p
}

// seal writes the last line.
func (l *Ledger) seal(out []byte, ids map[book.ReasonID]string, records int, splits []int) ([]byte, error) {
	t := trailer{End: true, Records: records, Splits: splits, SHA256: hexSum(out)}
	t.Totals = totalsPart{Keep: l.tot.keep, Move: l.tot.move, Swap: l.tot.swap, Add: l.tot.add, Out: map[string]int64{}}
	for r, n := range l.tot.out {
		if n > 0 {
			t.Totals.Out[ids[r]] = n
		}
	}
	if t.Splits == nil {
		t.Splits = []int{}
	}
	tail, err := json.Marshal(t)
	if err != nil {
		return nil, err
	}
	return append(append(out, tail...), '\n'), nil
}

// reasonIDs names the reasons that records have, the most used ones A to Z,
// then AA, AB and so on.
func reasonIDs(ops []op) map[book.ReasonID]string {
	uses := map[book.ReasonID]int{}
	var list []book.ReasonID
	for _, o := range ops {
		if o.reason == 0 {
			continue
		}
		if uses[o.reason] == 0 {
			list = append(list, o.reason)
		}
		uses[o.reason]++
	}
	slices.SortFunc(list, func(a, b book.ReasonID) int {
		return cmp.Or(cmp.Compare(uses[b], uses[a]), cmp.Compare(a, b))
	})
	ids := make(map[book.ReasonID]string, len(list))
	for i, r := range list {
		ids[r] = letters(i)
	}
	return ids
}

func letters(i int) string {
	s := string(rune('A' + i%26))
	if i < 26 {
		return s
	}
	return letters(i/26-1) + s
}

// packed are the letters of the records that are written together, many in one
// string; those whose cells a string would have to escape are written as arrays.
var packed = map[string]byte{
	"keep": 'k', "double": 'd', "out": 'o', "keep-cells": 'p', "out-cells": 'x', "cut": 'c', "blank": 'b', "join": 'j', "at": '@', "move": 'm',
	"swap": 's', "swap-cells": 'z', "add": 'a',
}

// packedLine is how long a line of packed records gets, about.
const packedLine = 100

// appendRecords writes all records.
func appendRecords(b []byte, ops []op, ids map[book.ReasonID]string) []byte {
	last := map[string]book.ReasonID{}
	start := -1 // of the open line of packed records
	closeLine := func() {
		if start >= 0 {
			b = append(b, "\"\n"...)
		}
		start = -1
	}
	for _, o := range ops {
		id := ids[o.reason]
		if last[o.name] == o.reason {
			id = "" // that of the last record of the name
		}
		last[o.name] = o.reason
		letter, ok := packed[o.name]
		ok = ok && bytes.IndexAny(o.text, `"\`) < 0
		if !ok || len(b)-start > packedLine {
			closeLine()
		}
		switch {
		case !ok:
			b = o.appendArray(b, id)
		case start < 0:
			start = len(b)
			b = o.appendPacked(append(b, '"'), letter, id)
		default:
			b = o.appendPacked(b, letter, id)
		}
	}
	closeLine()
	return b
}

// appendPacked writes a record as a letter, its numbers, its cells between
// braces, which are no cells, and its reason.
func (o op) appendPacked(b []byte, letter byte, id string) []byte {
	b = append(b, letter)
	switch o.name {
	case "at", "move":
		b = strconv.AppendInt(b, int64(o.vol)+1, 10)
		b = strconv.AppendInt(append(b, ':'), int64(o.line)+1, 10)
	case "cut":
		b = strconv.AppendInt(b, int64(o.n), 10)
		b = strconv.AppendInt(append(b, '-'), int64(o.m), 10)
	case "blank", "join", "add":
	default:
		if o.n != 1 {
			b = strconv.AppendInt(b, int64(o.n), 10)
		}
	}
	switch o.name {
	case "swap", "swap-cells", "add":
		b = append(append(append(b, '{'), o.text...), '}')
	}
	return append(b, id...)
}

// appendArray writes a record with cells as an array on a line of its own.
func (o op) appendArray(b []byte, id string) []byte {
	b = append(append(append(b, `["`...), o.name...), '"')
	if o.name != "add" {
		b = strconv.AppendInt(append(b, ','), int64(o.n), 10)
	}
	b = appendString(append(b, ','), o.text)
	if id != "" {
		b = append(append(append(b, `,"`...), id...), '"')
	}
	return append(b, "]\n"...)
}

func appendString(b, s []byte) []byte {
	b = append(b, '"')
	for _, c := range s {
		if c == '"' || c == '\\' {
			b = append(b, '\\')
		}
		b = append(b, c)
	}
	return append(b, '"')
}
