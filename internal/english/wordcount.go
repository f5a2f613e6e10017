package english

import (
	"hash/maphash"
	"iter"
)

// wordCount counts words. It is a table of its own because a book's words, some
// hundred thousand, are all looked up in it: the words stand in one buffer and
// a slot is found with one hash. The zero value is ready.
type wordCount struct {
	slots []wordSlot // a power of two, at most three quarters full
	text  []byte
	n     int // words
}

type wordSlot struct {
	hash     uint32
	at, size uint32 // the word in text
	count    int32  // 0: the slot is free
}

var wordSeed = maphash.MakeSeed()

// add counts a word n times more.
func (t *wordCount) add(w []byte, n int32) {
	if t.n*4 >= len(t.slots)*3 {
		t.grow()
	}
	h := uint32(maphash.Bytes(wordSeed, w))
	s := t.find(h, w)
	if s.count == 0 {
		*s = wordSlot{h, uint32(len(t.text)), uint32(len(w)), 0}
		t.text = append(t.text, w...)
		t.n++
	}
	s.count += n
}

func (t *wordCount) get(w string) int32 {
	if t.n == 0 {
		return 0
	}
	return t.find(uint32(maphash.String(wordSeed, w)), []byte(w)).count
}

// find returns the slot of a word, or the free one where it would stand.
func (t *wordCount) find(h uint32, w []byte) *wordSlot {
	mask := uint32(len(t.slots) - 1)
	for i := h & mask; ; i = (i + 1) & mask {
		s := &t.slots[i]
		if s.count == 0 || s.hash == h && string(t.word(s)) == string(w) {
			return s
		}
	}
}

func (t *wordCount) word(s *wordSlot) []byte { return t.text[s.at : s.at+s.size : s.at+s.size] }

func (t *wordCount) grow() {
	old := t.slots
	t.slots = make([]wordSlot, max(1<<12, 2*len(old)))
	mask := uint32(len(t.slots) - 1)
	for _, s := range old {
		if s.count == 0 {
			continue
		}
		i := s.hash & mask
		for t.slots[i].count != 0 {
			i = (i + 1) & mask
		}
		t.slots[i] = s
	}
}

// all yields every word with its count, in no order.
func (t *wordCount) all() iter.Seq2[[]byte, int32] {
	return func(yield func([]byte, int32) bool) {
		for i := range t.slots {
			if s := &t.slots[i]; s.count > 0 && !yield(t.word(s), s.count) {
				return
			}
		}
	}
}
