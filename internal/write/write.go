// Package write holds what the writers of the formats share: the finished
// edition that each of them is given. A writer is a package of its own below
// this one; it works in memory, gives the same bytes for the same edition, and
// fails when it meets a kind of block that it does not know.
package write

import (
	"fmt"

	"continuo/internal/book"
	"continuo/internal/english"
	"continuo/internal/meta"
)

// Edition is a finished conversion, for the writers of other formats than
// Braille ASCII.
type Edition struct {
	Book    *book.Book
	Meta    meta.Title      // as given by a person; empty fields were not given
	Variant english.Variant // code that the book is read with, for print beside the cells
	Data    []byte          // the edition in Braille ASCII, CR LF at the line ends
	Starts  []int           // 1-based line of Data on which each block begins
	Width   int             // cells a line of Data; 0 one line a paragraph
	Words   english.Words   // structure words of the book's languages
	Title   int             // how many lines of the title page are the title itself, 0 unknown
	Name    string          // base name of the edition's files, without the ending
}

// Language is the language of the braille as BCP 47 with the script subtag
// Brai: that of the metadata, else English where the code is an English one.
func (e *Edition) Language() string {
	if e.Meta.Language == "" && e.Variant.Code != english.UnknownCode {
		return "en-Brai"
	}
	return meta.Brai(e.Meta.Language)
}

// Known is an error for the first block of a kind, form or part that the
// writers were not written for.
func Known(b *book.Book) error {
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		switch {
		case bl.Kind > book.Label:
			return fmt.Errorf("block %d: the kind %d is not known", i+1, bl.Kind)
		case bl.Form > book.Exercise:
			return fmt.Errorf("block %d: the form %d is not known", i+1, bl.Form)
		case bl.Part > book.BackMatter:
			return fmt.Errorf("block %d: the part %d is not known", i+1, bl.Part)
		}
	}
	return nil
}
