package testkit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// Jing validates XML files with a RELAX NG schema and returns what it says
// against them, one line a fault that begins with the file (Debian package jing).
func Jing(schema string, files ...string) ([]string, error) {
	bin, err := exec.LookPath("jing")
	if err != nil {
		return nil, Missing{"jing"}
	}
	out, err := exec.Command(bin, append([]string{schema}, files...)...).CombinedOutput()
	var list []string
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		if line != "" && !strings.HasPrefix(line, "[warning] ") { // of the script that starts it
			list = append(list, line)
		}
	}
	if err != nil && len(list) == 0 {
		return nil, fmt.Errorf("jing: %w: %s", err, out)
	}
	return list, nil
}

// HTMLValidate validates HTML files with the npm package html-validate and
// returns its errors and warnings.
func HTMLValidate(config string, files ...string) ([]string, error) {
	bin, err := npmProgram("html-validate")
	if err != nil {
		return nil, err
	}
	out, runErr := exec.Command(bin, append([]string{"-c", config, "-f", "json"}, files...)...).Output()
	var reports []struct {
		File     string `json:"filePath"`
		Messages []struct {
			Rule    string `json:"ruleId"`
			Message string `json:"message"`
			Line    int    `json:"line"`
		} `json:"messages"`
	}
	if err := json.Unmarshal(out, &reports); err != nil {
		return nil, fmt.Errorf("html-validate: %v: %v: %.300s", runErr, err, out)
	}
	var list []string
	for _, r := range reports {
		for _, m := range r.Messages {
			list = append(list, fmt.Sprintf("%s line %d: %s: %s", filepath.Base(r.File), m.Line, m.Rule, m.Message))
		}
	}
	return list, nil
}

// AxeCore is the text of axe-core (npm package axe-core, by Deque).
func AxeCore() (string, error) {
	bin, err := npmProgram("html-validate") // any program of npm: the modules stand beside it
	if err != nil {
		return "", err
	}
	text, err := os.ReadFile(filepath.Join(filepath.Dir(filepath.Dir(bin)), "axe-core", "axe.min.js"))
	if err != nil {
		return "", Missing{"axe-core (npm)"}
	}
	return string(text), nil
}

// PageLook is what a script that looks at pages in Chromium found on one page.
type PageLook struct {
	File     string             `json:"file"`
	Findings []string           `json:"findings"` // of axe-core, in every view, light and dark
	Errors   []string           `json:"errors"`   // of scripts
	Requests int                `json:"requests"` // to anywhere but files
	Views    map[string][2]bool `json:"views"`    // whether cells, and print, are to be seen
	Width    int                `json:"width"`    // of what is shown in a window of 320 pixels
	Scripts  int                `json:"scripts"`
}

// LookAtPages runs such a script with axe-core and puppeteer-core from npm and
// Debian's Chromium.
func LookAtPages(script string, files ...string) ([]PageLook, error) {
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		return nil, Missing{"chromium"}
	}
	ace, err := npmProgram("html-validate") // any program of npm: the modules stand beside it
	if err != nil {
		return nil, err
	}
	modules := filepath.Dir(filepath.Dir(ace))
	for _, m := range []string{"axe-core", "puppeteer-core"} {
		if _, err := os.Stat(filepath.Join(modules, m)); err != nil {
			return nil, Missing{m + " (npm)"}
		}
	}
	cmd := exec.Command("node", append([]string{script}, files...)...)
	cmd.Env = append(os.Environ(), "NODE_PATH="+modules, "CHROMIUM="+chromium)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("node: %w: %s", err, errs.String())
	}
	var list []PageLook
	for _, line := range bytes.Split(bytes.TrimSpace(out), []byte{'\n'}) {
		var p PageLook
		if err := json.Unmarshal(line, &p); err != nil {
			return nil, fmt.Errorf("%v: %.300s", err, line)
		}
		list = append(list, p)
	}
	return list, nil
}
