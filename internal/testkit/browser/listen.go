package browser

import (
	"net/url"
	"strings"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
)

// listen notes what goes wrong in a page.
func (w *Problems) listen(host string) func(any) {
	return func(event any) {
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			w.add("script: " + e.ExceptionDetails.Text)
		case *log.EventEntryAdded:
			if e.Entry.Level == "error" && !strings.Contains(e.Entry.Text, "responded with a status of 4") { // asked for on purpose
				w.add("console: " + e.Entry.Text + " " + e.Entry.URL)
			}
		case *network.EventRequestWillBeSent:
			if u, err := url.Parse(e.Request.URL); err == nil && u.Host != host && u.Scheme != "data" {
				w.add("a request to " + e.Request.URL)
			}
		}
	}
}
