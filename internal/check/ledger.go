package check

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"continuo/internal/source"
)

// partOf is the edition or one source in the first line of an account.
type partOf struct {
	N        int    `json:"n"`
	Name     string `json:"name"`
	Bytes    int64  `json:"bytes"`
	SHA256   string `json:"sha256"`
	Encoding string `json:"encoding"`
	Lines    int    `json:"lines"`
	Marks    int64  `json:"marks"`
	Control  int64  `json:"control"`
}

type reason struct {
	Class      string  `json:"class"`
	Why        string  `json:"why"`
	Evidence   string  `json:"evidence"`
	Confidence float64 `json:"confidence"`
}

// UnmarshalJSON reads a reason as an array of class, why, evidence and
// confidence, or (version 1) as an object with these fields.
func (r *reason) UnmarshalJSON(data []byte) error {
	type fields reason
	if len(data) == 0 || data[0] != '[' {
		d := json.NewDecoder(bytes.NewReader(data))
		d.DisallowUnknownFields()
		return d.Decode((*fields)(r))
	}
	var parts []json.RawMessage
	if err := json.Unmarshal(data, &parts); err != nil {
		return err
	}
	into := []any{&r.Class, &r.Why, &r.Evidence, &r.Confidence}
	if len(parts) != len(into) {
		return fmt.Errorf("a reason has %d parts, not %d", len(parts), len(into))
	}
	for i, p := range parts {
		if err := json.Unmarshal(p, into[i]); err != nil {
			return err
		}
	}
	return nil
}

type firstLine struct {
	Account  int               `json:"account"`
	Tool     string            `json:"tool"`
	Edition  partOf            `json:"edition"`
	Sources  []partOf          `json:"sources"`
	Reasons  map[string]reason `json:"reasons"`
	Settings map[string]any    `json:"settings"`
}

type lastLine struct {
	End     bool  `json:"end"`
	Records int   `json:"records"`
	Splits  []int `json:"splits"`
	Totals  struct {
		Keep int64            `json:"keep"`
		Move int64            `json:"move"`
		Swap int64            `json:"swap"`
		Out  map[string]int64 `json:"out"`
		Add  int64            `json:"add"`
	} `json:"totals"`
	SHA256 string `json:"sha256"`
}

// ledger is an account as read: its first and last lines, and the bytes of its
// records, which are read one by one by the replay.
type ledger struct {
	head     firstLine
	tail     lastLine
	records  []byte
	ids      []string // of the reasons, by index
	reasons  []reason
	reasonOf map[string]int
	last     map[string]int // reason of the last record of a name
}

// fault is why an account cannot be read; line counts from 1.
type fault struct {
	line int
	what string
}

func faultf(line int, format string, args ...any) *fault {
	return &fault{line, fmt.Sprintf(format, args...)}
}

// readLedger reads an account up to its records.
func readLedger(data []byte) (*ledger, *fault) {
	if len(data) == 0 || data[len(data)-1] != '\n' {
		return nil, faultf(0, "the account is cut off: its last line has no end")
	}
	first := bytes.IndexByte(data, '\n')
	last := bytes.LastIndexByte(data[:len(data)-1], '\n')
	if last < 0 {
		return nil, faultf(0, "the account has one line only")
	}
	l := &ledger{records: data[first+1 : last+1], reasonOf: map[string]int{}, last: map[string]int{}}
	n := bytes.Count(l.records, []byte{'\n'})
	if err := strict(data[:first], &l.head); err != nil {
		return nil, faultf(1, "the first line is not as it should be: %v", err)
	}
	if l.head.Account != 1 && l.head.Account != 2 {
		return nil, faultf(1, "version %d of the account is not known; this program reads versions 1 and 2", l.head.Account)
	}
	if err := strict(data[last+1:len(data)-1], &l.tail); err != nil || !l.tail.End {
		return nil, faultf(n+2, "the account is cut off or its last line is not as it should be: %v", err)
	}
	h := sha256.Sum256(data[:last+1])
	if hex.EncodeToString(h[:]) != l.tail.SHA256 {
		return nil, faultf(n+2, "the account was changed: its bytes do not have the sha256 that its last line says")
	}
	if l.head.Account == 1 && l.tail.Records != n {
		return nil, faultf(n+2, "the account has %d records, its last line says %d", n, l.tail.Records)
	}
	return l, l.readHead()
}

func (l *ledger) readHead() *fault {
	if len(l.head.Sources) == 0 {
		return faultf(1, "the account names no source")
	}
	for i := range l.head.Sources {
		s := &l.head.Sources[i]
		if l.head.Account == 2 {
			if s.N == 0 {
				s.N = i + 1
			}
			if s.Encoding == "" {
				s.Encoding = string(source.ASCII)
			}
		}
		if s.N != i+1 {
			return faultf(1, "source number %d stands at place %d", s.N, i+1)
		}
	}
	for id, r := range l.head.Reasons {
		if _, ok := classes[r.Class]; !ok {
			return faultf(1, "reason %q has the unknown class %q", id, r.Class)
		}
		if r.Why == "" || !(r.Confidence >= 0 && r.Confidence <= 1) {
			return faultf(1, "reason %q says no why, or its confidence is not from 0 to 1", id)
		}
		l.reasonOf[id] = len(l.ids)
		l.ids = append(l.ids, id)
		l.reasons = append(l.reasons, r)
	}
	return nil
}

// strict reads one JSON object: no unknown, repeated or differently written
// fields, nothing after it.
func strict(line []byte, into any) error {
	if err := onceEach(line); err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return err
	}
	if d.More() {
		return fmt.Errorf("something stands after the object")
	}
	return nil
}

// onceEach is an error when an object names a field twice, or with capitals
// (the decoder takes those for the same field), or nests too deeply.
func onceEach(line []byte) error {
	d := json.NewDecoder(bytes.NewReader(line))
	var n nest
	for {
		t, err := d.Token()
		if err != nil {
			return nil // the end, or what the decoder itself will refuse
		}
		if err := n.token(t); err != nil {
			return err
		}
	}
}

// nest follows the tokens of a JSON value: the objects and arrays that are
// open, and the field that led to each.
type nest struct {
	open []level
}

type level struct {
	keys  map[string]bool // nil in an array
	key   string          // the field at hand
	value bool            // its value comes next
}

func (n *nest) token(t json.Token) error {
	c, _ := t.(json.Delim)
	top := len(n.open) - 1
	switch {
	case c == '}' || c == ']':
		n.open = n.open[:top]
		n.valueDone()
	case top >= 0 && n.open[top].keys != nil && !n.open[top].value:
		k, _ := t.(string)
		return n.field(&n.open[top], k)
	case c == '{':
		n.open = append(n.open, level{keys: map[string]bool{}})
	case c == '[':
		n.open = append(n.open, level{})
	default:
		n.valueDone()
	}
	if len(n.open) > 20 {
		return fmt.Errorf("objects nest too deeply")
	}
	return nil
}

func (n *nest) valueDone() {
	if top := len(n.open) - 1; top >= 0 {
		n.open[top].value = false
	}
}

// field takes down the name of a field. Names that the format leaves free, of
// settings and reasons, may have capitals.
func (n *nest) field(l *level, k string) error {
	if l.keys[k] {
		return fmt.Errorf("field %q stands twice", k)
	}
	first, depth := n.open[0].key, len(n.open)
	free := depth > 1 && first == "settings" || depth == 2 && first == "reasons" || depth == 3 && n.open[1].key == "out"
	if !free && k != strings.ToLower(k) {
		return fmt.Errorf("unknown field %q", k)
	}
	l.keys[k], l.key, l.value = true, k, true
	return nil
}

// record is one record of an account. Fields that its kind has not are zero.
type record struct {
	op     string
	n      int // lines or cells
	m      int // cells, of a cut
	src    int // 0-based
	line   int // 0-based
	cells  []byte
	reason int // index, -1 for none
}

// forms says what follows the name of each record: k and m a count, s a source
// and line, c cells, r a reason, which may be left off when it is that of the
// last record of the name.
var forms = map[string]string{
	"keep": "k", "double": "kr", "out": "kr", "keep-cells": "k", "out-cells": "kr", "cut": "kmr", "swap": "kcr", "swap-cells": "kcr",
	"add": "cr", "blank": "r", "join": "r", "at": "ss", "move": "ssr",
}

// readRecord reads one line of an account.
func (l *ledger) readRecord(line []byte) (record, error) {
	s := scanner{rest: line}
	s.lit('[')
	op := s.text()
	rec := record{op: string(op), reason: -1}
	form, ok := forms[rec.op]
	if !ok && s.err == nil {
		return rec, fmt.Errorf("unknown record %q", op)
	}
	numbers := []*int{&rec.src, &rec.line}
	for _, c := range form {
		if last, ok := l.last[rec.op]; c == 'r' && ok && s.at(']') {
			rec.reason = last
			break
		}
		s.lit(',')
		switch c {
		case 'k':
			rec.n = s.number()
		case 'm':
			rec.m = s.number()
		case 's':
			*numbers[0] = s.number() - 1
			numbers = numbers[1:]
		case 'c':
			rec.cells = s.text()
		case 'r':
			id := s.text()
			if rec.reason, ok = l.reasonOf[string(id)]; !ok && s.err == nil {
				return rec, fmt.Errorf("unknown reason %q", id)
			}
		}
	}
	s.lit(']')
	if s.err == nil && len(s.rest) > 0 {
		s.fail()
	}
	if rec.reason >= 0 {
		l.last[rec.op] = rec.reason
	}
	return rec, s.err
}

// packedOps are the letters of packed records, with the name of each.
var packedOps = map[byte]string{
	'k': "keep", 'd': "double", 'o': "out", 'p': "keep-cells", 'x': "out-cells", 'c': "cut", 'b': "blank", 'j': "join", '@': "at", 'm': "move",
	's': "swap", 'z': "swap-cells", 'a': "add",
}

// readPacked reads the next of the packed records: a letter, its numbers, its
// cells between braces and the reason in capital letters. A count of 1 is left off.
func (l *ledger) readPacked(s *scanner) (record, error) {
	rec := record{reason: -1, n: 1}
	op, ok := packedOps[s.byte()]
	if !ok {
		s.fail()
		return rec, s.err
	}
	switch rec.op = op; op {
	case "at", "move":
		rec.src = s.number() - 1
		s.lit(':')
		rec.line = s.number() - 1
	case "cut":
		rec.n = s.number()
		s.lit('-')
		rec.m = s.number()
	case "blank", "join", "add":
	default:
		if s.digit() {
			rec.n = s.number()
		}
	}
	form := forms[op]
	if strings.IndexByte(form, 'c') >= 0 {
		rec.cells = s.braced()
	}
	id := s.capitals()
	switch last, known := l.last[op]; {
	case s.err != nil:
	case form[len(form)-1] != 'r':
		if id != "" {
			return rec, fmt.Errorf("%q has no reason, yet %q stands there", op, id)
		}
	case id == "" && known:
		rec.reason = last
	default:
		if rec.reason, ok = l.reasonOf[id]; !ok {
			return rec, fmt.Errorf("unknown reason %q", id)
		}
		l.last[op] = rec.reason
	}
	return rec, s.err
}

// byte takes the next byte, 0 at the end.
func (s *scanner) byte() byte {
	if len(s.rest) == 0 {
		return 0
	}
	c := s.rest[0]
	s.rest = s.rest[1:]
	return c
}

func (s *scanner) digit() bool { return len(s.rest) > 0 && s.rest[0] >= '0' && s.rest[0] <= '9' }

// capitals takes capital letters.
func (s *scanner) capitals() string {
	i := 0
	for i < len(s.rest) && s.rest[i] >= 'A' && s.rest[i] <= 'Z' {
		i++
	}
	t := s.rest[:i]
	s.rest = s.rest[i:]
	return string(t)
}

// braced takes cells between braces.
func (s *scanner) braced() []byte {
	s.lit('{')
	end := bytes.IndexByte(s.rest, '}')
	if s.err != nil || end < 0 {
		s.fail()
		return nil
	}
	t := s.rest[:end]
	s.rest = s.rest[end+1:]
	return t
}

// scanner reads the parts of a record. Blanks between them are not allowed.
type scanner struct {
	rest []byte
	err  error
}

func (s *scanner) fail() {
	if s.err == nil {
		s.err = fmt.Errorf("the record is not well formed at %.20q", s.rest)
	}
}

// at reports whether c comes next.
func (s *scanner) at(c byte) bool { return s.err == nil && len(s.rest) > 0 && s.rest[0] == c }

func (s *scanner) lit(c byte) {
	if s.err != nil {
		return
	}
	if len(s.rest) == 0 || s.rest[0] != c {
		s.fail()
		return
	}
	s.rest = s.rest[1:]
}

// number reads a number from 1 to 999999999.
func (s *scanner) number() int {
	n, i := 0, 0
	for i < len(s.rest) && i < 10 && s.rest[i] >= '0' && s.rest[i] <= '9' {
		n = n*10 + int(s.rest[i]-'0')
		i++
	}
	if i == 0 || i == 10 || s.rest[0] == '0' {
		s.fail()
		return 0
	}
	s.rest = s.rest[i:]
	return n
}

// text reads a string; only quote and backslash are escaped.
func (s *scanner) text() []byte {
	s.lit('"')
	if s.err != nil {
		return nil
	}
	end := bytes.IndexByte(s.rest, '"')
	if end >= 0 && bytes.IndexByte(s.rest[:end], '\\') < 0 {
		t := s.rest[:end]
		s.rest = s.rest[end+1:]
		return t
	}
	var out []byte
	for i := 0; i < len(s.rest); i++ {
		switch c := s.rest[i]; c {
		case '"':
			s.rest = s.rest[i+1:]
			return out
		case '\\':
			i++
			if i == len(s.rest) || s.rest[i] != '"' && s.rest[i] != '\\' {
				s.fail()
				return nil
			}
			out = append(out, s.rest[i])
		default:
			out = append(out, c)
		}
	}
	s.fail()
	return nil
}
