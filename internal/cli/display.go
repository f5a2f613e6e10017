package cli

import "github.com/spf13/cobra"

// addDisplay gives a command the flag for a display.
func addDisplay(cmd *cobra.Command, cells *int) {
	cmd.Flags().IntVar(cells, "display", 0, "`N` cells of the display that the book is for: lines of this width, short runovers, no blank lines; in place of --width and --blank-lines")
	complete(cmd, "display", "14", "20", "32", "40")
}

// forDisplay puts the display over the width and the blank lines and says
// whether one was given.
func forDisplay(cmd *cobra.Command, cells int, width *int, blank *string) (bool, error) {
	flags := cmd.Flags()
	if !flags.Changed("display") {
		return false, nil
	}
	for _, name := range []string{"width", "blank-lines"} {
		if flags.Changed(name) {
			return false, wrong("give --display alone, or --width and --blank-lines", "--display settles what --%s settles", name)
		}
	}
	if cells < minWidth || cells > maxWidth {
		return false, wrong("continuo help "+cmd.Name()+" lists the flags", "--display must be %d to %d cells, not %d", minWidth, maxWidth, cells)
	}
	*width, *blank = cells, "none"
	return true, nil
}
