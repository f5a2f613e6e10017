package triage_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/source"
	"continuo/internal/triage"
)

// TestAsk holds that what only a look can settle is asked about, and what an
// answer does: the title is passed on, or waits; other sources, or more places,
// are asked about anew.
func TestAsk(t *testing.T) {
	input := func(places int, sums ...string) triage.Input {
		in := triage.Input{Result: &convert.Result{}, Proof: &check.Report{OK: true}}
		for range places {
			in.Result.Findings = append(in.Result.Findings, diag.Finding{ID: "note-not-joined", Severity: diag.Look, Text: "no reference to this note was found"})
		}
		for _, s := range sums {
			in.Files = append(in.Files, &source.File{Name: s + ".brf", SHA256: s})
		}
		return in
	}
	list := triage.Ask(input(2, "a", "b"))
	if len(list) != 1 || list[0].Kind.ID != decide.LookedAt || !list[0].Open() || list[0].Severity != diag.Look {
		t.Fatalf("asked: %+v", list)
	}
	answer := func(in triage.Input, choice string) triage.Verdict {
		in.Decisions = &decide.File{Answers: []decide.Answer{list[0].With(choice, "Ann", "", "2026-01-31")}}
		return triage.Judge(in)
	}
	for _, c := range []struct {
		what   string
		in     triage.Input
		choice string
		want   catalogue.State
	}{
		{"passed on", input(2, "a", "b"), decide.PassOn, catalogue.Ready},
		{"the files in another order", input(2, "b", "a"), decide.PassOn, catalogue.Ready},
		{"to wait", input(2, "a", "b"), decide.Wait, catalogue.Stop},
		{"another volume", input(2, "a", "c"), decide.PassOn, catalogue.Look},
		{"one more place", input(3, "a", "b"), decide.PassOn, catalogue.Look},
	} {
		if v := answer(c.in, c.choice); v.State != c.want {
			t.Errorf("%s: %s, want %s: %v", c.what, v.State, c.want, v.Reasons)
		}
	}
	if v := answer(input(2, "a", "b"), decide.PassOn); !strings.Contains(v.Reasons[0].Text, "Ann") {
		t.Errorf("who looked is not told: %v", v.Reasons)
	}
}

// A finding that has a question of its own, and what another supply of files or
// settings mends, is not asked about twice.
func TestAskOnce(t *testing.T) {
	in := triage.Input{Result: &convert.Result{Findings: []diag.Finding{
		{ID: "head-or-heading", Severity: diag.Look, Question: "line-1"}, {ID: "decision-lost", Severity: diag.Look}, {ID: "contents-entry", Severity: diag.Note},
	}}, Beside: "other.brf"}
	if list := triage.Ask(in); len(list) != 0 {
		t.Errorf("asked: %+v", list)
	}
}

// TestAskOfHouse: a house whose books never say that they end answers once for all of them; an answer about
// the title goes before.
func TestAskOfHouse(t *testing.T) {
	last := convert.VolumeSurvey{File: "b.brf", FormFeeds: true, Pages: 30, BodyPage: 2, Evidence: convert.Evidence{Ended: true, Full: true, Pages: 28, AsHigh: 28, Numbered: true, Final: source.FinalFeed, Tail: "nf"}}
	in := triage.Input{Proof: &check.Report{OK: true}, Result: &convert.Result{Book: &book.Book{}, Survey: &convert.Survey{Titles: []convert.TitleSurvey{{Volumes: []convert.VolumeSurvey{last}}}}}}
	list := triage.Ask(in)
	if len(list) != 1 || list[0].Kind.ID != decide.EndUntold || !list[0].Open() {
		t.Fatalf("asked: %+v", list)
	}
	rule := decide.Rule{Kind: decide.EndUntold, Choice: decide.PassOn, Who: "Ann"}
	if fault := rule.Fault(); fault != "" {
		t.Fatal(fault)
	}
	in.Rules = []decide.Rule{rule}
	if v := triage.Judge(in); v.State != catalogue.Ready || !strings.Contains(v.Reasons[0].Text, "Ann") {
		t.Errorf("by a house rule: %s, %v", v.State, v.Reasons)
	}
	in.Decisions = &decide.File{Answers: []decide.Answer{list[0].With(decide.Wait, "Bea", "", "2026-01-31")}}
	if v := triage.Judge(in); v.State != catalogue.Stop {
		t.Errorf("to wait by a person: %s, %v", v.State, v.Reasons)
	}
}
