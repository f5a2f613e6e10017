package testkit

import (
	"os"
	"path/filepath"
	"strings"
)

// Dialogue returns The Adventures of Tom Sawyer (Mark Twain, 1876; test data of the Go module
// CorpusModule), a novel of a wholly different hand than those of Texts: most of its paragraphs are
// speech, down to a word.
func Dialogue() ([]Text, error) {
	b, err := os.ReadFile(filepath.Join(moduleCache(), filepath.FromSlash(CorpusModule), "testdata", "twain.txt"))
	if err != nil {
		return nil, Missing{"the Go module " + CorpusModule}
	}
	t := Text{Name: "novel of dialogue"}
	for block := range strings.SplitSeq(strings.ReplaceAll(string(b), "\r", ""), "\n\n") {
		lines := strings.Split(strings.Trim(block, "\n"), "\n")
		head, text := strings.TrimSpace(lines[0]), clean(strings.Join(lines, " "))
		switch {
		case chapterLine.MatchString(head):
			t.Units = append(t.Units, Unit{Heading, []string{head}})
		case len(t.Units) == 0 || strings.HasPrefix(block, "   "): // before the first chapter; letters and inscriptions
		case text != "":
			t.Units = append(t.Units, Unit{Para, []string{text}})
		}
	}
	return []Text{t}, nil
}
