// Command gen sets the demo's print texts as paper braille volumes, with
// liblouis' lou_translate. It runs in internal/demo (go generate) and writes
// into data; the demo itself needs nothing installed.
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	for _, h := range houses() {
		vols, err := set(h, "data")
		if err == nil {
			err = write(h, vols)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "gen: error:", err)
			os.Exit(1)
		}
	}
}

func houses() []*house { return []*house{bell(), baker(), weather()} }

// maxRounds is how often a title is set until its contents agree with its pages.
const maxRounds = 8

// set sets one title; data is the folder of the print texts.
func set(h *house, data string) ([]*volume, error) {
	t, err := readTitle(filepath.Join(data, h.text, "print.txt"))
	if err != nil {
		return nil, err
	}
	b := &press{house: h, t: t, tr: newTranslator(h.code)}
	var before []byte
	for range maxRounds {
		b.run()
		b.last = b.done
		news, err := b.tr.flush()
		if err != nil {
			return nil, err
		}
		var now []byte
		for _, v := range b.done {
			now = append(now, h.bytes(v)...)
		}
		if !news && bytes.Equal(now, before) {
			return b.done, nil
		}
		before = now
	}
	return nil, fmt.Errorf("%s: the contents do not settle in %d rounds", h.text, maxRounds)
}

// bytes returns the file of a volume.
func (h *house) bytes(v *volume) []byte {
	text := v.setter.bytes(h.eol)
	if h.upper {
		return bytes.ToUpper(text)
	}
	return text
}

func write(h *house, vols []*volume) error {
	if len(vols) != len(h.names) {
		return fmt.Errorf("%s: %d volumes, wanted %d", h.text, len(vols), len(h.names))
	}
	for i, v := range vols {
		if err := os.WriteFile(filepath.Join("data", h.text, h.names[i]), h.bytes(v), 0o666); err != nil {
			return err
		}
		fmt.Printf("%s: %d pages, print pages %s to %s\n", h.names[i], len(v.pages), v.from, v.to)
	}
	return nil
}
