package cli

import (
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"

	"continuo/internal/convert"
)

func versionCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "the version of the program",
		Example: "continuo version",
		Args:    atMost(0),
		RunE:    func(*cobra.Command, []string) error { return printVersion(c) },
	}
}

func printVersion(c console) error {
	c.say("continuo: %s", convert.Version)
	c.say("go: %s", runtime.Version())
	c.say("system: %s/%s", runtime.GOOS, runtime.GOARCH)
	if rev := revision(); rev != "" {
		c.say("revision: %s", rev)
	}
	return nil
}

// revision is the commit that the program was built from, if it is known.
func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	rev, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			rev = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", with changes"
		}
	}
	if rev == "" {
		return ""
	}
	return rev + changed
}
