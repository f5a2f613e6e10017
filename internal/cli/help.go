package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// codes explains the exit codes; every command's help ends with it.
var codes = []string{
	"exit code 0: done",
	"exit code 1: refused or failed, nothing written",
	"exit code 2: wrong use of the command line",
	"exit code 3: done, and some places want a person's eye",
}

func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "what a command does, its flags, examples",
		Example: "continuo help make\ncontinuo help archive run",
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			cmd, rest, err := root.Find(args)
			var out []string
			if err != nil || len(rest) > 0 {
				return out, cobra.ShellCompDirectiveNoFileComp
			}
			for _, sub := range cmd.Commands() {
				if sub.IsAvailableCommand() {
					out = append(out, sub.Name()+"\t"+sub.Short)
				}
			}
			return out, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			cmd, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return unknown(root, strings.Join(args, " "))
			}
			printHelp(cmd)
			return nil
		},
	}
}

func useLine(cmd *cobra.Command) string {
	if cmd.HasParent() {
		return cmd.Parent().CommandPath() + " " + cmd.Use
	}
	return cmd.Use
}

// printHelp writes the help of a command: one fact a line, no columns.
func printHelp(cmd *cobra.Command) {
	w := cmd.OutOrStdout()
	fmt.Fprintf(w, "%s: %s\n", cmd.CommandPath(), cmd.Short)
	fmt.Fprintf(w, "use: %s\n", useLine(cmd))
	if cmd.Long != "" {
		fmt.Fprintln(w, cmd.Long)
	}
	for _, sub := range cmd.Commands() {
		if sub.IsAvailableCommand() || sub.Name() == "help" {
			fmt.Fprintf(w, "command: %s: %s\n", sub.Use, sub.Short)
		}
	}
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) { fmt.Fprintf(w, "flag: %s\n", flagLine(f)) })
	for _, line := range strings.Split(cmd.Example, "\n") {
		if line != "" && !strings.HasPrefix(line, " ") {
			line = "example: " + line
		}
		if line != "" {
			fmt.Fprintln(w, line)
		}
	}
	for _, line := range codes {
		fmt.Fprintln(w, line)
	}
}

// plainUsages makes the usage texts of flags words for a shell to show: the name
// of the value stands in backquotes in them.
func plainUsages(cmd *cobra.Command) {
	cmd.Flags().VisitAll(func(f *pflag.Flag) { _, f.Usage, _ = strings.Cut(flagLine(f), ": ") })
	for _, sub := range cmd.Commands() {
		plainUsages(sub)
	}
}

// flagLine is a flag with its value and meaning, "-o, --output FILE: ..."; the usage text of a
// flag begins with the name of its value.
func flagLine(f *pflag.Flag) string {
	name := "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	value, usage := pflag.UnquoteUsage(f)
	if value != "" {
		name += " " + value
		usage = strings.TrimPrefix(usage, value+" ")
	}
	return name + ": " + usage
}
