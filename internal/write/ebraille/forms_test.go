package ebraille_test

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/write/ebraille"
)

// build makes a book of blocks given in short. Each block is a line
// "kind/form/part level first/run text"; what may be left off: see short. A "+"
// before the kind stands for a wanted blank line, "~" for a block that goes on
// the one before. In the text, "{...}" is a print page turn and
// "<n=...>" a link to block n (a note reference where that block is a note, an
// entry of the contents in a contents entry, else a cross reference).
func build(tb testing.TB, lines ...string) *book.Book {
	tb.Helper()
	b := book.NewBook(nil)
	why := b.Why(book.Reason{Class: "statement", Why: "set by the test"})
	for i, line := range lines {
		bl, text := short(tb, line)
		text = marks(tb, b, int32(i), text)
		bl.Pieces = []book.Piece{{Vol: -1, Tool: []byte(text), Reason: why}}
		b.Blocks = append(b.Blocks, bl)
	}
	for i := range b.Links {
		l := &b.Links[i]
		switch {
		case b.Blocks[l.Target].Form == book.Note:
			l.Kind = book.NoteRef
		case b.Blocks[l.Block].Kind == book.Entry:
			l.Kind = book.ListRef
		default:
			l.Kind = book.CrossRef
		}
	}
	return b
}

var (
	kinds = map[string]book.Kind{"title": book.TitleLine, "heading": book.Heading, "para": book.Para, "line": book.Line, "rule": book.Rule,
		"turn": book.Turn, "entry": book.Entry, "label": book.Label}
	forms = map[string]book.Form{"": book.Plain, "verse": book.Verse, "item": book.ListItem, "row": book.TableRow, "fixed": book.Fixed, "term": book.Term,
		"note": book.Note, "more": book.NoteMore, "tn": book.TranscriberNote, "speech": book.Speech, "recipe": book.Recipe, "exercise": book.Exercise}
	parts = map[string]book.Part{"": book.Text, "titlepage": book.TitlePage, "prelims": book.Prelims, "contents": book.ContentsList, "notes": book.NotesPart,
		"back": book.BackMatter}
)

// short reads "para", "line/verse", "para/note/notes", with "@2" for a heading's
// level and ":4-6" for indents after it, then a blank and the text.
func short(tb testing.TB, line string) (book.Block, string) {
	tb.Helper()
	head, text, _ := strings.Cut(line, " ")
	var bl book.Block
	for ; head[0] == '+' || head[0] == '~'; head = head[1:] {
		bl.Blank.Want = bl.Blank.Want || head[0] == '+'
		bl.Cont = bl.Cont || head[0] == '~'
	}
	head, indents, _ := strings.Cut(head, ":")
	head, level, _ := strings.Cut(head, "@")
	names := append(strings.Split(head, "/"), "", "")
	kind, ok := kinds[names[0]]
	form, ok2 := forms[names[1]]
	part, ok3 := parts[names[2]]
	if !ok || !ok2 || !ok3 {
		tb.Fatalf("cannot be read: %s", line)
	}
	bl.Kind, bl.Form, bl.Part = kind, form, part
	if kind == book.Para {
		bl.First = 2
	}
	if level != "" {
		bl.Level = level[0] - '0'
	}
	if indents != "" {
		if _, err := fmt.Sscanf(indents, "%d-%d", &bl.First, &bl.Run); err != nil {
			tb.Fatal(err)
		}
	}
	return bl, text
}

// marks takes turns and links out of a text and puts them into the book.
func marks(tb testing.TB, b *book.Book, block int32, text string) string {
	tb.Helper()
	for {
		i := strings.IndexAny(text, "{<")
		if i < 0 {
			return text
		}
		end := map[byte]string{'{': "}", '<': ">"}[text[i]]
		j := strings.Index(text[i:], end) + i
		in := text[i+1 : j]
		if text[i] == '{' {
			f := strings.Fields(in)
			lab, ok := cell.ParseLabel([]byte(strings.TrimLeft(f[len(f)-1], `"3-`)))
			if !ok {
				tb.Fatalf("no label: %s", in)
			}
			b.Turns = append(b.Turns, book.PageMark{Block: block, From: int32(i), To: int32(i + len(in)), Label: lab})
		} else {
			n, word, _ := strings.Cut(in, "=")
			var to int32
			fmt.Sscan(n, &to)
			in = word
			b.Links = append(b.Links, book.Link{Block: block, From: int32(i), To: int32(i + len(in)), Target: to, Confidence: 1})
		}
		text = text[:i] + in + text[j+1:]
	}
}

// ascii puts Unicode braille back into cells, so that the cases can be read.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\u2800' {
			return '~' // a blank that is a cell of its own
		}
		if c, ok := cell.FromRune(r); ok {
			return rune(c)
		}
		return r
	}, s)
}

var ueb = ebraille.Options{Variant: english.Variant{Code: english.UEB, Contracted: true, Capitals: true}}

// TestShapes: what each kind and form of block becomes. Element names and roles
// are those of eBraille Tagging Best Practices (draft note, 17 October 2024) and
// DPUB-ARIA 1.1.
func TestShapes(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  string
	}{
		{"title page: the first line is the title", []string{"title ,! ,p", "title by"}, `<section epub:type="titlepage">
<h1>,! ,p</h1>
<p class="title-line">by</p>
</section>
`},
		{"without a title page the highest heading is h1", []string{"heading@1 ,a", "para x"}, `<section>
<h1 id="b1">,a</h1>
<p>x</p>
</section>
`},
		{"levels that are passed over are closed up; unknown counts as highest", []string{"heading@1 ,a", "+heading@4 ,b", "+heading@4 ,c", "+heading ,d"}, `<section>
<h1 id="b1">,a</h1>
<section>
<h2 id="b2">,b</h2>
</section>
<section>
<h2 id="b3">,c</h2>
</section>
</section>
<section>
<h1 id="b4">,d</h1>
</section>
`},
		{"a heading of two lines", []string{"heading *apt] #a", "heading ,! ,p"}, `<section role="doc-chapter" epub:type="chapter">
<h1 id="b1">*apt] #a<br/>,! ,p</h1>
</section>
`},
		{"paragraphs by their indents; a blank line between two", []string{"para a  b", "+para:0-0 c", "para:0-2 d"}, `<section>
<p>a b</p>
<p class="left-aligned gap">c</p>
<p class="hanging">d</p>
</section>
`},
		{"a print page turn inside a paragraph", []string{`para a {"3 #ab} b`}, `<section>
<p>a <span id="page-12" role="doc-pagebreak" epub:type="pagebreak" aria-label="#ab">"3 #ab</span> b</p>
</section>
`},
		{"a turn on its own line in a paragraph that goes on", []string{"para a", `turn {"3#c}`, "~para b", "para d"}, `<section>
<p>a <span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</span> b</p>
<p>d</p>
</section>
`},
		{"the same where only the indent tells", []string{"para a", `turn {--#c}`, "para:0-0 b", "turn ---", "+para:0-0 d"}, `<section>
<p>a <span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">--#c</span> b</p>
<p class="page-turn">---</p>
<p class="left-aligned">d</p>
</section>
`},
		{"turns between paragraphs, one without a number", []string{"para a", `turn {-----#c}`, "turn -----", "para d"}, `<section>
<p>a</p>
<div id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">-----#c</div>
<p class="page-turn">-----</p>
<p>d</p>
</section>
`},
		{"a turn between items goes into the next one", []string{"line/item a", `turn {"3#c}`, "line/item b"}, `<section>
<ul class="nomark">
<li>a</li>
<li><span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</span> b</li>
</ul>
</section>
`},
		{"lists within lists, by indents", []string{"line/item:0-2 a", "line/item:2-4 b", "line/item:4-6 c", "line/item:0-2 d", "line/item:3-5 e"}, `<section>
<ul class="nomark">
<li>a<ul class="nomark">
<li>b<ul class="nomark">
<li>c</li>
</ul>
</li>
</ul>
</li>
<li>d<ul class="nomark">
<li>e</li>
</ul>
</li>
</ul>
</section>
`},
		{"verse: a list a stanza, insets kept", []string{"line/verse:0-4 a", "line/verse:2-6 b", "+line/verse:0-4 c"}, `<section>
<ul class="poetry nomark">
<li>a</li>
<li class="inset-2">b</li>
</ul>
<ul class="poetry nomark">
<li>c</li>
</ul>
</section>
`},
		{"lines of which no more is known; runs of blanks keep their width", []string{"line a   b", "line c", "+line d"}, `<section>
<div class="lines">
<p class="hanging">a~~ b</p>
<p class="hanging">c</p>
</div>
<div class="lines">
<p class="hanging">d</p>
</div>
</section>
`},
		{"a table with its heads over a rule", []string{"line/row day  high", "line/row 333  3333", "line/row mon  #a", "+line/row sun  #b c"}, `<section>
<table>
<thead>
<tr><th scope="col">day</th><th scope="col">high</th></tr>
<tr><td>333</td><td>3333</td></tr>
</thead>
<tbody>
<tr><td>mon</td><td>#a</td></tr>
<tr><td>sun</td><td>#b c</td></tr>
</tbody>
</table>
</section>
`},
		{"a table without heads, a turn within", []string{"line/row a  b", `turn {"3#c}`, "line/row c  d"}, `<section>
<table>
<tbody>
<tr><td>a</td><td>b</td></tr>
<tr><td><span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</span> c</td><td>d</td></tr>
</tbody>
</table>
</section>
`},
		{"a table whose columns do not agree stays as it is", []string{"line/row a  b", "line/row:2-0 c"}, `<section>
<pre class="table">a~~b
~~c</pre>
</section>
`},
		{"matter as it is", []string{"line/fixed #a  +  #b", "line/fixed:3-0 333", `turn {"3#c}`, "line/fixed x", "+line/fixed y"}, `<section>
<pre>#a~~+~~#b
~~~333
<span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</span>
x</pre>
<pre>y</pre>
</section>
`},
		{"a glossary whose terms end in colons", []string{"heading/-/back ,glo", "para/term/back ,ebb3 go+ \\t", "para/term/back ,! ,weir3 a dam"}, `<section>
<h1 id="b1">,glo</h1>
<dl class="glossary">
<dt>,ebb3</dt>
<dd>go+ \t</dd>
<dt>,! ,weir3</dt>
<dd>a dam</dd>
</dl>
</section>
`},
		{"one whose terms are set off by a dash", []string{"para/term ebb ,- go+", "para/term weir ,- dam"}, `<section>
<dl class="glossary">
<dt>ebb</dt>
<dd>,- go+</dd>
<dt>weir</dt>
<dd>,- dam</dd>
</dl>
</section>
`},
		{"one whose terms cannot be told", []string{"para/term ebb go+ \\t", "para/term weir3 dam"}, `<section>
<ul class="glossary nomark">
<li>ebb go+ \t</li>
<li>weir3 dam</li>
</ul>
</section>
`},
		{"an index", []string{"heading/-/back ,9dex", "line/term/back ,ebb #c", "line/term/back:2-4 ,spr+ #d", "line/term/back ,weir #e"}, `<section role="doc-index">
<h1 id="b1">,9dex</h1>
<ul class="index nomark">
<li>,ebb #c<ul class="index nomark">
<li>,spr+ #d</li>
</ul>
</li>
<li>,weir #e</li>
</ul>
</section>
`},
		{"transcriber's notes", []string{"para/tn a", "para/tn b"}, `<section>
<div class="transcriber-note">
<p>a</p>
<p>b</p>
</div>
</section>
`},
		{"speeches, recipes, exercises", []string{"para/speech ,ann4 hi", "line/recipe #a egg", "line/exercise #a4 add"}, `<section>
<p class="speech hanging">,ann4 hi</p>
<ul class="recipe nomark">
<li>#a egg</li>
</ul>
<ul class="exercise nomark">
<li>#a4 add</li>
</ul>
</section>
`},
		{"rules and labels keep their cells", []string{"rule 333333", "label ,two"}, `<section>
<p class="separator">333333</p>
<p class="label">,two</p>
</section>
`},
		{"a note in the text, and back to its reference", []string{"para x <1=99> y", "para/note 99 ,z", "para/more w"}, `<section>
<p>x <a id="ref1" href="part-001.xhtml#b2" role="doc-noteref" epub:type="noteref">99</a> y</p>
<aside id="b2" role="doc-footnote" epub:type="footnote">
<p><a role="doc-backlink" href="part-001.xhtml#ref1">99</a> ,z</p>
<p>w</p>
</aside>
</section>
`},
		{"notes after the text", []string{"para x <2=9#a>", "heading/-/notes ,notes", "para/note/notes #a ,z", "para/more/notes w", "para/note/notes #b v"}, `<section>
<p>x <a id="ref1" href="part-002.xhtml#b3" role="doc-noteref" epub:type="noteref">9#a</a></p>
</section>
<section role="doc-endnotes" epub:type="endnotes">
<h1 id="b2">,notes</h1>
<ol class="notes nomark">
<li id="b3"><p><a role="doc-backlink" href="part-001.xhtml#ref1">#a</a> ,z</p>
<p>w</p>
</li>
<li><p>#b v</p>
</li>
</ol>
</section>
`},
		{"contents with links, and a cross reference to a page", []string{"heading/-/contents ,3t5ts", "entry/-/contents <3=,! ,p> #c", "entry/-/contents:2-6 b", "heading@1 ,! ,p", `turn {"3#c}`, "para see <4=page #c>"},
			`<section>
<h1 id="b1">,3t5ts</h1>
<ol class="toc nomark">
<li><a href="part-002.xhtml#b4">,! ,p</a> #c<ol class="toc nomark">
<li>b</li>
</ol>
</li>
</ol>
</section>
<section>
<h1 id="b4">,! ,p</h1>
<div id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</div>
<p>see <a href="part-002.xhtml#page-3">page #c</a></p>
</section>
`},
		{"a link that cuts into a page turn is plain text", []string{`para <1=a>{"3#c} b`, "para c"}, `<section>
<p><a href="part-001.xhtml#b2">a</a><span id="page-3" role="doc-pagebreak" epub:type="pagebreak" aria-label="#c">"3#c</span> b</p>
<p id="b2">c</p>
</section>
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			ed := written(t, build(t, c.lines...), metadata("T"), ueb)
			if got := bodies(ed); got != c.want {
				t.Errorf("got:\n%s\nwant:\n%s", got, c.want)
			}
		})
	}
}

func init() { forms["-"] = book.Plain }

// bodies joins the bodies of the content files, in cells.
func bodies(ed *ebraille.Edition) string {
	var b strings.Builder
	for _, s := range regexp.MustCompile(`<body epub:type="[a-z]+">\n`).Split(content(ed), -1)[1:] {
		s, _, _ = strings.Cut(s, "</body>")
		b.WriteString(ascii(s))
	}
	return b.String()
}

// TestEveryKindIsWritten: no kind, form or part is left without a shape, and
// the ones after the last known are errors.
func TestEveryKindIsWritten(t *testing.T) {
	for k := book.TitleLine; k <= book.Label+1; k++ {
		for f := book.Plain; f <= book.Exercise+1; f++ {
			for p := book.Text; p <= book.BackMatter+1; p++ {
				b := build(t, "para x", "para y", "para z")
				b.Blocks[1].Kind, b.Blocks[1].Form, b.Blocks[1].Part = k, f, p
				ed, err := ebraille.Write(b, metadata("T"), ueb)
				var unknown *ebraille.UnknownBlock
				if known := k <= book.Label && f <= book.Exercise && p <= book.BackMatter; !known {
					if !errors.As(err, &unknown) || unknown.Block != 1 {
						t.Errorf("kind %d form %d part %d: %v", k, f, p, err)
					}
				} else if err != nil {
					t.Errorf("%s, %s, %s: %v", k, f, p, err)
				} else if got := strings.Join(wordsOf(content(ed)), " "); got != "x y z" {
					t.Errorf("%s, %s, %s: %q", k, f, p, got)
				}
			}
		}
	}
}

// TestForeign: a byte that is no cell is never dropped.
func TestForeign(t *testing.T) {
	b := build(t, "para a")
	b.Blocks[0].Pieces[0].Tool = []byte("a\xe9b \x01<c")
	ed := written(t, b, metadata("T"), ueb)
	if got := bodies(ed); !strings.Contains(got, "<p>a\u28FFb \u28FF<c</p>") {
		t.Errorf("got %s", got)
	}
	if ed.Foreign != 2 {
		t.Errorf("%d foreign bytes, want 2", ed.Foreign)
	}
	if opf := fileOf(t, ed, "package.opf"); !strings.Contains(opf, `brailleCellType">6, 8<`) {
		t.Error("cells of eight dots are not told in the metadata")
	}
}

func TestEmpty(t *testing.T) {
	for _, lines := range [][]string{nil, {"para"}, {"para  ", "line"}} {
		_, err := ebraille.Write(build(t, lines...), metadata("T"), ueb)
		if !errors.Is(err, ebraille.Empty{}) {
			t.Errorf("%q: %v", lines, err)
		}
	}
}

// TestSameBytes: two runs give the same package.
func TestSameBytes(t *testing.T) {
	lines := []string{"title ,! ,p", "heading@1 ,a", "para x <3=99>", `para/note 99 {"3#c} z`}
	one, err := written(t, build(t, lines...), metadata("T"), ueb).Pack()
	if err != nil {
		t.Fatal(err)
	}
	two, err := written(t, build(t, lines...), metadata("T"), ueb).Pack()
	if err != nil || !bytes.Equal(one, two) {
		t.Errorf("two packages differ, %v", err)
	}
}
