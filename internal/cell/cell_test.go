package cell

import "testing"

// The pairs are from Rules of Unified English Braille 2013, 1.1.2 (Braille
// ASCII) and the Unicode chart of U+2800: dots numbered from bit 0.
func TestOrder(t *testing.T) {
	dots := func(ds ...int) (b byte) {
		for _, d := range ds {
			b |= 1 << (d - 1)
		}
		return
	}
	for c, d := range map[byte]byte{
		'a': dots(1), 'b': dots(1, 2), 'z': dots(1, 3, 5, 6), 'w': dots(2, 4, 5, 6), '=': dots(1, 2, 3, 4, 5, 6),
		'#': dots(3, 4, 5, 6), '-': dots(3, 6), '"': dots(5), ';': dots(5, 6), ',': dots(6), '7': dots(2, 3, 5, 6), 'g': dots(1, 2, 4, 5),
		'3': dots(2, 5), '1': dots(2), '@': dots(4), '^': dots(4, 5), '_': dots(4, 5, 6), '.': dots(4, 6), '!': dots(2, 3, 4, 6),
		'&': dots(1, 2, 3, 4, 6), '(': dots(1, 2, 3, 5, 6), ')': dots(2, 3, 4, 5, 6), '\\': dots(1, 2, 5, 6), '[': dots(2, 4, 6), ']': dots(1, 2, 4, 5, 6),
		'$': dots(1, 2, 4, 6), '%': dots(1, 4, 6), '?': dots(1, 4, 5, 6), ':': dots(1, 5, 6), '*': dots(1, 6), '<': dots(1, 2, 6), '>': dots(3, 4, 5),
		'+': dots(3, 4, 6), '/': dots(3, 4), '\'': dots(3), '0': dots(3, 5, 6), '9': dots(3, 5), '8': dots(2, 3, 6), '6': dots(2, 3, 5), '5': dots(2, 6), '4': dots(2, 5, 6), '2': dots(2, 3),
	} {
		if Dots(c) != d {
			t.Errorf("Dots(%q) = %06b, want %06b", c, Dots(c), d)
		}
		if FromDots(d) != c {
			t.Errorf("FromDots(%06b) = %q, want %q", d, FromDots(d), c)
		}
	}
	seen := map[byte]bool{}
	for d := byte(0); d < 64; d++ {
		c := FromDots(d)
		if seen[c] {
			t.Fatalf("%q stands for two patterns", c)
		}
		seen[c] = true
		if r, ok := FromRune(Rune(c)); !ok || r != c {
			t.Errorf("rune of %q does not come back", c)
		}
	}
}

func TestFold(t *testing.T) {
	for raw, want := range map[byte]byte{'A': 'a', 'q': 'q', '`': '@', '{': '[', '|': '\\', '}': ']', '~': '^', 0x7F: '_', '_': '_', ' ': ' '} {
		if c, ok := Fold(raw); !ok || c != want {
			t.Errorf("Fold(%q) = %q %v, want %q", raw, c, ok, want)
		}
	}
	n := 0
	for b := 0; b < 256; b++ {
		if _, ok := Fold(byte(b)); ok {
			n++
		}
	}
	if n != 64+26+6 {
		t.Errorf("%d bytes are cells, want 96", n)
	}
}
