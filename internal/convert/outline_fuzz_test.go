package convert_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
)

// reseal puts another outline into an account, with the hash that then belongs
// at its end.
func reseal(t *testing.T, account []byte, outline map[string]any) []byte {
	t.Helper()
	first, rest, _ := bytes.Cut(account, []byte{'\n'})
	var head map[string]any
	if err := json.Unmarshal(first, &head); err != nil {
		t.Fatal(err)
	}
	head["settings"].(map[string]any)["outline"] = outline
	first, err := json.Marshal(head)
	if err != nil {
		t.Fatal(err)
	}
	body := append(append(first, '\n'), rest...)
	cut := bytes.LastIndexByte(body[:len(body)-1], '\n') + 1
	var tail map[string]any
	if err := json.Unmarshal(body[cut:], &tail); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(body[:cut])
	tail["sha256"] = hex.EncodeToString(sum[:])
	last, err := json.Marshal(tail)
	if err != nil {
		t.Fatal(err)
	}
	return append(append(body[:cut:cut], last...), '\n')
}

func outlineIn(t *testing.T, account []byte) map[string]any {
	t.Helper()
	var head struct {
		Settings struct {
			Outline map[string]any `json:"outline"`
		} `json:"settings"`
	}
	first, _, _ := bytes.Cut(account, []byte{'\n'})
	if err := json.Unmarshal(first, &head); err != nil || head.Settings.Outline == nil {
		t.Fatal(err)
	}
	return head.Settings.Outline
}

// An outline that somebody wrote, with any slips, is an error or gives an
// edition that is proved: never a panic, and never a lost word.
func TestSlipsInAnOutline(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	title := demo.Titles[1] // the smallest
	first, err := convert.Make(demoFiles(t, title), widths("sparse", 17))
	if err != nil {
		t.Fatal(err)
	}
	f, err := source.Parse("x.brf", first.Edition)
	if err != nil {
		t.Fatal(err)
	}
	refused, made := 0, 0
	for range 300 {
		o := outlineIn(t, first.Account)
		for _, key := range []string{"blocks", "styles", "links", "turns"} {
			text, _ := o[key].(string)
			b := []byte(text)
			for range r.IntN(3) {
				at := r.IntN(len(b) + 1)
				switch slip := "aZz*.9 -0(n"[r.IntN(11)]; {
				case at < len(b) && r.IntN(2) == 0:
					b[at] = slip
				case at < len(b) && r.IntN(3) == 0:
					b = append(b[:at], b[at+1:]...)
				default:
					b = append(b[:at], append([]byte{slip}, b[at:]...)...)
				}
			}
			if len(b) > 0 {
				o[key] = string(b)
			}
		}
		res, err := convert.Again(convert.Edition{File: f, Account: reseal(t, first.Account, o)}, widths("sparse", 30))
		if err != nil {
			refused++
			continue
		}
		made++
		if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
			t.Errorf("%v: not proved: %v", o, rep.Problems[0])
		}
	}
	if refused == 0 || made == 0 {
		t.Errorf("%d refused, %d made: the slips prove nothing", refused, made)
	}
}

// Editions with a page that tells the way, or with marks before headwords, can
// be made again too.
func TestAgainWithAWayPage(t *testing.T) {
	for _, where := range []string{"front", "end"} {
		o := convert.Defaults()
		o.Profile.Way = where
		first, err := convert.Make(demoFiles(t, demo.Titles[0]), o)
		if err != nil {
			t.Fatal(err)
		}
		f, err := source.Parse("x.brf", first.Edition)
		if err != nil {
			t.Fatal(err)
		}
		got, err := convert.Again(convert.Edition{File: f, Account: first.Account}, widths("sparse", 40))
		if err != nil {
			t.Fatal(err)
		}
		if rep := check.Verify(got.Edition, got.Account, []*source.File{f}); !rep.OK {
			t.Errorf("%s: %v", where, rep.Problems[0])
		}
		again, err := convert.Again(convert.Edition{File: f, Account: first.Account}, widths("sparse", first.Stats.Width))
		if err != nil || !bytes.Equal(again.Edition, first.Edition) {
			t.Errorf("%s: at the same width it is another edition: %v", where, err)
		}
	}
}
