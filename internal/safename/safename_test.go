package safename

import "testing"

// Accents go by Unicode's own decompositions (Unicode Standard Annex #15); letters
// that have none, as the passport rules write them in plain letters (ICAO Doc 9303,
// part 3, section 6), but for umlauts, which lose their dots here.
func TestFold(t *testing.T) {
	for in, want := range map[string]string{
		"Élan vital":  "elan vital",
		"Straße":      "strasse",
		"Søren Ærø":   "soren aero",
		"Łódź":        "lodz",
		"Þór":         "thor",
		"Œuvres":      "oeuvres",
		"Ŵy Ŷ":        "wy y",
		"fin ½ ２":     "fin 1⁄2 2",
		"Книга":       "книга",
		"e\u0301tude": "etude",
	} {
		if got := Fold(in); got != want {
			t.Errorf("Fold(%q) = %q, want %q", in, got, want)
		}
	}
}

// Microsoft Learn, "Naming Files, Paths, and Namespaces".
func TestDevice(t *testing.T) {
	for _, name := range []string{"con", "AUX", "aux.x", "nul.tar.gz", "Com1 .txt", "lpt9", "com²", "CONOUT$", "prn."} {
		if !Device(name) {
			t.Errorf("%q is no device", name)
		}
	}
	for _, name := range []string{"", "com", "com10", "console", "aux-x", "x.aux", "lpt", "com ", "nul1"} {
		if Device(name) {
			t.Errorf("%q is a device", name)
		}
	}
}
