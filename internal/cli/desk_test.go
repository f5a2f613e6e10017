package cli

import (
	"bufio"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// deskRun starts the desk as a person does, opens its link as a browser does,
// and ends it with Ctrl-C: desk CATALOGUE. What it printed is standard output.
func deskRun(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("use: desk CATALOGUE")
	}
	bin := filepath.SplitList(ts.Getenv("PATH"))[0] // where the scripts' own program stands
	cmd := exec.Command(filepath.Join(bin, "continuo"), "desk", "--catalogue", args[0])
	cmd.Dir, cmd.Env = ts.MkAbs("."), append(os.Environ(), "PATH="+ts.Getenv("PATH"))
	out, err := cmd.StdoutPipe()
	ts.Check(err)
	ts.Check(cmd.Start())
	timer := time.AfterFunc(30*time.Second, func() { cmd.Process.Kill() })
	defer timer.Stop()
	var said strings.Builder
	lines := bufio.NewScanner(io.TeeReader(out, &said))
	for lines.Scan() && !strings.HasPrefix(lines.Text(), "to end:") {
	}
	openDesk(ts, regexp.MustCompile(`http://\S+`).FindString(said.String()))
	ts.Check(cmd.Process.Signal(os.Interrupt))
	for lines.Scan() {
	}
	ts.Check(cmd.Wait())
	ts.Stdout().Write([]byte(said.String()))
}

// openDesk wants a stranger refused and the one who follows the link let in.
func openDesk(ts *testscript.TestScript, link string) {
	home := link[:strings.Index(link, "/in?")+1]
	if r, err := http.Get(home); err != nil || r.StatusCode != http.StatusForbidden {
		ts.Fatalf("a stranger is answered: %v %v", r, err)
	}
	jar, err := cookiejar.New(nil)
	ts.Check(err)
	c := http.Client{Jar: jar}
	r, err := c.Get(link)
	ts.Check(err)
	page, err := io.ReadAll(r.Body)
	ts.Check(err)
	if r.StatusCode != http.StatusOK || !strings.Contains(string(page), "<h1>Archive</h1>") {
		ts.Fatalf("the link does not open the archive: %d", r.StatusCode)
	}
}
