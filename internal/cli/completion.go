package cli

import "github.com/spf13/cobra"

var shells = []string{"bash", "zsh", "fish", "powershell"}

func completionCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:       "completion SHELL",
		Short:     "a script that completes commands and flags in a shell",
		Long:      "SHELL is bash, zsh, fish or powershell. The script goes to standard output.",
		Example:   "continuo completion bash > continuo.bash\n  then load it with: source continuo.bash\ncontinuo completion powershell | Out-String | Invoke-Expression",
		ValidArgs: shells,
		Args:      atLeast(1, "the name of a shell: bash, zsh, fish or powershell"),
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch {
			case len(args) > 1:
				return wrong("use: "+useLine(cmd), "completion takes one shell, not %d", len(args))
			case args[0] == "bash":
				return root.GenBashCompletionV2(c.out, true)
			case args[0] == "zsh":
				return root.GenZshCompletion(c.out)
			case args[0] == "fish":
				return root.GenFishCompletion(c.out, true)
			case args[0] == "powershell":
				return root.GenPowerShellCompletionWithDesc(c.out)
			}
			return wrong("the shells are bash, zsh, fish and powershell", "unknown shell %q", args[0])
		},
	}
}

// completeOrFile makes the shells offer values of a flag that takes a file too.
func completeOrFile(cmd *cobra.Command, flag string, values ...string) {
	_ = cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return values, cobra.ShellCompDirectiveDefault
	})
}

// complete makes the shells offer the values of a flag, each with a tab and
// words about it where these help.
func complete(cmd *cobra.Command, flag string, values ...string) {
	// The error can only be that the flag is not there; a script asks for the values.
	_ = cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return values, cobra.ShellCompDirectiveNoFileComp
	})
}

// completeFiles leaves the first argument to the shell, which offers files, and
// offers nothing after it.
func completeFiles(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return nil, cobra.ShellCompDirectiveDefault
}
