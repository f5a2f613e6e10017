package assemble

import "testing"

// Volumes that lie in folders of their own lie together.
func TestFolderAVolume(t *testing.T) {
	for name, want := range map[string]string{"Emma/Volume 1/text.brf": "Emma/", "Volume 2/a.brf": "./", `x\Emma vol 2\a.brf`: "x/emma/", "a.brf": "", "Emma/a.brf": "Emma"} {
		if got := folder(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
