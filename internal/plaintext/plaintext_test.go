package plaintext

import (
	"os"
	"path/filepath"
	"testing"
)

// The marks are those of Unicode 16.0, section 23.8, table 23-6.
func TestDecode(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"no mark":    {"name = \"é\"\r\n", "name = \"é\"\r\n"},
		"UTF-8":      {"\xEF\xBB\xBFa = 1\r\n", "a = 1\r\n"},
		"UTF-16LE":   {"\xFF\xFEa\x00\xE9\x00\r\x00\n\x00", "aé\r\n"},
		"UTF-16BE":   {"\xFE\xFF\x00a\x28\x01", "a⠁"},
		"empty":      {"", ""},
		"mark alone": {"\xEF\xBB\xBF", ""},
		"no text":    {"\x80\x81", "\x80\x81"},
	} {
		if got := string(Decode([]byte(c.in))); got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
	}
}

func TestReadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.toml")
	if _, err := ReadFile(path); !os.IsNotExist(err) {
		t.Errorf("got %v", err)
	}
	if err := os.WriteFile(path, []byte("\xFF\xFEa\x00"), 0o666); err != nil {
		t.Fatal(err)
	}
	if got, err := ReadFile(path); string(got) != "a" || err != nil {
		t.Errorf("got %q, %v", got, err)
	}
}

// A cell that begins so is a formula to spreadsheets (OWASP, CSV Injection, from memory).
func TestInert(t *testing.T) {
	for in, want := range map[string]string{"=1+1": "'=1+1", "+a": "'+a", "-a": "'-a", "@a": "'@a", "\ta": "'\ta", "a=1": "a=1", "": ""} {
		if got := Inert(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
