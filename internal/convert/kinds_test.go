package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/english"
)

// inCells writes lines of print in contracted UEB, each after its blanks.
func inCells(t *testing.T, lines ...string) []string {
	t.Helper()
	var out []string
	for _, l := range lines {
		text := strings.TrimLeft(l, " ")
		c, err := english.Write(text, english.Variant{Code: english.UEB, Capitals: true, Contracted: true})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, l[:len(l)-len(text)]+string(c))
	}
	return out
}

func formsOf(res *convert.Result, form book.Form) (out []string) {
	for i := range res.Book.Blocks {
		if res.Book.Blocks[i].Form == form {
			out = append(out, blockText(res.Book, i))
		}
	}
	return out
}

// Lines of which several signs must agree before they are recipes or
// exercises. The layouts: ingredients at the margin, runovers in cell 3;
// exercises 1-5 with parts in 3-5 (BANA, Braille Formats 2016, section 10).
func TestRecipesAndExercises(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		form  book.Form
		want  int
	}{
		{"ingredients with measures", []string{"250 g flour", "100 ml milk", "2 eggs", "50 g butter", "1 pinch salt"}, book.Recipe, 5},
		{"one without a number", []string{"250 g flour", "100 ml milk", "salt", "50 g butter", "2 tablespoons sugar"}, book.Recipe, 5},
		{"mostly counted, named", []string{"Ingredients", "2 eggs", "3 apples", "100 g sugar", "4 figs", "50 g nuts"}, book.Recipe, 5},
		{"counted only", []string{"2 eggs", "3 apples", "4 figs", "5 nuts"}, book.Recipe, 0},
		{"numbered items", []string{"1. Rope", "2. Oars", "3. Lamp", "4. Sail"}, book.Recipe, 0},
		{"three lines", []string{"250 g flour", "100 ml milk", "50 g butter"}, book.Recipe, 0},
		{"years", []string{"1812 war", "1815 peace", "1832 reform", "1848 unrest"}, book.Recipe, 0},
		{"questions with parts", []string{"1. What did they see?", "    a. Was it a ship?", "    b. Was it a whale?", "2. Who saw it?"}, book.Exercise, 4},
		{"clauses with parts", []string{"1. The board may", "    a. make rules", "    b. set fees", "2. The rules stand"}, book.Exercise, 0},
		{"questions without parts", []string{"1. What did they see?", "2. Who saw it?", "3. Where was it?"}, book.Exercise, 0},
		{"numbers out of order", []string{"1. What did they see?", "    a. Was it a ship?", "    b. Was it a whale?", "4. Who saw it?"}, book.Exercise, 0},
		{"letters out of order", []string{"1. What did they see?", "    b. Was it a ship?", "    a. Was it a whale?", "2. Who saw it?"}, book.Exercise, 0},
	} {
		for _, width := range []int{18, 40} {
			lines := inCells(t, c.lines...)
			res := tableBook(t, "keep", width, tablePage(append([]string{""}, lines...)...))
			got := formsOf(res, c.form)
			if len(got) != c.want {
				t.Errorf("%s, %d cells: %d blocks %q, want %d\n%s", c.name, width, len(got), got, c.want, res.Edition)
			}
			for k := range got {
				if c.want == len(lines) && got[k] != strings.TrimSpace(lines[k]) {
					t.Errorf("%s: %q, want the line %q", c.name, got[k], lines[k])
				}
			}
		}
	}
}

// TestLinesThatStay: date and closing of a letter, a table in stairsteps (BANA,
// Braille Formats 2016, section 11: cells 1, 3 and 5), a box (lines of dots
// 2-3-5-6 and 1-2-4-5, section 7) and matter laid out in its own way keep their
// lines, whatever the width.
func TestLinesThatStay(t *testing.T) {
	for name, lines := range map[string][]string{
		"letter":    {"                    ,9 ! f]ry h\\se", "                    #ac ,july #ahdh", "", ",de> ,nora1"},
		"closing":   {"  ,y\\rs =\"e1", "                    ,orla ,penn"},
		"stairstep": {",m]cury", "  #j4ejj", "    #j", ",venus", "  #j4hae", "    #j"},
		"box":       {"7777777777777777777777777777777777777777", "a h&ful ( gra9", "gggggggggggggggggggggggggggggggggggggggg"},
		"diagram":   {"        f]ry", "   /            /", "mill     quay      9n", "   /            /"},
	} {
		for _, width := range []int{0, 40} {
			res := tableBook(t, "keep", width, tablePage(append([]string{""}, lines...)...))
			have := map[string]bool{}
			for _, l := range strings.Split(strings.ReplaceAll(string(res.Edition), "\r\n", "\n"), "\n") {
				have[strings.TrimSpace(l)] = true
				if name == "diagram" {
					have[l] = true
				}
			}
			for _, l := range lines {
				if name != "diagram" {
					l = strings.TrimSpace(l)
				}
				if l != "" && !have[l] && !(name == "box" && len(l) == 40) {
					t.Errorf("%s, %d cells: no line %q\n%s", name, width, l, res.Edition)
				}
			}
		}
	}
}
