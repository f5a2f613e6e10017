package ebrl_test

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"continuo/internal/ebrl"
)

func unpack(data []byte) ([]pair, error) {
	var out []pair
	err := ebrl.Unpack("x.ebrl", bytes.NewReader(data), int64(len(data)), func(path string, data []byte) error {
		out = append(out, pair{path, string(data)})
		return nil
	})
	return out, err
}

func TestUnpack(t *testing.T) {
	got, err := unpack(pack(t, good(), nil))
	if err != nil || !slices.Equal(got, good()) {
		t.Errorf("%d files, %v", len(got), err)
	}
}

// TestUnpackRefuses: nothing is written of a package with a name that is not
// allowed.
func TestUnpackRefuses(t *testing.T) {
	for name, why := range map[string]string{
		"../evil": "leads out", "/evil": "leads out", `..\evil`: "leads out", "a/../../evil": "leads out", "c:evil": "not allowed", "a\x00b": "control",
		css: "twice", "ebraille": "a file and a folder", "EBRAILLE/style.css": "only in case",
	} {
		got, err := unpack(pack(t, append(good(), pair{name, "x"}), nil))
		var r *ebrl.Refused
		if !errors.As(err, &r) || !strings.Contains(err.Error(), why) || len(got) > 0 {
			t.Errorf("%q: %d files, %v, want %q", name, len(got), err, why)
		}
	}
	if got, err := unpack(bomb(t, "ebraille/bomb", deflated(8<<20), 8<<20, good())); err == nil || len(got) > 0 {
		t.Errorf("a bomb is unpacked: %d files, %v", len(got), err)
	}
	if got, err := unpack(pack(t, []pair{{"bell-1.brf", "x"}}, nil)); err == nil || len(got) > 0 || !strings.Contains(err.Error(), "no eBraille publication") {
		t.Errorf("a zip of volumes: %d files, %v", len(got), err)
	}
	stop := errors.New("stop")
	data := pack(t, good(), nil)
	if err := ebrl.Unpack("x.ebrl", bytes.NewReader(data), int64(len(data)), func(string, []byte) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("%v", err)
	}
}
