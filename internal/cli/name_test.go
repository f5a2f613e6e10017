package cli

import (
	"testing"

	"continuo/internal/source"
)

// Names of editions. The naming of volume files is common practice of the
// libraries that publish them (numbers with "v", "vol", letters, folders).
func TestDefaultName(t *testing.T) {
	cases := []struct {
		files []string
		args  []string
		want  string
	}{
		{[]string{"bell-1.brf", "bell-2.brf", "bell-3.brf"}, nil, "bell"},
		{[]string{"Winter Baker vol 1.brf", "Winter Baker vol 2.brf"}, nil, "Winter Baker"},
		{[]string{"WEATHERv01.BRF", "WEATHERv02.BRF"}, nil, "WEATHER"},
		{[]string{"12345v01.brf", "12345v02.brf"}, nil, "12345"},
		{[]string{"12345v09.brf", "12345v10.brf"}, nil, "12345"},
		{[]string{"1984-1.brf", "1984-2.brf"}, nil, "1984"},
		{[]string{"olive1.brf", "olive2.brf"}, nil, "olive"},
		{[]string{"The depart 1.brf", "The depart 2.brf"}, nil, "The depart"},
		{[]string{"Emma Part 1.brf", "Emma Part 2.brf"}, nil, "Emma"},
		{[]string{"set/book_vol_1.brf", "set/book_vol_2.brf"}, nil, "book"},
		{[]string{`set\book_vol_1.brf`, `set\book_vol_2.brf`}, nil, "book"},
		{[]string{"emma prelim.brf", "emma 1.brf"}, nil, "emma"},
		{[]string{"whole.brf"}, nil, "whole"},
		{[]string{"v1.brf", "v2.brf"}, []string{"/books/Emma"}, "Emma"},
		{[]string{"1.brf", "2.brf"}, []string{"/books/Emma.zip"}, "Emma"},
		{[]string{"1.brf", "2.brf"}, nil, "book"},
		{[]string{"con1.brf", "con2.brf"}, nil, "con-book"},         // a device on Windows
		{[]string{"aux.x 1.brf", "aux.x 2.brf"}, nil, "aux-book.x"}, // what comes after the full stop does not count
		{[]string{"what? 1.brf", "what? 2.brf"}, nil, "what"},
		{[]string{"a:b 1.brf", "a:b 2.brf"}, nil, "a-b"},
		{[]string{"caf\u00e9 1.brf", "caf\u00e8 2.brf"}, nil, "caf"}, // not half a letter
	}
	for _, c := range cases {
		var files []*source.File
		for _, name := range c.files {
			files = append(files, &source.File{Name: name})
		}
		if got, want := defaultName(files, c.args), c.want+"-continuous.brf"; got != want {
			t.Errorf("%q: %q, want %q", c.files, got, want)
		}
	}
}
