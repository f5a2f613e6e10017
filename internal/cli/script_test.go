package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"continuo": func() { os.Exit(Run(os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// The scripts in testdata/script are the command line as a person meets it.
// Their volumes are made by hand; common.txt holds the two volumes that most of
// them use and is laid out for each.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:   filepath.Join("testdata", "script"),
		Setup: volumes,
		// CONTINUO_UPDATE=1 writes what the commands print into the scripts.
		UpdateScripts: os.Getenv("CONTINUO_UPDATE") == "1",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"code":   exitCode,
			"before": before,
			"change": change,
			"undo":   undo,
			"stock":  stock,
			"always": always,
			"keepit": keepIt,
			"desk":   deskRun,
			"answer": answerFirst,
		},
	})
}

// volumes writes the two volumes of "The Pond" into the folder pond of a script.
func volumes(env *testscript.Env) error {
	dir := filepath.Join(env.WorkDir, "pond")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for _, name := range []string{"pond1.brf", "pond2.brf"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o666); err != nil {
			return err
		}
	}
	return nil
}

// exitCode runs a command and wants its exit code: code N continuo ARGS...
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("use: code N COMMAND ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		if n, err := fmt.Sscanf(err.Error(), "exit status %d", &got); n != 1 {
			ts.Fatalf("%v", err)
		}
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// undo takes the first answer about a title back: undo SOURCE.
func undo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("use: undo SOURCE")
	}
	id := regexp.MustCompile(`(line|hyphen|break|title)-[0-9a-f-]+`).FindString(ts.ReadFile(args[0] + "/title.decisions.toml"))
	exitCode(ts, false, []string{"3", "continuo", "decide", args[0], "--undo", id})
}

// firstID is the id of the first question about a title.
func firstID(ts *testscript.TestScript, source string) string {
	exitCode(ts, false, []string{"3", "continuo", "decide", source, "--list"})
	return regexp.MustCompile(`(line|hyphen|break|title)-[0-9a-f-]+`).FindString(ts.ReadFile("stdout"))
}

// always makes an answer to the first question a house rule: always CODE SOURCE
// CHOICE FLAGS...
func always(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("use: always CODE SOURCE CHOICE FLAGS...")
	}
	id := firstID(ts, args[1])
	exitCode(ts, false, append([]string{args[0], "continuo", "decide", args[1], "--who", "Ann", "--always", id + "=" + args[2]}, args[3:]...))
}

// answerFirst answers the first question about a title and wants an exit code:
// answer CODE SOURCE CHOICE.
func answerFirst(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("use: answer CODE SOURCE CHOICE")
	}
	exitCode(ts, false, []string{args[0], "continuo", "decide", args[1], "--who", "Ann", "--answer", firstID(ts, args[1]) + "=" + args[2]})
}

// keepIt answers the first question about a title: keepit SOURCE.
func keepIt(ts *testscript.TestScript, neg bool, args []string) {
	id := firstID(ts, args[0])
	exitCode(ts, false, []string{"0", "continuo", "decide", args[0], "--who", "Ben", "--answer", id + "=keep"})
}

// before wants one text to come before another in a file: before FILE A B.
func before(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("use: before FILE A B")
	}
	text := ts.ReadFile(args[0])
	a, b := strings.Index(text, args[1]), strings.Index(text, args[2])
	if a < 0 || b < 0 || (a < b) == neg {
		ts.Fatalf("%q at %d, %q at %d", args[1], a, args[2], b)
	}
}

// change puts one text in place of the first of another in a file: change FILE A B.
func change(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("use: change FILE A B")
	}
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s does not hold %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o666))
}
