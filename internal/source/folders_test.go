package source

import "testing"

func TestVolumeFolder(t *testing.T) {
	for name, want := range map[string]string{"Volume 1": "", "vol_02": "", "v3": "", "Part Two": "", "VOLUME IV": "", "Emma Volume 1": "Emma", "40172v03": "40172", "The Bell - Vol. 2": "The Bell", "Emma_part_3": "Emma"} {
		if got, ok := VolumeFolder(name); !ok || got != want {
			t.Errorf("%q: %q, %v", name, got, ok)
		}
	}
	for _, name := range []string{"", "1", "Emma", "Emma 2", "depart 1", "volume", "Vol 100", "40172", "Notebook 1"} {
		if got, ok := VolumeFolder(name); ok {
			t.Errorf("%q is taken for a volume of %q", name, got)
		}
	}
}
