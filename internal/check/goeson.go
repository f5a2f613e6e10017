package check

import "continuo/internal/cell"

// wrongGoesOn judges a heading left out because it says that a chapter goes on from the
// volume before, "chapter 3 (continued)" (common practice), over several lines or not:
// its words are those of lines before that can be headings. It says nothing of other
// lines.
func (f *faces) wrongGoesOn(l left, before int) (why string, judged bool) {
	if !l.whole || !f.headingGoesOn(l) {
		return "", false
	}
	text := withoutContinued(l.text)
	if len(text) > 0 && !f.titles.found(text, before) {
		return "it says that something goes on, but its words stand in no heading before", true
	}
	if len(text) == 0 && !f.repeatsAbove(l) {
		return "it says that something goes on, but no heading went that it stands under", true
	}
	return "", true
}

// maxHeading is how many lines a heading has at most.
const maxHeading = 6

// headingGoesOn reports whether a line, or one of those after it that went for the same reason,
// ends in "continued".
func (f *faces) headingGoesOn(l left) bool {
	src, fate := f.v.src[l.src], f.v.r.fate[l.src]
	for i, n := l.line, 0; i < len(src.Lines) && n < maxHeading; i++ {
		text := src.Text(i)
		if len(text) == 0 {
			continue
		}
		if rest, _, apart := edges(text); apart && len(rest) > 0 {
			text = rest // a page number stands on its line
		}
		n++
		if fate[i].kind != out || f.v.r.acc.reasons[fate[i].reason].Class != "repeat" {
			return false
		}
		if len(withoutContinued(text)) < len(text) {
			return true
		}
	}
	return false
}

// withoutContinued takes "continued" off the end of a line.
func withoutContinued(text []byte) []byte {
	x := cell.Fields(text)
	n := len(x)
	if n == 0 || !has(words(text[x[n-1][0]:x[n-1][1]]), continuedWords) {
		return text
	}
	if n == 1 {
		return nil
	}
	return text[:x[n-2][1]]
}

// repeatsAbove reports whether the line with marks above a line went as a repeat.
func (f *faces) repeatsAbove(l left) bool {
	src, fate := f.v.src[l.src], f.v.r.fate[l.src]
	for i := l.line - 1; i >= 0; i-- {
		if len(src.Text(i)) > 0 {
			return fate[i].kind == out && f.v.r.acc.reasons[fate[i].reason].Class == "repeat"
		}
	}
	return false
}
