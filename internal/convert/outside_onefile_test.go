package convert_test

import (
	"bytes"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestOutsideOneFile puts the volumes of titles, liblouis translations of open texts
// that the press set, one after the other into one file, as people do who join files by
// hand (common practice): each volume is found again, and the edition is the one that the
// files give.
func TestOutsideOneFile(t *testing.T) {
	titles, whole, same := 0, 0, 0
	for seed := uint64(700); seed < 740; seed++ {
		title, _ := undamaged(t, seed)
		if title.Lay.PrelimVolume || len(title.Files) < 2 {
			continue
		}
		var raw []byte
		n := 0
		for _, f := range title.Files {
			if s, err := source.Parse(f.Name, f.Raw); err != nil || s.Encoding != source.ASCII && s.Encoding != source.UTF8 {
				n = -1
				break
			}
			raw, n = append(raw, f.Raw...), n+1
			if !bytes.ContainsAny(raw[len(raw)-1:], "\r\n\f") {
				raw = append(raw, '\n')
			}
		}
		if n < 0 {
			continue
		}
		titles++
		files, err := source.ParseAll("joined.brf", raw)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		bytesRead := int64(0)
		for _, f := range files {
			bytesRead += f.Bytes
		}
		if bytesRead != int64(len(raw)) {
			t.Errorf("seed %d: the volumes have %d bytes, the file %d", seed, bytesRead, len(raw))
		}
		if len(files) != n {
			t.Logf("seed %d: %d of %d volumes found", seed, len(files), n)
			continue
		}
		whole++
		got, err := convert.Make(files, convert.Defaults())
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		want, err := convertTitle(title, convert.Defaults(), 0)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(got.Edition, want.Edition) {
			same++
		} else {
			t.Logf("seed %d: another edition", seed)
		}
	}
	t.Logf("%d titles, of %d all volumes found, %d editions the same", titles, whole, same)
	if titles < 20 || 20*whole < 19*titles || 20*same < 19*whole {
		t.Error("too few")
	}
}
