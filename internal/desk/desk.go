// Package desk is the archive as web pages for one person at this machine: what
// wants a look first, the doubtful places with their evidence, what stood on
// paper and what became of it, the edition as a display shows it.
//
// It works on the same catalogue and the same files of decisions as the command
// line and calls the same functions, so that a decision taken here and one taken
// there are the same bytes. A title that is looked into is converted in memory;
// editions on disk are written by runs alone.
//
// The pages are made on the server (html/template, embedded) and are complete
// without a script. The server listens on the loopback address only; guard.go
// says who may ask it.
//
// A page is one row in the table of routes.go, one file with its handler and one
// template. A handler returns a view; page.go puts head, navigation and foot
// around it.
package desk

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/convert"
)

// Settings are what titles of a catalogue are made with.
type Settings struct {
	Make    convert.Options
	Profile string // file or name of the house settings, "" for none
}

// Options are what a desk needs. Settings returns the settings for what a run
// remembered in the catalogue ("" before the first one).
type Options struct {
	Catalogue *catalogue.Catalogue
	Settings  func(remembered string) (Settings, error)
	Who       string       // who decides, until the person says otherwise on the page
	Say       func(string) // one plain line for the terminal
	Today     func() string
	Shared    Shared
}

// Desk serves the pages.
type Desk struct {
	o     Options
	cat   *catalogue.Catalogue
	host  string // host and port that requests must name
	pages map[string]*template.Template
	mux   *http.ServeMux

	mu       sync.Mutex
	link     string          // the token that opens the desk once
	sessions map[string]bool // tokens of browsers that were let in
	secret   []byte          // of the tokens of forms

	titles titles
	jobs   jobs

	searches searches
	counted  counted
}

// New makes a desk that answers requests for host, such as 127.0.0.1:8020.
func New(o Options, host string) (*Desk, error) {
	if o.Say == nil {
		o.Say = func(string) {}
	}
	if o.Today == nil {
		o.Today = func() string { return time.Now().Format(time.DateOnly) }
	}
	d := &Desk{o: o, cat: o.Catalogue, host: host, sessions: map[string]bool{}, secret: []byte(token())}
	d.titles.kept = map[string]*title{}
	d.link = token()
	var err error
	if d.pages, err = parsePages(); err != nil {
		return nil, err
	}
	d.mux = d.routes()
	return d, nil
}

// token is 256 bits from the system's source of randomness, in signs that may
// stand in an address.
func token() string {
	b := make([]byte, 32)
	rand.Read(b) // never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

// Link is the address that opens the desk. It works once.
func (d *Desk) Link() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return "http://" + d.host + "/in?token=" + d.link
}

// Limits of the server.
const (
	maxHeader = 32 << 10
	maxBody   = 64 << 10
	slowest   = 2 * time.Minute // for a title that is large and was never looked into
	leave     = 5 * time.Second // for answers that are under way when the desk is stopped
)

// Serve answers on the loopback address until ctx ends. port 0 takes a free one.
// ready is called once with the link.
func Serve(ctx context.Context, o Options, port int, ready func(link string)) error {
	l, err := net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return fmt.Errorf("port %d cannot be used: %w", port, err)
	}
	d, err := New(o, l.Addr().String())
	if err != nil {
		l.Close()
		return err
	}
	s := &http.Server{Handler: d, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: slowest, IdleTimeout: time.Minute, MaxHeaderBytes: maxHeader,
		ErrorLog: log.New(io.Discard, "", 0)} // of connections that break off
	done := make(chan error, 1)
	go func() { done <- s.Serve(l) }()
	ready(d.Link())
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	end, cancel := context.WithTimeout(context.Background(), leave)
	defer cancel()
	if err := s.Shutdown(end); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return s.Close()
}
