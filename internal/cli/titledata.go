package cli

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/meta"
	"continuo/internal/source"
)

// titleFlags are the metadata flags of make as they were given.
type titleFlags struct {
	file string
	meta.Title
	creators []string
}

// add puts the flags on a command.
func (t *titleFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&t.file, "metadata", "", "`FILE` metadata of the title; without it title.toml beside the volumes, if there is one. The flags below go before it")
	flags.StringVar(&t.Title.Title, "title", "", "`TEXT` title in print")
	flags.StringArrayVar(&t.creators, "creator", nil, "`NAME` who made the work, with a role if wanted: \"Ann Lee (trl)\"; may be given several times, and so may identifier, producer and subject")
	flags.StringArrayVar(&t.Identifiers, "identifier", nil, "`ID` of this edition, a URN or URL")
	flags.StringVar(&t.Language, "language", "", "`TAG` language of the text: en, en-GB, cy")
	flags.StringArrayVar(&t.Producers, "producer", nil, "`NAME` who made the braille")
	flags.StringVar(&t.Publisher, "publisher", "", "`NAME` who passes this edition on")
	flags.StringVar(&t.Rights, "rights", "", "`TEXT` notice of rights")
	flags.StringArrayVar(&t.Subjects, "subject", nil, "`TEXT` what the book is about")
	flags.StringVar(&t.Dates.Copyright, "copyright-date", "", "`DATE` of the copyright in print, such as 1999")
	flags.StringVar(&t.Dates.Publication, "publication-date", "", "`DATE` of this edition, such as 2026-01-31")
	flags.StringVar(&t.Dates.Transcription, "transcription-date", "", "`DATE` when the braille volumes were made")
	flags.StringVar(&t.Complete, "complete", "", "`ANSWER` whether the braille has all of the work: true or false")
	complete(cmd, "complete", "true", "false")
	flags.StringVar(&t.Source.Identifier, "source", "", "`ID` of the print edition: an ISBN, or a URN or URL")
}

// withRole reads "Ann Lee (trl)".
func withRole(s string) meta.Creator {
	s = strings.TrimSpace(s)
	if i := strings.LastIndexByte(s, '('); i > 0 && strings.HasSuffix(s, ")") && len(s)-i == 5 {
		return meta.Creator{Name: strings.TrimSpace(s[:i]), Role: s[i+1 : len(s)-1]}
	}
	return meta.Creator{Name: s}
}

// load reads the metadata file and puts the flags over it.
func (t *titleFlags) load(args []string) (meta.Title, string, error) {
	t.Creators = nil
	for _, c := range t.creators {
		t.Creators = append(t.Creators, withRole(c))
	}
	if bad := t.Problems(); len(bad) > 0 {
		return meta.Title{}, "", wrong("continuo help make lists the flags", "metadata in flags: %s: %s", bad[0].Key, bad[0].Why)
	}
	from := t.file
	if from == "" {
		from = titleFile(args)
		if _, err := os.Stat(from); from != "" && err != nil {
			from = ""
		}
	}
	if from == "" {
		return t.Normal(), "", nil
	}
	base, err := meta.Load(from)
	if err != nil {
		return base, from, refuse("docs/usage.md lists the keys; continuo metadata SOURCE... offers a file to fill in", "%s", err)
	}
	return base.Over(t.Normal()), from, nil
}

// titleFile is where the metadata of a title is looked for: title.toml in the
// folder of the volumes; of a zip, beside it under its name.
func titleFile(args []string) string {
	if len(args) == 0 {
		return ""
	}
	p := args[0]
	info, err := os.Stat(p)
	switch {
	case err != nil:
		return ""
	case info.IsDir():
		return filepath.Join(p, meta.FileName)
	case strings.EqualFold(filepath.Ext(p), ".zip"):
		return strings.TrimSuffix(p, filepath.Ext(p)) + "." + meta.FileName
	}
	return filepath.Join(filepath.Dir(p), meta.FileName)
}

// metadataLines tell which metadata goes into the files of other formats.
func metadataLines(x extra) []string {
	var out []string
	line := func(label, value string) {
		if value != "" {
			out = append(out, label+": "+oneLine(value))
		}
	}
	line("metadata file", source.Quote(filepath.Base(x.from)))
	if x.from == "" {
		out = nil
	}
	line("metadata, title", x.title.Title)
	line("metadata, creators", x.title.ByRole())
	line("metadata, language", x.title.Language)
	line("metadata, copyright", x.title.Dates.Copyright)
	line("metadata, producers", strings.Join(x.title.Producers, ", "))
	return out
}
