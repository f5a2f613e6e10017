package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"continuo/internal/atomicfile"
	"continuo/internal/convert"
	"continuo/internal/lazy"
	"continuo/internal/plaintext"
	"continuo/internal/profile"
)

// profileFolder is the folder of the house's profiles in that of the catalogue.
const profileFolder = "profiles"

// profileEntry is one profile that the desk shows. Files can be edited; those that
// come with the program can be copied.
type profileEntry struct {
	ID, Name, Path string // Path is "" for one that comes with the program
	About          string
	InForce        bool // the next run uses it
}

// Address is the page of the profile.
func (e profileEntry) Address() string { return "/profile/" + e.ID }

// profilesData is the list.
type profilesData struct {
	List   []profileEntry
	Folder string
}

// profiles lists the profiles: those that come with the program, those in the
// catalogue's folder, and the file that runs use.
func (d *Desk) profiles(r *request) ([]profileEntry, error) {
	inForce, err := d.profileInForce(r)
	if err != nil {
		return nil, err
	}
	var out []profileEntry
	for _, name := range profile.Names() {
		text, _ := profile.Text(name)
		first, _, _ := strings.Cut(string(text), "\n")
		out = append(out, profileEntry{ID: name, Name: name, About: strings.TrimRight(strings.TrimLeft(first, "# "), ". \r"), InForce: inForce == name})
	}
	files, _ := filepath.Glob(filepath.Join(d.profileFolder(), "*.toml"))
	if inForce != "" && filepath.IsAbs(inForce) && !slices.ContainsFunc(files, func(f string) bool { return same(f, inForce) }) {
		files = append(files, inForce)
	}
	for i, f := range files {
		out = append(out, profileEntry{ID: "file-" + strconv.Itoa(i+1) + "-" + slug(f), Name: filepath.Base(f), Path: f, About: "a file of the house", InForce: same(f, inForce)})
	}
	return out, nil
}

func same(a, b string) bool {
	x, err1 := filepath.Abs(a)
	y, err2 := filepath.Abs(b)
	return b != "" && err1 == nil && err2 == nil && x == y
}

var notSlug = lazy.Regexp(`[^a-z0-9]+`)

func slug(path string) string {
	s := notSlug().ReplaceAllString(strings.ToLower(strings.TrimSuffix(filepath.Base(path), ".toml")), "-")
	return s[:min(len(s), 40)]
}

func (d *Desk) profileFolder() string {
	home, err := filepath.Abs(d.cat.Folder())
	if err != nil {
		home = d.cat.Folder()
	}
	return filepath.Join(home, profileFolder)
}

// profileInForce is the name or file that the next run uses, "" for none.
func (d *Desk) profileInForce(r *request) (string, error) {
	text, err := d.cat.Setting(r.Context(), "run")
	if err != nil || text == "" {
		return "", err
	}
	var last struct{ Profile string }
	err = json.Unmarshal([]byte(text), &last)
	return last.Profile, err
}

func (d *Desk) profilesPage(r *request) (*view, error) {
	list, err := d.profiles(r)
	if err != nil {
		return nil, err
	}
	return &view{Page: "profiles", Title: "Profiles: how the house wants its editions", Data: &profilesData{list, d.profileFolder()}}, nil
}

// profileData is the page of one profile.
type profileData struct {
	profileEntry
	Text    string
	Rows    int // of the text area
	Stamp   string
	Wrong   []profileFault
	Sent    bool   // the text is one that was sent, not that of the file
	CopyAs  string // name of a copy that cannot be
	CopyWhy string
}

// profileFault is one thing that is wrong with a text; Line is 0 for the whole,
// Content what stands on it.
type profileFault struct {
	Line    int
	Why     string
	Content string
}

// profileLine is a line of a text with what is wrong with it.
type profileLine struct {
	Text string
	Why  []string
}

// Numbered are the lines of the text with the faults at theirs.
func (p *profileData) Numbered() []profileLine {
	var out []profileLine
	for _, l := range strings.Split(strings.TrimRight(p.Text, "\n"), "\n") {
		out = append(out, profileLine{Text: l})
	}
	for _, f := range p.Wrong {
		if f.Line > 0 && f.Line <= len(out) {
			out[f.Line-1].Why = append(out[f.Line-1].Why, f.Why)
		}
	}
	return out
}

func (d *Desk) theProfile(r *request) (*profileData, error) {
	list, err := d.profiles(r)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(list, func(e profileEntry) bool { return e.ID == r.PathValue("id") })
	if i < 0 {
		return nil, &problem{http.StatusNotFound, "there is no such profile", "the page of profiles lists them"}
	}
	data := &profileData{profileEntry: list[i]}
	text, _ := profile.Text(data.Name)
	if data.Path != "" {
		if text, err = plaintext.ReadFile(data.Path); err != nil {
			return nil, &problem{http.StatusConflict, err.Error(), "is the disk there on which the file stands"}
		}
	}
	if len(text) > maxBody/2 {
		return nil, &problem{http.StatusConflict, "the file is too large to be edited here", "edit it with a text editor; continuo profile show checks it"}
	}
	data.put(string(text))
	data.Stamp = sum(text)
	if data.Path != "" {
		data.judge(d.checkProfile(data.Path, text))
	}
	return data, nil
}

func (p *profileData) put(text string) {
	p.Text, p.Rows = text, min(max(strings.Count(text, "\n")+2, 8), 40)
}

// judge puts what is wrong with the text on the page.
func (p *profileData) judge(list []*profile.Error) {
	p.Wrong = nil
	lines := strings.Split(p.Text, "\n")
	for _, e := range list {
		f := profileFault{Line: e.Line, Why: e.Why}
		if e.Line > 0 && e.Line <= len(lines) {
			f.Content = strings.TrimSpace(lines[e.Line-1])
		}
		p.Wrong = append(p.Wrong, f)
	}
}

func (p *profileData) view() *view {
	return &view{Page: "profile", Title: "Profile " + p.Name, Trail: []crumb{{"/profiles", "Profiles"}}, Data: p}
}

func (d *Desk) profilePage(r *request) (*view, error) {
	data, err := d.theProfile(r)
	if err != nil {
		return nil, err
	}
	return data.view(), nil
}

// checkProfile lists what is wrong with a text as a profile; when nothing is, what a
// run finds wrong, which reads structure words of another language too.
func (d *Desk) checkProfile(name string, text []byte) []*profile.Error {
	whole := func(why string) []*profile.Error { return []*profile.Error{{File: name, Why: why}} }
	if !utf8.Valid(text) {
		return whole("the text is not UTF-8")
	}
	if list := profile.Check(name, text); len(list) > 0 {
		return list
	}
	err := d.usable(text)
	var e *profile.Error
	switch {
	case errors.As(err, &e):
		return []*profile.Error{e}
	case err != nil:
		return whole(said(err))
	}
	return nil
}

// usable says whether a run can use a text as its profile.
func (d *Desk) usable(text []byte) error {
	f, err := os.CreateTemp("", "profile-*.toml")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(text)
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	set := convert.Defaults()
	run, _ := json.Marshal(map[string]any{"Width": -1, "Blank": set.Blank, "Markers": set.EndMarkers, "Rejoin": set.Rejoin, "Profile": f.Name()}) // plain values; it cannot fail
	_, err = d.o.Settings(string(run))
	return err
}

// saveProfile stores the text of a file, whole or not at all; makes a copy; or says
// that runs use it from now on.
func (d *Desk) saveProfile(r *request) (string, error) {
	data, err := d.theProfile(r)
	if err != nil {
		return "", err
	}
	switch f := r.PostForm; {
	case f.Has("copy"):
		return d.copyProfile(r, data, strings.TrimSpace(f.Get("name")))
	case f.Has("use"):
		return d.useProfile(r, data)
	case data.Path == "":
		return "", bad("this profile comes with the program and cannot be changed", "make a copy of it")
	}
	text := strings.ReplaceAll(r.PostForm.Get("text"), "\r\n", "\n")
	before := data.Stamp
	data.put(text)
	data.Sent = true
	data.judge(d.checkProfile(data.Path, []byte(text)))
	if len(data.Wrong) == 0 && before != r.PostForm.Get("stamp") {
		data.Wrong = []profileFault{{Why: "the file was changed while it was open here; compare, and save again"}}
	}
	if len(data.Wrong) > 0 {
		return "", &again{data.view()}
	}
	if err := atomicfile.Write(data.Path, []byte(text)); err != nil {
		return "", &problem{http.StatusConflict, "the file cannot be written: " + err.Error(), "nothing was changed"}
	}
	if err := d.cat.Log(r.Context(), "", r.prefs.Who, "profile", "written: "+data.Path); err != nil {
		return "", err
	}
	return data.Address() + "?done=profile", nil
}

// copyName is a name that a file may have everywhere.
var copyName = lazy.Regexp(`^[a-z0-9][a-z0-9-]{0,39}$`)

// copyProfile makes a file of the house from a profile.
func (d *Desk) copyProfile(r *request, data *profileData, name string) (string, error) {
	path := filepath.Join(d.profileFolder(), name+".toml")
	data.CopyAs = name
	switch _, err := os.Lstat(path); {
	case !copyName().MatchString(name) || slices.Contains(profile.Names(), name) || reserved().MatchString(name):
		data.CopyWhy = "the name is up to 40 small letters, digits and hyphens, and not that of another profile"
	case err == nil:
		data.CopyWhy = "there is a profile of this name already"
	case !errors.Is(err, fs.ErrNotExist):
		data.CopyWhy = err.Error()
	}
	if data.CopyWhy != "" {
		return "", &again{data.view()}
	}
	if err := os.MkdirAll(d.profileFolder(), 0o755); err != nil {
		return "", &problem{http.StatusConflict, err.Error(), "nothing was changed"}
	}
	text := ownName().ReplaceAllString(data.Text, "name = "+strconv.Quote(name))
	if err := atomicfile.Write(path, []byte(text)); err != nil {
		return "", &problem{http.StatusConflict, "the file cannot be written: " + err.Error(), "nothing was changed"}
	}
	list, err := d.profiles(r)
	if err != nil {
		return "", err
	}
	i := slices.IndexFunc(list, func(e profileEntry) bool { return e.Path == path })
	if i < 0 {
		return "/profiles?done=copied", nil
	}
	return list[i].Address() + "?done=copied", nil
}

// ownName is the line of a profile that says its name.
var ownName = lazy.Regexp(`(?m)^name[ \t]*=.*$`)

// reserved are names that Windows keeps for devices.
var reserved = lazy.Regexp(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

// useProfile says that the next run uses a profile.
func (d *Desk) useProfile(r *request, data *profileData) (string, error) {
	text, err := d.cat.Setting(r.Context(), "run")
	if err != nil {
		return "", err
	}
	if text == "" {
		return "", &problem{http.StatusConflict, "there was no run yet whose settings could be changed", "continuo archive run FOLDER --profile FILE makes the first one"}
	}
	last := map[string]json.RawMessage{}
	if err := json.Unmarshal([]byte(text), &last); err != nil {
		return "", fmt.Errorf("the settings of the last run: %w", err)
	}
	name := data.Name
	if data.Path != "" {
		if name, err = filepath.Abs(data.Path); err != nil {
			return "", err
		}
	}
	last["Profile"], _ = json.Marshal(name) // a string; it cannot fail
	out, _ := json.Marshal(last)            // valid JSON in it; it cannot fail
	if _, err := d.o.Settings(string(out)); err != nil {
		return "", &problem{http.StatusConflict, "this profile cannot be used: " + err.Error(), "mend it first"}
	}
	if err := d.cat.Set(r.Context(), "run", string(out)); err != nil {
		return "", err
	}
	if err := d.cat.Log(r.Context(), "", r.prefs.Who, "profile", "from the next run on: "+name); err != nil {
		return "", err
	}
	return data.Address() + "?done=used", nil
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
