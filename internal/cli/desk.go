package cli

import (
	"context"
	"encoding/json"
	"os"
	"os/signal"
	"path/filepath"

	"github.com/spf13/cobra"

	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/desk"
)

func deskCommand(c console) *cobra.Command {
	var folder, who string
	var port int
	cmd := &cobra.Command{
		Use:   "desk",
		Short: "the archive as web pages: review, decide, compare and read",
		Long: `Serves the catalogue as web pages to browsers on this machine and prints the link that opens them. The link works once; for another browser the next one is printed. Ctrl-C ends it.
The pages show what wants a person first, put the doubtful places with their evidence and take decisions, show paper and edition side by side, and the edition as a display shows it. They work without a script, also while a run is going on. Decisions are the same as those of continuo decide; editions are written by runs alone.`,
		Example: "continuo desk\ncontinuo desk --who Ann\ncontinuo desk --catalogue /srv/continuo --port 8020",
		Args:    atMost(0),
		RunE: func(*cobra.Command, []string) error {
			return serveDesk(c, folder, who, port)
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().StringVar(&who, "who", "", "`NAME` who decides; can be given on the pages too")
	cmd.Flags().IntVar(&port, "port", 0, "`N` port on this machine; without it a free one")
	return cmd
}

func serveDesk(c console, folder, who string, port int) error {
	if port < 0 || port > 65535 {
		return wrong("continuo help desk lists the flags", "--port must be 0 to 65535, not %d", port)
	}
	path := filepath.Join(folder, catalogue.FileName)
	cat, err := catalogueIn(folder, catalogue.Open)
	if err != nil {
		return err
	}
	defer cat.Close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	say := func(line string) { c.say("%s", line) }
	err = desk.Serve(ctx, desk.Options{Catalogue: cat, Settings: deskSettings, Who: who, Say: say, Today: today, Shared: DeskShared()}, port, func(link string) {
		c.say("desk: %s", path)
		c.say("open this link: %s", link)
		c.say("to end: Ctrl-C")
	})
	if err != nil {
		return refuse("choose another port with --port N, or leave the flag out", "%s", err)
	}
	c.say("done: the desk is closed")
	return nil
}

// deskSettings are the settings that the next run has, from what the last one
// left in the catalogue.
func deskSettings(text string) (desk.Settings, error) {
	if text == "" {
		return desk.Settings{Make: convert.Defaults()}, nil
	}
	var last remembered
	if err := json.Unmarshal([]byte(text), &last); err != nil {
		return desk.Settings{}, err
	}
	f := archiveRun{}
	f.width, f.blank, f.markers, f.rejoin, f.profile = last.Width, last.Blank, last.Markers, last.Rejoin, last.Profile
	opt, err := f.options(f.width != -1)
	return desk.Settings{Make: opt, Profile: last.Profile}, err
}
