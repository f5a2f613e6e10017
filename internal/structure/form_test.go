package structure_test

import (
	"testing"

	"continuo/internal/structure"
)

// TestForTranscriber: Rules of Unified English Braille 2013, 3.27; dots 6-3 in
// English Braille American Edition are from memory.
func TestForTranscriber(t *testing.T) {
	for text, want := range map[string]bool{
		"@.<a draw+ ( ! harb\\r@.>": true, ",'pict ,'": true, "@.": false, "! old f]ry": false, ",! f]ry": false, ",' x": false,
	} {
		if got := structure.ForTranscriber([]byte(text)); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// TestBullet: bullets of Rules of Unified English Braille 2013, 3.5 and 3.3.
func TestBullet(t *testing.T) {
	for text, want := range map[string]bool{
		"_4 milk": true, "\"9 milk": true, "99 milk": true, "$= milk": true, "_4": false, "milk": false, "\"9milk": false,
	} {
		if got := structure.Bullet([]byte(text)); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}
