package english

import (
	"encoding/binary"
	"hash/maphash"
	"iter"
	"math/bits"
)

// wordCount counts words. It is a table of its own because a book's words, some
// hundred thousand, are all looked up in it: a word of up to eight cells is its
// own key, longer ones stand in one buffer. The zero value is ready.
type wordCount struct {
	slots []wordSlot // a power of two, at most three quarters full
	text  []byte     // the longer words, each behind its length in four bytes
	n     int        // words
}

type wordSlot struct {
	key   uint64 // the cells of a word, else the hash of a longer one
	at    uint32 // where the longer one stands in text, counted from 1; 0 of a word
	count int32  // 0: the slot is free
}

var wordSeed = maphash.MakeSeed()

// keyOf is the key of a word, which holds no zero byte; long says that it is a hash.
func keyOf(w []byte) (key uint64, long bool) {
	if len(w) > 8 {
		return maphash.Bytes(wordSeed, w), true
	}
	for i := len(w) - 1; i >= 0; i-- {
		key = key<<8 | uint64(w[i])
	}
	return key, false
}

// add counts a word n times more.
func (t *wordCount) add(w []byte, n int32) {
	if t.n*4 >= len(t.slots)*3 {
		t.grow()
	}
	key, long := keyOf(w)
	s := t.find(key, long, w)
	if s.count == 0 {
		s.key = key
		t.n++
		if long {
			t.text = append(binary.LittleEndian.AppendUint32(t.text, uint32(len(w))), w...)
			s.at = uint32(len(t.text) - len(w) + 1)
		}
	}
	s.count += n
}

func (t *wordCount) get(w string) int32 {
	if t.n == 0 {
		return 0
	}
	key, long := keyOf([]byte(w))
	return t.find(key, long, []byte(w)).count
}

// find returns the slot of a word, or the free one where it would stand.
func (t *wordCount) find(key uint64, long bool, w []byte) *wordSlot {
	mask := uint64(len(t.slots) - 1)
	for i := spread(key) & mask; ; i = (i + 1) & mask {
		s := &t.slots[i]
		if s.count == 0 || s.key == key && (s.at > 0) == long && (!long || string(t.long(s)) == string(w)) {
			return s
		}
	}
}

// spread makes near keys far ones.
func spread(key uint64) uint64 {
	hi, lo := bits.Mul64(key, 0x9E3779B97F4A7C15)
	return hi ^ lo
}

// long is the longer word of a slot.
func (t *wordCount) long(s *wordSlot) []byte {
	n := binary.LittleEndian.Uint32(t.text[s.at-5:])
	return t.text[s.at-1 : s.at-1+n : s.at-1+n]
}

func (t *wordCount) grow() {
	old := t.slots
	t.slots = make([]wordSlot, max(1<<12, 2*len(old)))
	mask := uint64(len(t.slots) - 1)
	for _, s := range old {
		if s.count == 0 {
			continue
		}
		i := spread(s.key) & mask
		for t.slots[i].count != 0 {
			i = (i + 1) & mask
		}
		t.slots[i] = s
	}
}

// all yields every word with its count, in no order. The bytes of a word are those of
// the next one afterwards.
func (t *wordCount) all() iter.Seq2[[]byte, int32] {
	return func(yield func([]byte, int32) bool) {
		var buf [8]byte
		for i := range t.slots {
			s := &t.slots[i]
			if s.count == 0 {
				continue
			}
			w := buf[:]
			if s.at > 0 {
				w = t.long(s)
			} else {
				binary.LittleEndian.PutUint64(buf[:], s.key)
				w = w[:(bits.Len64(s.key)+7)/8]
			}
			if !yield(w, s.count) {
				return
			}
		}
	}
}
