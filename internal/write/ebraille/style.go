package ebraille

import (
	"fmt"
	"strings"
)

// style is the one style sheet. Lengths are in ch, one cell, and rem, one line
// (6.3.2, 13.2.4); nothing changes the look of a character, nothing is asked of
// the device, and what marks an item stands in its own text (6.2.2).
var style = func() string {
	var b strings.Builder
	b.WriteString(`@charset "UTF-8";
p, ul, ol, dl, dd, pre, table { margin: 0; padding: 0; }
p { text-indent: 2ch; }
ul, ol { list-style-type: none; }
ul ul, ol ol { margin-left: 2ch; }
h1, h2, h3, h4, h5, h6 { margin: 1rem 0 0 4ch; break-after: avoid; }
li, dt, .hanging { margin-left: 4ch; text-indent: -4ch; }
dd { margin-left: 2ch; }
li p, .left-aligned, .label, .title-line, .separator, .page-turn { text-indent: 0; }
.gap, .lines, .poetry, table, pre { margin-top: 1rem; }
.transcriber-note { margin-left: 4ch; }
td, th { padding-right: 2ch; }
pre { white-space: pre; }
[role="doc-pagebreak"] { text-indent: 0; }
`)
	for n := 1; n <= largestInset; n++ {
		fmt.Fprintf(&b, ".inset-%d { margin-left: %dch; }\n", n, n+4)
	}
	return b.String()
}()
