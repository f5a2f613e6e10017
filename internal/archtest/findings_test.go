package archtest

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/decide"
)

// Every finding in the code either has an answer or is known as information.
func TestEveryFinding(t *testing.T) {
	found := map[string]string{}
	raised := regexp.MustCompile(`(?:a\.find|t\.ask|t\.find)\((?:diag\.\w+|severity), "([a-z-]+)"|AskLine\("([a-z-]+)"|Oddity\{[^}]*"([a-z]+-[a-z-]+)", "|diag\.Finding\{ID: "([a-z-]+)"`)
	for _, dir := range []string{"layout", "assemble", "convert", "decide", "cli"} {
		err := filepath.WalkDir(filepath.Join("..", dir), func(name string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
				return err
			}
			if _, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.PackageClauseOnly); err != nil {
				return err
			}
			text, err := os.ReadFile(name)
			for _, m := range raised.FindAllStringSubmatch(string(text), -1) {
				found[m[1]+m[2]+m[3]+m[4]] = name
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(found) < 10 {
		t.Fatalf("only %v", found)
	}
	for id, name := range found {
		if _, ok := decide.Find(id); !ok && decide.Information(id) == "" {
			t.Errorf("%s: the finding %q has no answer; give it one in kinds, or add it to information, in decide.go", name, id)
		}
	}
	for _, k := range decide.Kinds() {
		if found[k.ID] == "" && k.ID != decide.LookedAt && k.ID != decide.EndUntold { // raised by name, in triage
			t.Errorf("no code raises %q", k.ID)
		}
	}
}
