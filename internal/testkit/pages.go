package testkit

import (
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
