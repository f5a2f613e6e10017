package finders_test

import (
	"context"
	"encoding/json"
	"html"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"continuo/internal/testkit"
)

var axeResult = regexp.MustCompile(`(?s)<pre id="axe-result">(.*?)</pre>`)

// TestAxe has axe-core (npm, by Deque; it comes with Ace by DAISY) look at the
// page of finders in Debian's Chromium, in light and dark colours: no
// violation of WCAG 2.2 A and AA, none of its best practices.
func TestAxe(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join("..", "..", ".cache", "npm", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		missing(t, testkit.Missing{What: "axe-core"})
	}
	browser, err := exec.LookPath("chromium")
	if err != nil {
		missing(t, testkit.Missing{What: "chromium"})
	}
	page, err := small(t).HTML("x.brf")
	if err != nil {
		t.Fatal(err)
	}
	run := `<script>` + string(axe) + `</script><script>axe.run(document).then(function (r) {
  var p = document.createElement("pre"); p.id = "axe-result";
  p.textContent = JSON.stringify({dark: matchMedia("(prefers-color-scheme: dark)").matches, passes: r.passes.length, violations: r.violations.map(function (v) { return v.id + ": " + v.help + " " + v.nodes.map(function (n) { return n.html; }).join(" "); })});
  document.body.appendChild(p); });</script>`
	path := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(path, append(page, run...), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, scheme := range []string{"light", "dark"} {
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
		args := []string{"--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=20000", "--dump-dom", "--user-data-dir=" + t.TempDir()}
		if scheme == "dark" {
			args = append(args, "--blink-settings=preferredColorScheme=0")
		}
		out, err := exec.CommandContext(ctx, browser, append(args, (&url.URL{Scheme: "file", Path: path}).String())...).Output()
		cancel()
		if err != nil {
			t.Fatalf("chromium: %v", err)
		}
		m := axeResult.FindSubmatch(out)
		if m == nil {
			t.Fatalf("%s: axe-core said nothing", scheme)
		}
		var r struct {
			Dark       bool
			Passes     int
			Violations []string
		}
		if err := json.Unmarshal([]byte(html.UnescapeString(string(m[1]))), &r); err != nil {
			t.Fatal(err)
		}
		for _, v := range r.Violations {
			t.Errorf("%s: %s", scheme, v)
		}
		if r.Dark != (scheme == "dark") {
			t.Errorf("the browser does not show %s colours", scheme)
		}
		if r.Passes < 10 {
			t.Errorf("%s: only %d rules of axe-core looked at anything", scheme, r.Passes)
		}
		t.Logf("%s: %d rules passed", scheme, r.Passes)
	}
}
