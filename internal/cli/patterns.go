package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
	"github.com/spf13/cobra"

	"continuo/internal/source"
)

// takeFiles prepares a command whose arguments are files: patterns that the
// shell left alone (those of Windows leave all of them) are resolved, and this
// program's own editions are told from volumes.
func takeFiles(c console, cmd *cobra.Command) {
	_, names, _ := strings.Cut(cmd.Use, " ")
	check, run := cmd.Args, cmd.RunE
	if run == nil || !strings.Contains(names, "SOURCE") && !strings.Contains(names, "FILE") && !strings.Contains(names, "FOLDER") {
		return
	}
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		args, err := resolve(args, func(_ int, found []string) []string { return found })
		if err != nil || check == nil {
			return err
		}
		return check(cmd, args)
	}
	first := strings.TrimLeft(names, "[")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		args, err := resolve(args, func(n int, found []string) []string {
			if n > 0 && strings.Contains(names, "SOURCE") || strings.HasPrefix(first, "SOURCE") { // not FILE of check FILE [SOURCE...]
				return c.withoutEditions(found)
			}
			return found
		})
		if err != nil {
			return err
		}
		return run(cmd, args)
	}
}

// resolve puts the files and folders that a pattern names in its place, in the
// natural order of their names. What is there under the very name is no
// pattern. A star stands for any signs, a question mark for one, letters for
// themselves in either case, as in the shells of Windows. pick chooses of what
// the argument of a number, from 0, has named.
func resolve(args []string, pick func(n int, found []string) []string) ([]string, error) {
	var out []string
	for n, arg := range args {
		if _, err := os.Lstat(arg); err == nil || !strings.ContainsAny(arg, "*?") {
			out = append(out, arg)
			continue
		}
		found, err := doublestar.FilepathGlob(literal.Replace(arg), doublestar.WithCaseInsensitive(), doublestar.WithNoHidden())
		if err != nil || len(found) == 0 {
			return nil, refuse("* stands for any signs of a name, ? for one; name files or a folder", "no such file or folder: %s", source.Quote(arg))
		}
		sort.SliceStable(found, func(i, j int) bool { return source.Natural(found[i], found[j]) })
		out = append(out, pick(n, readable(found))...)
	}
	return out, nil
}

// literal keeps signs that are no patterns in the shells of Windows, and may
// stand in names; *.* is every name there.
var literal = strings.NewReplacer("[", "[[]", "{", "[{]", "*.*", "*")

// readable is what may be braille by its name; where nothing is, all of it.
func readable(paths []string) []string {
	var out []string
	for _, p := range paths {
		if kind, _ := source.KindOf(filepath.Base(p)); kind != source.Other || isFolder(p) {
			out = append(out, p)
		}
	}
	if out == nil {
		return paths
	}
	return out
}

// withoutEditions takes the editions of this program out of sources that a
// pattern names together with others: *.brf takes in what an earlier run wrote.
func (c console) withoutEditions(paths []string) []string {
	edition := func(path string) bool {
		info, err := os.Stat(path + ".account.jsonl")
		return err == nil && info.Mode().IsRegular()
	}
	if !slices.ContainsFunc(paths, func(p string) bool { return !edition(p) }) {
		return paths
	}
	var out []string
	for _, p := range paths {
		if edition(p) {
			fmt.Fprintf(c.err, "passed over: %s: an edition: its account stands beside it\n", p)
		} else {
			out = append(out, p)
		}
	}
	return out
}
