package cli

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/ride"
)

// displays are the displays that a report rides on: sizes in use (common
// practice).
var displays = []int{14, 20, 32, 40}

// maxDisplay is the longest display that can be asked for, in cells.
const maxDisplay = 200

func rideCommand(c console) *cobra.Command {
	var f struct {
		cells        []int
		hard, asJSON bool
	}
	cmd := &cobra.Command{
		Use:   "ride FILE...",
		Short: "plays a text on a display: moves, blank windows, words cut",
		Long: `FILE is an edition, or paper volumes in the order in which they are read, or a folder of them.
The reader opens the text and pans forward to its end. A line begins in the first cell of a window; one longer than the display is cut at the last blank that fits; a blank line takes a window of its own. make tells the same figures of sources and edition in its report.`,
		Example: "continuo ride mybook-continuous.brf\ncontinuo ride mybook/ --cells 20",
		Args:    atLeast(1, "at least one FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			for _, n := range f.cells {
				if n < 1 || n > maxDisplay {
					return wrong("continuo help ride lists the flags", "--cells must be 1 to %d, not %d", maxDisplay, n)
				}
			}
			return rideFiles(c, args, f.cells, f.hard, f.asJSON)
		},
	}
	flags := cmd.Flags()
	flags.IntSliceVar(&f.cells, "cells", displays, "`N` cells of the display; several with commas between; without it 14,20,32,40")
	flags.BoolVar(&f.hard, "hard-cut", false, "the display cuts a long line after every N cells, words too")
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON object instead of lines")
	complete(cmd, "cells", "14", "20", "32", "40")
	return cmd
}

// rideFiles plays the files, as one text, on each display.
func rideFiles(c console, args []string, cells []int, hard, asJSON bool) error {
	files, _, err := openSources(args)
	if err != nil {
		return err
	}
	var texts []*text
	if len(files) == 1 {
		texts = []*text{readText(files[0], editionWidth(files[0].Path))}
	} else {
		texts = readVolumes(files, english.Words{})
	}
	places := placesOf(texts)
	var list []jsonRide
	read := ride.Volumes(files)
	for _, n := range cells {
		list = append(list, rideJSON(n, read.Play(ride.Display{Cells: n, Hard: hard}, places...)))
	}
	if asJSON {
		return c.json(jsonRides{"done", len(files), list})
	}
	c.say("done: %s read from the first line to the last", count(len(files), "file"))
	for _, r := range list {
		for _, f := range r.facts() {
			c.say("%d cells, %s: %s", r.Cells, f[0], f[1])
		}
	}
	return nil
}

// placesOf are the places of the title and of the first heading of the text.
// What is not found stands behind the last volume.
func placesOf(texts []*text) []ride.Place {
	title, heading := ride.Place{Volume: len(texts)}, ride.Place{Volume: len(texts)}
	for i := len(texts) - 1; i >= 0; i-- {
		v := texts[i].v
		if len(v.Units) > 0 && (v.Title[1] > v.Title[0] || texts[i].edition) { // an edition opens with its title
			u := &v.Units[v.Title[0]]
			title = ride.Place{Volume: i, Line: int(u.Line), Cell: int(u.From)}
		}
		if line, ok := texts[i].firstHeading(); ok {
			heading = ride.Place{Volume: i, Line: line}
		}
	}
	return []ride.Place{title, heading}
}

// firstHeading is the line of the first heading of the running text.
func (t *text) firstHeading() (int, bool) {
	k := firstHeading(t.b)
	for ; k >= 0 && k < len(t.b.Blocks); k++ {
		bl := &t.b.Blocks[k]
		if bl.Kind == book.Heading && (t.edition || t.v.PageOf[bl.Pieces[0].Line] >= t.v.BodyPage) {
			return int(bl.Pieces[0].Line), true
		}
	}
	return 0, false
}

// firstHeading is the first heading of the running text among the blocks of a
// book, -1 if there is none. Where the parts of the book are not known it is
// the first one after the contents list.
func firstHeading(b *book.Book) int {
	parts := slices.ContainsFunc(b.Blocks, func(bl book.Block) bool { return bl.Part != book.Text })
	from := 0
	for i := range b.Blocks {
		if b.Blocks[i].Kind == book.Entry {
			from = i + 1
		}
	}
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind == book.Heading && bl.Part == book.Text && (parts || i >= from) && bl.Pieces[0].Vol >= 0 {
			return i
		}
	}
	return -1
}

// ridden is one ride through the sources and one through the edition made of
// them. long is the same edition set with one line a paragraph.
type ridden struct {
	cells                int
	paper, edition, long ride.Result
}

// rides plays sources and edition on the displays of a report.
func rides(r *convert.Result) []ridden {
	end, paper, edition := []byte("\r\n"), ride.Volumes(r.Book.Files), ride.NewText(r.Stats.EditionLines, len(r.Edition))
	edition.Volume()
	for line := range bytes.SplitSeq(bytes.TrimSuffix(r.Edition, end), end) {
		edition.Line(line)
	}
	long := edition.Paragraphs(r.Starts)
	was, is := bothPlaces(r)
	out := make([]ridden, len(displays))
	layout.Each(len(displays), func(i int) {
		d := ride.Display{Cells: displays[i]}
		out[i] = ridden{d.Cells, paper.Play(d, was...), edition.Play(d, is...), long.Play(d)}
	})
	return out
}

// bothPlaces are the places of the title and of the first heading of the text
// in the sources and in the edition.
func bothPlaces(r *convert.Result) (paper, edition []ride.Place) {
	title := slices.IndexFunc(r.Book.Blocks, func(bl book.Block) bool { return bl.Kind == book.TitleLine })
	for _, k := range []int{title, firstHeading(r.Book)} {
		from, to := ride.Place{Volume: len(r.Book.Files)}, ride.Place{Volume: 1}
		if k >= 0 {
			p := r.Book.Blocks[k].Pieces[0]
			from, to = ride.Place{Volume: int(p.Vol), Line: int(p.Line), Cell: int(p.From)}, ride.Place{Line: r.Starts[k] - 1}
		}
		paper, edition = append(paper, from), append(edition, to)
	}
	return paper, edition
}

// rideLines tells the rides of a report, before and after.
func rideLines(list []ridden) []string {
	var out []string
	for _, r := range list {
		on := fmt.Sprintf("display of %d cells, ", r.cells)
		was, is := rideJSON(r.cells, r.paper).facts(), rideJSON(r.cells, r.edition).facts()
		for i := range was {
			out = append(out, fmt.Sprintf("%s%s: sources %s, edition %s", on, was[i][0], was[i][1], is[i][1]))
		}
		out = append(out, fmt.Sprintf("%smoves saved: %d of 100; with --width 0: %d of 100", on, r.saved(r.edition), r.saved(r.long)))
	}
	return out
}

// saved is how many moves of a hundred an edition saves, rounded down.
func (r ridden) saved(edition ride.Result) int {
	if r.paper.Moves() == 0 {
		return 0
	}
	return (r.paper.Moves() - edition.Moves()) * 100 / r.paper.Moves()
}

// jsonRide is one ride. Moves that lead to a place that was not found are -1.
type jsonRide struct {
	Cells   int `json:"cells"`
	Moves   int `json:"moves_through_the_text"`
	Title   int `json:"moves_to_the_title"`
	Heading int `json:"moves_to_the_first_heading_of_the_text"`
	Blank   int `json:"blank_windows"`
	InText  int `json:"blank_windows_from_the_first_heading_on"`
	Near    int `json:"near_blank_windows"`
	Cut     int `json:"windows_that_cut_a_word"`
}

type jsonRides struct {
	Outcome string     `json:"outcome"`
	Files   int        `json:"files"`
	Rides   []jsonRide `json:"rides"`
}

// jsonBoth is a ride before and after.
type jsonBoth struct {
	Cells   int      `json:"cells"`
	Sources jsonRide `json:"sources"`
	Edition jsonRide `json:"edition"`
	Saved   int      `json:"percent_of_moves_saved"`
	Long    int      `json:"percent_of_moves_saved_with_width_0"`
}

func rideJSON(cells int, r ride.Result) jsonRide {
	in := r.Blank - r.Before[1]
	if r.To[1] < 0 {
		in = r.Blank
	}
	return jsonRide{cells, r.Moves(), r.To[0], r.To[1], r.Blank, in, r.Near, r.Cut}
}

func ridesJSON(list []ridden) []jsonBoth {
	out := []jsonBoth{}
	for _, r := range list {
		out = append(out, jsonBoth{r.cells, rideJSON(r.cells, r.paper), rideJSON(r.cells, r.edition), r.saved(r.edition), r.saved(r.long)})
	}
	return out
}

// facts are the figures of a ride, each with its label.
func (r jsonRide) facts() [][2]string {
	to := func(n int) string {
		if n < 0 {
			return "not found"
		}
		return strconv.Itoa(n)
	}
	return [][2]string{
		{"moves through the text", strconv.Itoa(r.Moves)},
		{"moves to the title", to(r.Title)},
		{"moves to the first heading of the text", to(r.Heading)},
		{"blank windows", strconv.Itoa(r.Blank)},
		{"blank windows from the first heading of the text on", strconv.Itoa(r.InText)},
		{"near-blank windows", strconv.Itoa(r.Near)},
		{"windows that cut a word", strconv.Itoa(r.Cut)},
	}
}
