package testkit

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// The validators of EPUB that the tests run. EPUBCheck is Debian's package
// epubcheck (4.2.6, W3C and DAISY); epubcheck-ts and Ace by DAISY come from npm
// into .cache/npm of the project, with Debian's Chromium:
//
//	npm install --prefix .cache/npm --ignore-scripts @likecoin/epubcheck-ts@0.7.0 @daisy/ace-cli@1.4.6
//
// None of them knows eBraille; what they cannot know is taken off what they say,
// message by message, and is listed in known.

// known are messages that every publication that follows eBraille 1.0 draws:
// its five required properties, the page break source of EPUB Accessibility
// Techniques 1.1 (EPUBCheck 4.2.6 is older), and its file names.
var known = []struct{ id, text string }{
	{"OPF-027", `Undefined property: "a11y:brailleCellType"`},
	{"OPF-027", `Undefined property: "a11y:brailleSystem"`},
	{"OPF-027", `Undefined property: "a11y:completeTranscription"`},
	{"OPF-027", `Undefined property: "a11y:producer"`},
	{"OPF-027", `Undefined property: "a11y:tactileGraphics"`},
	{"OPF-027", `Undefined property: "pageBreakSource"`},
	{"HTM-014a", `file name "index.html" should have the extension`},
	{"PKG-024", `uncommon extension "ebrl"`},
}

// EPUBMessage is one thing that a validator says.
type EPUBMessage struct{ ID, Severity, Text, Place string }

func (m EPUBMessage) String() string {
	return fmt.Sprintf("%s %s %s: %s", m.ID, m.Severity, m.Place, m.Text)
}

func (m EPUBMessage) known() bool {
	for _, k := range known {
		if m.ID == k.id && strings.Contains(m.Text, k.text) {
			return true
		}
	}
	return false
}

// EPUBCheck runs EPUBCheck on a copy of a package named .epub, the only name
// that it takes, and returns its errors and warnings without the known ones.
func EPUBCheck(pack string) ([]EPUBMessage, error) {
	const jar = "/usr/share/java/epubcheck.jar"
	if _, err := os.Stat(jar); err != nil {
		return nil, Missing{"epubcheck"}
	}
	dir, err := os.MkdirTemp("", "epubcheck")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	epub, out := filepath.Join(dir, "book.epub"), filepath.Join(dir, "out.json")
	data, err := os.ReadFile(pack)
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(epub, data, 0o666); err != nil {
		return nil, err
	}
	// One compiler and one collector: the program is over before more pays.
	cmd := exec.Command("java", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-jar", jar, epub, "--json", out)
	return messages(cmd, out)
}

// EPUBCheckTS runs epubcheck-ts on a package.
func EPUBCheckTS(pack string) ([]EPUBMessage, error) {
	bin, err := npmProgram("epubcheck-ts")
	if err != nil {
		return nil, err
	}
	out, err := os.CreateTemp("", "epubcheck-ts*.json")
	if err != nil {
		return nil, err
	}
	out.Close()
	defer os.Remove(out.Name())
	return messages(exec.Command(bin, pack, "-q", "-j", out.Name()), out.Name())
}

// batch gives every file of a folder to epubcheck-ts in one process.
const batch = `
import {EpubCheck} from '@likecoin/epubcheck-ts';
import fs from 'fs';
const [dir, to] = process.argv.slice(1);
const out = {};
for (const name of fs.readdirSync(dir)) {
  const r = await EpubCheck.validate(new Uint8Array(fs.readFileSync(dir + '/' + name)), {});
  out[name] = r.messages.map(m => ({ID: m.id, Severity: m.severity, Text: m.message, Place: m.location ? m.location.path : ''}));
}
fs.writeFileSync(to, JSON.stringify(out));
`

// EPUBCheckTSAll runs epubcheck-ts on all packages in a folder and returns, by
// their names, the errors without the known ones.
func EPUBCheckTSAll(dir string) (map[string][]EPUBMessage, error) {
	bin, err := npmProgram("epubcheck-ts")
	if err != nil {
		return nil, err
	}
	out, err := os.CreateTemp("", "epubcheck-ts*.json")
	if err != nil {
		return nil, err
	}
	out.Close()
	defer os.Remove(out.Name())
	cmd := exec.Command("node", "--input-type=module", "-e", batch, dir, out.Name())
	cmd.Dir = filepath.Dir(filepath.Dir(filepath.Dir(bin))) // where npm installed it
	if said, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("epubcheck-ts: %v: %s", err, said)
	}
	raw, err := os.ReadFile(out.Name())
	if err != nil {
		return nil, err
	}
	var all map[string][]EPUBMessage
	if err := json.Unmarshal(raw, &all); err != nil {
		return nil, err
	}
	for name, list := range all {
		errs := []EPUBMessage{}
		for _, m := range list {
			if (m.Severity == "error" || m.Severity == "fatal") && !m.known() {
				errs = append(errs, m)
			}
		}
		all[name] = errs
	}
	return all, nil
}

// messages runs a checker and reads its JSON; exit codes that tell of findings
// are no errors.
func messages(cmd *exec.Cmd, out string) ([]EPUBMessage, error) {
	said, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return nil, err
	}
	var rep struct {
		Messages []struct {
			ID, Severity, Message string
			Locations             []struct {
				Path string
				Line int
			}
		}
	}
	raw, err := os.ReadFile(out)
	if err == nil {
		err = json.Unmarshal(raw, &rep)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %v: %s", filepath.Base(cmd.Path), err, said)
	}
	var list []EPUBMessage
	for _, m := range rep.Messages {
		x := EPUBMessage{m.ID, strings.ToLower(m.Severity), m.Message, ""}
		if len(m.Locations) > 0 {
			x.Place = fmt.Sprintf("%s line %d", m.Locations[0].Path, m.Locations[0].Line)
		}
		if (x.Severity == "error" || x.Severity == "fatal" || x.Severity == "warning") && !x.known() {
			list = append(list, x)
		}
	}
	return list, nil
}

// Ace runs Ace by DAISY on a package and returns every rule of accessibility
// that fails.
func Ace(pack string) ([]EPUBMessage, error) {
	bin, err := npmProgram("ace-cli")
	if err != nil {
		return nil, err
	}
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		return nil, Missing{"chromium"}
	}
	dir, err := os.MkdirTemp("", "ace")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	cmd := exec.Command(bin, "-f", "-s", "-o", dir, pack)
	cmd.Env = append(os.Environ(), "PUPPETEER_EXECUTABLE_PATH="+chromium)
	said, err := cmd.CombinedOutput()
	raw, readErr := os.ReadFile(filepath.Join(dir, "report.json"))
	if readErr != nil {
		return nil, fmt.Errorf("ace: %v: %s", err, said)
	}
	return aceFindings(raw)
}

// aceFindings reads Ace's report: files, and rules that fail in them.
func aceFindings(raw []byte) ([]EPUBMessage, error) {
	var rep struct {
		Result struct {
			Outcome string `json:"earl:outcome"`
		} `json:"earl:result"`
		Files []struct {
			Subject struct {
				URL string `json:"url"`
			} `json:"earl:testSubject"`
			Rules []struct {
				Test struct {
					Title  string `json:"dct:title"`
					Impact string `json:"earl:impact"`
				} `json:"earl:test"`
				Result struct {
					Text string `json:"dct:description"`
				} `json:"earl:result"`
			} `json:"assertions"`
		} `json:"assertions"`
	}
	if err := json.Unmarshal(raw, &rep); err != nil {
		return nil, err
	}
	var list []EPUBMessage
	for _, f := range rep.Files {
		for _, r := range f.Rules {
			list = append(list, EPUBMessage{r.Test.Title, r.Test.Impact, r.Result.Text, f.Subject.URL})
		}
	}
	if rep.Result.Outcome != "pass" && len(list) == 0 {
		list = append(list, EPUBMessage{Severity: rep.Result.Outcome, Text: "the outcome of Ace"})
	}
	return list, nil
}

// npmProgram finds a program that ./test installs into .cache/npm.
func npmProgram(name string) (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for ; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil || dir == filepath.Dir(dir) {
			break
		}
	}
	bin := filepath.Join(dir, ".cache", "npm", "node_modules", ".bin", name)
	if _, err := os.Stat(bin); err != nil {
		return "", Missing{name + " (npm)"}
	}
	if _, err := exec.LookPath("node"); err != nil {
		return "", Missing{"nodejs"}
	}
	return bin, nil
}
