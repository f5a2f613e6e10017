package convert_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/source"
)

// mendedBook is a book of one page in which a word on one line, a word divided
// at a line end and a whole line were changed by a person.
func mendedBook(t *testing.T) (files []*source.File, text []byte, res *convert.Result) {
	t.Helper()
	var page strings.Builder
	for _, l := range []string{"  ,! cat sat on ! matt & ! dog ba-", "rkked all day at ! window4 ,! bird", "sang 9 ! tree until ! cat w5t away4", "",
		"        ,stray l9e", "", "  ,! end ( ! /ory is h]e4"} {
		page.WriteString(l + "\r\n")
	}
	f, err := source.Parse("a.brf", []byte(page.String()))
	if err != nil {
		t.Fatal(err)
	}
	files = []*source.File{f}
	for _, c := range [][2]string{{"matt", "mat"}, {"! window4 ,! bird sang", "! door4 ,! bird sang"}} {
		if text, err = decide.AddCorrection("x", text, decide.Correction{Old: c[0], New: c[1], Who: "Ann"}); err != nil {
			t.Fatal(err)
		}
	}
	stray := decide.Answer{ID: decide.PlaceID(decide.Line, f, 4), Kind: "head-or-heading", Choice: "leave-out", Cells: []string{",stray l9e"}, Who: "Ben", Why: "a note of the press"}
	if text, err = decide.Put("x", text, stray); err != nil {
		t.Fatal(err)
	}
	opt := convert.Defaults()
	if opt.Decisions, err = decide.Parse("x", text); err != nil {
		t.Fatal(err)
	}
	if res, err = convert.Make(files, opt); err != nil {
		t.Fatal(err)
	}
	for _, m := range res.Corrected {
		if m.Why != "" {
			t.Fatalf("refused: %+v", m)
		}
	}
	return files, text, res
}

// resealed makes the hash at the end of a changed account true again.
func resealed(t *testing.T, account []byte) []byte {
	t.Helper()
	body := account[:bytes.LastIndexByte(account[:len(account)-1], '\n')+1]
	tail := string(account[len(body):])
	i := strings.LastIndex(tail, `"sha256":"`) + len(`"sha256":"`)
	sum := sha256.Sum256(body)
	return []byte(string(body) + tail[:i] + hex.EncodeToString(sum[:]) + tail[i+64:])
}

// What people changed is proved against the file of decisions alone: a wrong or
// missing file, or an account that says more than it, is found out.
func TestPeopleAreProved(t *testing.T) {
	files, text, res := mendedBook(t)
	if got := flatten(res.Edition); !strings.Contains(got, "on ! mat & !") || !strings.Contains(got, "at ! door4 ,! bird sang 9") || strings.Contains(got, "stray") {
		t.Errorf("edition: %s", got)
	}
	acc := string(res.Account)
	for _, want := range []string{`["correction",`, `["decision",`, "mended by a person: Ann", "decided by a person: Ben (a note of the press)", `"choice":"leave-out"`} {
		if !strings.Contains(acc, want) {
			t.Errorf("the account does not say %s", want)
		}
	}
	if rep := check.Verify(res.Edition, res.Account, files, text); !rep.OK {
		t.Errorf("not proved: %v", rep.Problems)
	}
	swap := func(old, new string) func([]byte, []byte) ([]byte, []byte) {
		return func(text, acc []byte) ([]byte, []byte) {
			out := bytes.Replace(text, []byte(old), []byte(new), 1)
			if bytes.Equal(out, text) {
				t.Fatalf("%q is not in the file", old)
			}
			return out, acc
		}
	}
	inAccount := func(old, new string) func([]byte, []byte) ([]byte, []byte) {
		return func(text, acc []byte) ([]byte, []byte) {
			out := bytes.Replace(acc, []byte(old), []byte(new), 1)
			if bytes.Equal(out, acc) {
				t.Fatalf("%q is not in the account", old)
			}
			return text, resealed(t, out)
		}
	}
	for _, c := range []struct {
		name, want string
		damage     func(text, acc []byte) ([]byte, []byte)
	}{
		{"no file", "no file of decisions was given", func(_, acc []byte) ([]byte, []byte) { return nil, acc }},
		{"other old cells", "no such correction", swap("old = 'matt'", "old = 'matte'")},
		{"other new cells", "no such correction", swap("new = 'mat'", "new = 'mate'")},
		{"other old cells on two lines", "no such correction", swap("old = '! window4", "old = '! widow4")},
		{"the line is kept", "does not say so", swap("'leave-out'", "'keep'")},
		{"other cells of the line", "does not say so", swap("cells = [',stray l9e']", "cells = [',stray l9es']")},
		{"no toml", "cannot be read", swap("[[answer]]", "[[answer]")},
		{"another class", "", inAccount(`["correction",`, `["rewritten",`)},
		{"a decision for what was mended", "", inAccount(`["correction",`, `["decision",`)},
	} {
		t.Run(c.name, func(t *testing.T) {
			changed, acc := c.damage(text, res.Account)
			var people [][]byte
			if changed != nil {
				people = append(people, changed)
			}
			rep := check.Verify(res.Edition, acc, files, people...)
			if rep.OK {
				t.Fatal("proved")
			}
			for _, p := range rep.Problems {
				if strings.Contains(p.String(), c.want) {
					return
				}
			}
			t.Errorf("problems: %v, want %q", rep.Problems, c.want)
		})
	}
}
