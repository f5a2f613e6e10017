package check

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"
)

// plainBare is bare as it is described, without its tables.
func plainBare(tok []byte) []byte {
	for _, note := range [...]string{"@.>", ".>", "\">"} {
		tok = bytes.TrimSuffix(tok, []byte(note))
	}
	for _, note := range [...]string{"@.<", ".<", "\"<"} {
		tok = bytes.TrimPrefix(tok, []byte(note))
	}
	tok = bytes.TrimRight(bytes.TrimLeft(tok, signs+"78"), "1234678-0'")
	if bytes.IndexAny(tok, signs) < 0 {
		return tok
	}
	out := bytes.Map(func(r rune) rune {
		if strings.ContainsRune(signs, r) {
			return -1
		}
		return r
	}, tok)
	return bytes.TrimRight(out, "1234678-0")
}

func TestBare(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	const some = "@.<>\",;_^'1234678-0ab&=("
	for range 200_000 {
		tok := make([]byte, rnd.IntN(9))
		for i := range tok {
			tok[i] = some[rnd.IntN(len(some))]
		}
		if got, want := bare(bytes.Clone(tok)), plainBare(bytes.Clone(tok)); !bytes.Equal(got, want) {
			t.Fatalf("%q: %q, want %q", tok, got, want)
		}
	}
}
