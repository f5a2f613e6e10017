// Package cli is the command line: one file a subcommand, flags and printing
// only. Output is plain text, one fact a line as "label: value", with the
// outcome in the first cells of its line, so that it reads well on a braille
// display and with a screen reader.
package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/lazy"
	"continuo/internal/source"
)

// Exit codes of the program.
const (
	Done   = 0 // done
	Failed = 1 // refused or failed; nothing was written
	Wrong  = 2 // wrong use of the command line
	Look   = 3 // done, and some places want a person's eye
)

// fault is an error with the exit code it leads to, and what to do about it.
type fault struct {
	code int
	what string
	hint string
	more []string // lines of detail, printed between error and hint
	from error    // what it tells of, nil when it is its own
}

func (f *fault) Error() string { return f.what }

func (f *fault) Unwrap() error { return f.from }

// refuse is a fault of code Failed.
func refuse(hint, format string, a ...any) error {
	return &fault{code: Failed, what: fmt.Sprintf(format, a...), hint: hint}
}

// wrong is a fault of code Wrong.
func wrong(hint, format string, a ...any) error {
	return &fault{code: Wrong, what: fmt.Sprintf(format, a...), hint: hint}
}

// person is returned by a command that is done and has found places that want
// a person's eye. Nothing is printed for it.
var person = &fault{code: Look}

// console is where a command writes: results to out, errors and progress to
// err.
type console struct{ out, err io.Writer }

// say prints one line of results.
func (c console) say(format string, a ...any) { fmt.Fprintf(c.out, format+"\n", a...) }

// Run runs the program with its arguments (without the program's name) and
// returns the exit code.
func Run(args []string, out, err io.Writer) int {
	lost := &writer{Writer: out}
	out = lost
	cobra.MousetrapHelpText = "" // a shortcut of Windows starts the program as any shell does
	root := rootCommand(console{out, err})
	if len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd) {
		plainUsages(root)
	}
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(err)
	fault := root.Execute()
	if lost.err != nil && (fault == nil || errors.Is(fault, person)) {
		fault = refuse("what the command did besides is done; give the results another place", "the results could not be written: %s", lost.err)
	}
	return report(fault, err)
}

// writer remembers the first error of writing, so that results are not lost
// without a word.
type writer struct {
	io.Writer
	err error
}

func (w *writer) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// report prints an error and returns its exit code.
func report(err error, w io.Writer) int {
	if err == nil {
		return Done
	}
	var f *fault
	if !errors.As(err, &f) {
		f = &fault{code: Failed, what: err.Error()}
	}
	if f.what == "" {
		return f.code
	}
	lines := strings.Split(strings.TrimSpace(f.what), "\n")
	for _, line := range lines {
		fmt.Fprintf(w, "continuo: error: %s\n", line)
	}
	for _, line := range f.more {
		fmt.Fprintln(w, line)
	}
	if f.hint != "" {
		fmt.Fprintf(w, "hint: %s\n", f.hint)
	}
	return f.code
}

func rootCommand(c console) *cobra.Command {
	version := false
	root := &cobra.Command{
		Use:   "continuo COMMAND",
		Short: "one continuous braille book from paper braille volumes",
		Long: `Continuo turns a book that was laid out for an embosser, in several volume files, into one continuous braille book for a braille display.
Page furniture goes, the text stays, and every cell of every source line is accounted for.`,
		Example:           "continuo demo\n  shows the work on three invented books\ncontinuo make mybook/\n  makes one book of the volumes in a folder",
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
		Args:              cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknown(cmd, args[0])
			}
			if version {
				return printVersion(c)
			}
			printHelp(cmd)
			return nil
		},
	}
	root.Flags().BoolVar(&version, "version", false, "the version, as the command version tells it")
	root.AddCommand(demoCommand(c), lookCommand(c), makeCommand(c), checkCommand(c), unpackCommand(c), decideCommand(c), correctCommand(c), readCommand(c), metadataCommand(c), findCommand(c), rideCommand(c), completionCommand(c), versionCommand(c))
	root.AddCommand(archiveCommand(c), deskCommand(c), shelfCommand(c), requestCommand(c), profileCommand(c))
	eachCommand(root, func(cmd *cobra.Command) { takeFiles(c, cmd) })
	root.SetHelpCommand(helpCommand(root))
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { printHelp(cmd) })
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		hint := strings.Replace(cmd.CommandPath(), " ", " help ", 1) + " lists its flags"
		if !cmd.HasParent() {
			hint = "continuo help lists the commands"
		}
		return wrong(hint, "%s", flagFault(err))
	})
	return root
}

var noNumber = lazy.Regexp(`^invalid argument (".*") for (".*") flag: strconv\..*$`)

// flagFault is what is wrong with a flag, in plain words.
func flagFault(err error) string {
	text := lowerFirst(err.Error())
	if m := noNumber().FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("the flag %s takes a number, not %s", m[2], m[1])
	}
	return text
}

// group is a command that only holds others: alone it prints its help.
func group(cmd *cobra.Command, subs ...*cobra.Command) *cobra.Command {
	cmd.Args = cobra.ArbitraryArgs
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) > 0 {
			return wrong("continuo help "+cmd.Name()+" lists its commands", "unknown command %s", source.Quote(cmd.Name()+" "+args[0]))
		}
		printHelp(cmd)
		return nil
	}
	cmd.AddCommand(subs...)
	return cmd
}

// eachCommand calls f for all commands below one.
func eachCommand(cmd *cobra.Command, f func(*cobra.Command)) {
	for _, sub := range cmd.Commands() {
		f(sub)
		eachCommand(sub, f)
	}
}

// unknown is the error of a command that is not there, with the one that may
// have been meant.
func unknown(root *cobra.Command, name string) error {
	hint := "continuo help lists the commands"
	if root.SuggestionsMinimumDistance = 2; len(root.SuggestionsFor(name)) > 0 {
		hint = "perhaps continuo " + root.SuggestionsFor(name)[0] + "; " + hint
	}
	return wrong(hint, "unknown command %s", source.Quote(name))
}

// atLeast is a check of the number of arguments, with a worded error.
func atLeast(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < n {
			return wrong("use: "+useLine(cmd), "%s needs %s", cmd.Name(), what)
		}
		return nil
	}
}

// atMost is a check of the number of arguments, with a worded error.
func atMost(n int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) > n {
			return wrong("use: "+useLine(cmd), "%s takes %s, not %d", cmd.Name(), count(n, "argument"), len(args))
		}
		return nil
	}
}

// exactly is a check of the number of arguments, with a worded error.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return wrong("use: "+useLine(cmd), "%s needs %s, not %d", cmd.Name(), what, len(args))
		}
		return nil
	}
}

// quoted is a path as it can be typed: in quotes when it holds a blank.
func quoted(path string) string {
	if strings.ContainsAny(path, " \t") {
		return `"` + path + `"`
	}
	return path
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// count is a number with its noun: "1 place", "2 places".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
