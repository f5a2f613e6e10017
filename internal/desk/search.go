package desk

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
)

// A search goes through the titles that have doubts of a rule's kind, for the places
// that come out otherwise under the rule. It goes on while its page is closed, until
// another one is begun; the page tells how far it is.
type search struct {
	of   string // what it is about
	made int64  // version of the catalogue when it began
	stop context.CancelFunc
	mu   sync.Mutex
	now  searchState
}

// searchState is how far a search is.
type searchState struct {
	Done, Of int          // titles looked at, of so many
	Failed   int          // titles among these that cannot be made
	Changes  int          // places that come out otherwise
	List     []ruleChange // the first of these
	Fault    string       // why the titles cannot be listed
	Over     bool
}

func (s *search) state() searchState {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

// searches are the searches of a desk: the last one.
type searches struct {
	mu   sync.Mutex
	last *search
}

const (
	ruleShown = 100                   // changes that are listed
	soon      = 40 * time.Millisecond // how long an answer waits for a search that may be over soon
)

// elsewhere is what a rule would change in the titles besides x, as far as it is known.
// The first question about a rule begins the search, and the first one after somebody
// has written to the catalogue since a search ended.
func (d *Desk) elsewhere(x *catalogue.Detail, t *title, rule decide.Rule) searchState {
	of := fmt.Sprintf("%q %q %q %q %s %s", x.Key, rule.Kind, rule.Alike, rule.Choice, t.settings.Profile, stamp(t.settings.Profile))
	d.searches.mu.Lock()
	defer d.searches.mu.Unlock()
	version, _ := d.cat.Version(context.Background()) // a fault shows when titles are listed
	if s := d.searches.last; s != nil && s.of == of {
		if now := s.state(); !now.Over || s.made == version {
			return now
		}
	}
	if s := d.searches.last; s != nil {
		s.stop()
	}
	s := &search{of: of, made: version}
	var going context.Context
	going, s.stop = context.WithCancel(context.Background())
	d.searches.last = s
	over := make(chan struct{})
	go func() {
		defer close(over)
		s.run(going, d, x.Key, t.settings, rule)
	}()
	select {
	case <-over:
	case <-time.After(soon):
	}
	return s.state()
}

// run looks through the titles besides one.
func (s *search) run(ctx context.Context, d *Desk, besides string, set Settings, rule decide.Rule) {
	list, err := d.cat.List(ctx, catalogue.Filter{Asked: rule.Kind})
	list.Titles = slices.DeleteFunc(list.Titles, func(t catalogue.Title) bool { return t.Key == besides })
	s.mu.Lock()
	s.now.Of = len(list.Titles)
	if err != nil {
		s.now.Fault = err.Error()
	}
	s.mu.Unlock()
	for _, other := range list.Titles {
		if ctx.Err() == nil {
			s.note(d.changesIn(ctx, other.Key, set, rule))
		}
	}
	s.mu.Lock()
	s.now.Over = ctx.Err() == nil
	s.mu.Unlock()
}

// note takes down what was found in one title.
func (s *search) note(found []ruleChange, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now.Done++; err != nil {
		s.now.Failed++
	}
	s.now.Changes += len(found)
	s.now.List = append(s.now.List[:len(s.now.List):len(s.now.List)], found[:min(len(found), ruleShown-min(ruleShown, len(s.now.List)))]...)
}

func (d *Desk) changesIn(ctx context.Context, key string, set Settings, rule decide.Rule) ([]ruleChange, error) {
	y, err := d.cat.Show(ctx, key)
	if err != nil {
		return nil, err
	}
	_, people, err := decidefile.Read(batch.DecisionsFile(y.Title))
	if err != nil {
		return nil, err
	}
	t, err := d.make(y, set, people)
	if err != nil {
		return nil, err
	}
	return changes(y, rule.Changes(t.res.Questions)), nil
}
