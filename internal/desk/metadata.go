package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/catalogue"
	"continuo/internal/lazy"
	"continuo/internal/meta"
	"continuo/internal/plaintext"
)

// A field is one value of a metadata file as the form has it.
type field struct {
	Key, Name, About string
	Value            string
	Many             bool // several values, a line each
	Plain            bool // the label says all
	Long             bool // one value of several lines
	Choices          []crumb
	Wrong            []string
	Offers           []offer
}

// offer is a value that was read in the volumes; the form takes it when its button
// is pressed. Number counts the offers of a title.
type offer struct {
	meta.Found
	Number int
}

// creatorRow is a part for one creator in the form.
type creatorRow struct {
	Number           int
	Name, Role, Sort string
	Wrong            [3]string // of name, role and sort
}

// metadataData is the form.
type metadataData struct {
	Key, File, Stamp string
	Fields           []*field
	Creators         []creatorRow
	CreatorOffers    []offer
	Comments         []string
	Wrong            []wrong // all that is wrong, with the field
	Taken            string
	NoOffers         string // why nothing is offered
}

// wrong is one fault of a form, with the id of its field.
type wrong struct{ ID, Label, Why string }

// fields are the keys of the file in the order of the form, with their labels;
// creators have a part of their own.
var fields = []field{
	{Key: "title", Name: "Title in print", Plain: true},
	{Key: "language", Name: "Language of the text"},
	{Key: "producers", Name: "Who made the braille", Many: true, Plain: true},
	{Key: "publisher", Name: "Publisher of this edition"},
	{Key: "identifiers", Name: "Identifiers of this edition", Many: true},
	{Key: "rights", Name: "Notice of rights", Long: true},
	{Key: "subjects", Name: "Subjects", Many: true, Plain: true},
	{Key: "description", Name: "Description: a few words on the book", Long: true, Plain: true},
	{Key: "complete", Name: "Is all of the work there", Plain: true, Choices: []crumb{{"", "not said"}, {"true", "yes"}, {"false", "no"}}},
	{Key: "dates.copyright", Name: "Year of the copyright, such as 1999", Plain: true},
	{Key: "dates.publication", Name: "Day of publication of this edition, such as 2026-01-31", Plain: true},
	{Key: "dates.transcription", Name: "When the braille volumes were made, such as 2004", Plain: true},
	{Key: "modified", Name: "Last changed"},
	{Key: "system", Name: "Braille systems, such as UEB grade2", Many: true},
	{Key: "source.identifier", Name: "Print edition: ISBN or other identifier"},
	{Key: "source.title", Name: "Print edition: title, if another", Plain: true},
	{Key: "source.publisher", Name: "Print edition: publisher", Plain: true},
	{Key: "source.date", Name: "Print edition: year", Plain: true},
	{Key: "source.edition", Name: "Print edition: which edition, in words", Plain: true},
}

// ID is the field's name in the page.
func (f *field) ID() string { return "f-" + strings.ReplaceAll(f.Key, ".", "-") }

// Described are the ids of what is said of the field.
func (f *field) Described() string {
	var ids []string
	if f.About != "" {
		ids = append(ids, f.ID()+"-about")
	}
	if len(f.Wrong) > 0 {
		ids = append(ids, f.ID()+"-wrong")
	}
	return strings.Join(ids, " ")
}

// values are the values of a title by key; lists have a line a value.
func values(t meta.Title) map[string]string {
	list := func(l []string) string { return strings.Join(l, "\n") }
	return map[string]string{"title": t.Title, "language": t.Language, "producers": list(t.Producers), "publisher": t.Publisher, "identifiers": list(t.Identifiers), "rights": t.Rights,
		"subjects": list(t.Subjects), "description": t.Description, "complete": t.Complete, "dates.copyright": t.Dates.Copyright, "dates.publication": t.Dates.Publication,
		"dates.transcription": t.Dates.Transcription, "modified": t.Modified, "system": list(t.Systems), "source.identifier": t.Source.Identifier, "source.title": t.Source.Title,
		"source.publisher": t.Source.Publisher, "source.date": t.Source.Date, "source.edition": t.Source.Edition}
}

// titleFrom is a title from such values.
func titleFrom(v map[string]string, creators []meta.Creator) meta.Title {
	list := func(key string) (out []string) {
		for _, l := range strings.Split(v[key], "\n") {
			if l = strings.TrimSpace(l); l != "" {
				out = append(out, l)
			}
		}
		return out
	}
	return meta.Title{Title: v["title"], Creators: creators, Identifiers: list("identifiers"), Language: v["language"], Publisher: v["publisher"], Producers: list("producers"), Rights: v["rights"],
		Description: v["description"], Subjects: list("subjects"), Dates: meta.Dates{Copyright: v["dates.copyright"], Publication: v["dates.publication"], Transcription: v["dates.transcription"]},
		Modified: v["modified"], Complete: v["complete"], Systems: list("system"),
		Source: meta.Source{Identifier: v["source.identifier"], Title: v["source.title"], Publisher: v["source.publisher"], Date: v["source.date"], Edition: v["source.edition"]}}
}

// metadataFile reads the metadata file of a title; without one it is empty.
func metadataFile(x *catalogue.Detail) (path string, text []byte, t meta.Title, err error) {
	path = x.Sidecar + ".toml"
	if text, err = plaintext.ReadFile(path); errors.Is(err, fs.ErrNotExist) {
		return path, nil, meta.Title{}, nil
	}
	if err == nil {
		t, err = meta.Load(path)
	}
	if err != nil {
		err = &problem{http.StatusConflict, err.Error(), "mend the file with a text editor; docs/usage.md lists the keys"}
	}
	return path, text, t, err
}

func (d *Desk) metadata(r *request) (*view, error) {
	x, err := d.show(r)
	if err != nil {
		return nil, err
	}
	path, text, t, err := metadataFile(x)
	if err != nil {
		return nil, err
	}
	data := &metadataData{Key: x.Key, File: path, Stamp: sum(text), Comments: meta.Comments(text)}
	data.fill(values(t), t.Creators)
	return d.metadataView(r, x, data), nil
}

// metadataView puts the offers beside the fields.
func (d *Desk) metadataView(r *request, x *catalogue.Detail, data *metadataData) *view {
	offers, why := d.offers(r, x)
	data.NoOffers = why
	for _, o := range offers {
		if o.Key == "creator" {
			data.CreatorOffers = append(data.CreatorOffers, o)
			continue
		}
		for _, f := range data.Fields {
			if f.Key == o.Key && !slices.Contains(strings.Split(f.Value, "\n"), o.Value) {
				f.Offers = append(f.Offers, o)
			}
		}
	}
	data.CreatorOffers = slices.DeleteFunc(data.CreatorOffers, func(o offer) bool {
		return slices.ContainsFunc(data.Creators, func(c creatorRow) bool { return c.Name == o.Value })
	})
	return about(x, &view{Page: "metadata", Title: "Metadata", Trail: trail(x), Data: data})
}

// offers are what the volumes say of the title, or why nothing is known.
func (d *Desk) offers(r *request, x *catalogue.Detail) ([]offer, string) {
	t, err := d.open(r.Context(), x)
	if err != nil {
		return nil, err.Error()
	}
	t.offered.Do(func() {
		list, err := d.o.Shared.Offers(t.files, t.res.Survey, t.settings.Make)
		if err != nil {
			t.noOffers = err.Error()
		}
		for i, f := range list {
			t.offers = append(t.offers, offer{f, i})
		}
	})
	return t.offers, t.noOffers
}

// fill makes the fields of values.
func (d *metadataData) fill(v map[string]string, creators []meta.Creator) {
	for i := range fields {
		f := fields[i]
		if f.Value = v[f.Key]; !f.Plain {
			f.About = meta.About(f.Key)
		}
		d.Fields = append(d.Fields, &f)
	}
	for _, c := range creators {
		d.Creators = append(d.Creators, creatorRow{Number: len(d.Creators) + 1, Name: c.Name, Role: c.Role, Sort: c.Sort})
	}
	for range 2 {
		d.Creators = append(d.Creators, creatorRow{Number: len(d.Creators) + 1})
	}
}

// maxCreators is how many parts for creators a form may send.
const maxCreators = 200

// sentMetadata reads the form.
func sentMetadata(form url.Values) (map[string]string, []meta.Creator) {
	v := map[string]string{}
	for _, f := range fields {
		v[f.Key] = strings.TrimSpace(strings.ReplaceAll(form.Get(f.Key), "\r\n", "\n"))
	}
	var creators []meta.Creator
	for i := 1; i <= maxCreators && form.Has(fmt.Sprintf("creator%d.name", i)); i++ {
		at := func(key string) string { return strings.TrimSpace(form.Get(fmt.Sprintf("creator%d.%s", i, key))) }
		if c := (meta.Creator{Name: at("name"), Role: at("role"), Sort: at("sort")}); c != (meta.Creator{}) {
			creators = append(creators, c)
		}
	}
	return v, creators
}

// saveMetadata writes the file, or shows the form again: with an offer that was
// taken into it, or with what is wrong.
func (d *Desk) saveMetadata(r *request) (string, error) {
	x, err := d.show(r)
	if err != nil {
		return "", err
	}
	path, text, _, err := metadataFile(x)
	if err != nil {
		return "", err
	}
	v, creators := sentMetadata(r.PostForm)
	data := &metadataData{Key: x.Key, File: path, Stamp: r.PostForm.Get("stamp"), Comments: meta.Comments(text)}
	if r.PostForm.Has("take") {
		creators = d.take(r, x, data, v, creators)
		data.fill(v, creators)
		return "", &again{d.metadataView(r, x, data)}
	}
	t := titleFrom(v, creators)
	data.fill(v, creators)
	data.judge(t.Problems())
	if sum(text) != data.Stamp {
		data.Wrong = append(data.Wrong, wrong{"f-title", "The file", "it was changed while the form was open; compare, and save again"})
		data.Stamp = sum(text)
	}
	if len(data.Wrong) > 0 {
		return "", &again{d.metadataView(r, x, data)}
	}
	if err := writeMetadata(path, t, data.Comments); err != nil {
		return "", err
	}
	if err := d.cat.Log(r.Context(), x.Key, r.prefs.Who, "metadata", "written: "+path); err != nil {
		return "", err
	}
	return titlePath(x.Key) + "/metadata?done=metadata", nil
}

// take puts an offer into the form.
func (d *Desk) take(r *request, x *catalogue.Detail, data *metadataData, v map[string]string, creators []meta.Creator) []meta.Creator {
	offers, _ := d.offers(r, x)
	n, err := strconv.Atoi(r.PostForm.Get("take"))
	if err != nil || n < 0 || n >= len(offers) {
		return creators
	}
	o := offers[n]
	data.Taken = o.Value
	if o.Key == "creator" {
		return append(creators, meta.Creator{Name: o.Value})
	}
	if i := slices.IndexFunc(fields, func(f field) bool { return f.Key == o.Key }); i >= 0 && fields[i].Many && v[o.Key] != "" {
		v[o.Key] += "\n" + o.Value
	} else {
		v[o.Key] = o.Value
	}
	return creators
}

// writeMetadata writes the file whole, with the comments that a person had in it.
func writeMetadata(path string, t meta.Title, comments []string) error {
	text := t.Normal().TOML()
	if len(comments) > 0 {
		text = append(text, "\n"+strings.Join(comments, "\n")+"\n"...)
	}
	back, err := meta.Parse(path, text)
	if err != nil || !bytes.Equal(back.TOML(), t.Normal().TOML()) {
		return &problem{http.StatusInternalServerError, "internal fault: the metadata would not be read as they are; nothing was written", "please report it"}
	}
	if err := atomicfile.Write(path, text); err != nil {
		return &problem{http.StatusConflict, "the file cannot be written: " + err.Error(), "nothing was changed"}
	}
	return nil
}

// problemKey parts the place of a fault: creator[1].role, subjects[0], title.
var problemKey = lazy.Regexp(`^([a-z.]+?)(?:\[([0-9]+)\])?(?:\.(name|role|sort))?$`)

// judge puts faults beside their fields.
func (d *metadataData) judge(list []meta.Problem) {
	for _, p := range list {
		m := problemKey().FindStringSubmatch(p.Key)
		if m == nil {
			d.Wrong = append(d.Wrong, wrong{"f-title", p.Key, p.Why})
			continue
		}
		n, _ := strconv.Atoi(m[2])
		if m[1] == "creator" && n < len(d.Creators) {
			at := slices.Index([]string{"name", "role", "sort"}, m[3])
			d.Creators[n].Wrong[max(at, 0)] = p.Why
			d.Wrong = append(d.Wrong, wrong{fmt.Sprintf("creator%d-%s", n+1, m[3]), fmt.Sprintf("Creator %d, %s", n+1, m[3]), p.Why})
			continue
		}
		for _, f := range d.Fields {
			if f.Key == m[1] {
				f.Wrong = append(f.Wrong, p.Why)
				d.Wrong = append(d.Wrong, wrong{f.ID(), f.Name, p.Why})
			}
		}
	}
}

// CreatorFields are the three fields of a part for a creator.
func (d *metadataData) CreatorFields(c creatorRow) []field {
	out := []field{{Key: "name", Name: "Name, as it is printed", Value: c.Name}, {Key: "role", Name: "Role, a code of three letters: aut author, edt editor, trl translator", Value: c.Role},
		{Key: "sort", Name: "Name as it is sorted (may be empty)", Value: c.Sort}}
	for i, why := range c.Wrong {
		if why != "" {
			out[i].Wrong = []string{why}
		}
	}
	return out
}
