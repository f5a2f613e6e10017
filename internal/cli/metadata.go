package cli

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/lazy"
	"continuo/internal/meta"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/structure"
)

func metadataCommand(c console) *cobra.Command {
	var output, house string
	var force bool
	cmd := &cobra.Command{
		Use:   "metadata SOURCE...",
		Short: "a metadata file for a title, to fill in",
		Long: `Reads the title page and the pages before the text, and writes title.toml beside the volumes: every key that formats ask for, with what was found as its value.
Nothing in the file is in force until a person has compared it with the book and taken the # from the line. make reads it from there, and checks every key.`,
		Example: "continuo metadata mybook/\n  writes mybook/title.toml\ncontinuo metadata mybook.zip -o pond.toml",
		Args:    atLeast(1, "at least one SOURCE"),
		RunE: func(_ *cobra.Command, args []string) error {
			opt := convert.Defaults()
			if err := useProfile(&opt, house); err != nil {
				return err
			}
			return offerMetadata(c, args, output, force, opt)
		},
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "`FILE` where the metadata goes; without it title.toml beside the volumes")
	cmd.Flags().BoolVar(&force, "force", false, "write over a metadata file that is there")
	cmd.Flags().StringVar(&house, "profile", "", "`FILE` house settings, for structure words of another language")
	completeOrFile(cmd, "profile", profile.Names()...)
	return cmd
}

func offerMetadata(c console, args []string, output string, force bool, opt convert.Options) error {
	work := c.begin("reading the sources")
	defer work.end()
	files, _, err := openSources(args)
	if err != nil {
		return err
	}
	if output == "" {
		output = titleFile(args)
	}
	if err := mayWrite(output, files, args, force); err != nil {
		return err
	}
	survey, err := convert.Look(files, opt)
	if err != nil {
		return err
	}
	found, err := metadataOffers(files, survey, opt)
	if err != nil {
		return err
	}
	if err := atomicfile.Write(output, meta.Offer(found)); err != nil {
		return refuse("nothing was written; give -o FILE", "%s", err)
	}
	c.say("done: metadata to fill in")
	c.say("metadata: %s", output)
	for _, f := range found {
		c.say("to confirm, %s, %s: %s", f.Key, f.Where, f.Value)
	}
	if len(found) == 0 {
		c.say("found in the volumes: nothing")
	}
	c.say("nothing in it is in force until the # is taken from its line")
	return nil
}

// mayWrite refuses to write over a source, and over what is there.
func mayWrite(p string, files []*source.File, args []string, force bool) error {
	inputs := append([]string(nil), args...)
	for _, f := range files {
		inputs = append(inputs, f.Path)
	}
	if err := atomicfile.Guard([]string{p}, inputs); err != nil {
		return refuse("choose another name with -o FILE", "%s", err)
	}
	if _, err := os.Lstat(p); err == nil && !force {
		return refuse("choose another name with -o FILE, or give --force to write over it", "%s exists", source.Quote(p))
	}
	return nil
}

// foundIn is what the pages before the text say, in print, for a person to
// confirm.
func foundIn(t convert.TitleSurvey, print bookInPrint) []meta.Found {
	v := t.Detection.Best()
	if v.Code == english.UnknownCode {
		v.Code = english.UEB
	}
	var out []meta.Found
	add := func(key, value, where string) {
		f := meta.Found{Key: key, Value: oneLine(value), Where: where}
		for _, x := range out {
			if x.Key == key && x.Value == f.Value {
				return
			}
		}
		if f.Value != "" && !strings.ContainsRune(f.Value, unreadable) {
			out = append(out, f)
		}
	}
	for _, vol := range t.Volumes {
		for _, x := range print[vol.File] {
			carried(x.v.File, add)
		}
	}
	if name := english.Read([]byte(t.Title), v); t.Title != "" {
		add("title", name, "read on the title page")
	}
	author := english.Read([]byte(t.Author), v)
	add("creator", strings.TrimSpace(byWord().ReplaceAllString(oneLine(author), "")), "read on the title page; the role is for you to give")
	for _, vol := range t.Volumes {
		for _, x := range print[vol.File] {
			frontFacts(x.v, v, add)
		}
	}
	return out
}

// unreadable stands before cells that could not be read to print.
const unreadable = '⟦'

var (
	byWord = lazy.Regexp(`(?i)^by\b:?`)
	year   = lazy.Regexp(`\b(1[4-9]|20)[0-9][0-9]\b`)
)

// frontFacts reads the lines before the text whose first words say what they
// are: copyright, ISBN, who published and who transcribed.
func frontFacts(v *structure.Volume, code english.Variant, add func(key, value, where string)) {
	for i := range v.Units {
		u := &v.Units[i]
		if u.Page >= v.BodyPage && i >= v.Title[1] {
			return
		}
		p, ok := v.Words.Prefix(u.Text)
		line := oneLine(english.Read(u.Text, code))
		page, n := v.File.Place(int(u.Line))
		where := fmt.Sprintf("read in %s page %d line %d", v.File.Name, page, n)
		if id, isbn := meta.ISBN(line); isbn {
			add("source.identifier", id, where)
		}
		if !ok {
			continue
		}
		tail := oneLine(english.Read(p.Tail, code) + " " + nextLine(v, i, code))
		switch p.ID {
		case english.Copyright:
			add("dates.copyright", year().FindString(line), where)
			add("rights", line, where)
		case english.AllRights:
			add("rights", line, where)
		case english.FirstPublished:
			add("source.date", year().FindString(line), where)
		case english.PublishedBy:
			add("source.publisher", tail, where)
		case english.TranscribedBy, english.ProducedBy:
			add("producers", strings.TrimLeft(tail, ": "), where)
		}
	}
}

// nextLine is the line after unit i in print, when it may go on it.
func nextLine(v *structure.Volume, i int, code english.Variant) string {
	if i++; i >= len(v.Units) || v.Units[i].Blanks > 0 || v.Units[i].PageTop || v.Units[i].Rule {
		return ""
	}
	if _, ok := v.Words.Prefix(v.Units[i].Text); ok {
		return ""
	}
	return english.Read(v.Units[i].Text, code)
}

// carried is what a source file says of itself in Dublin Core.
func carried(f *source.File, add func(key, value, where string)) {
	keys := map[string]string{"title": "title", "creator": "creator", "publisher": "publisher", "rights": "rights", "subject": "subjects",
		"description": "description", "source": "source.identifier"}
	for _, a := range f.About {
		if key := keys[a.Name]; key != "" {
			add(key, a.Value, "given in "+f.Name)
		}
	}
}
