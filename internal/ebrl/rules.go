package ebrl

import (
	"sort"
	"strings"
)

// Rule is one requirement. Must says that the standard demands it (MUST, MUST
// NOT) and does not only recommend it. Section names the standard and its
// section.
type Rule struct {
	ID      string
	Must    bool
	Section string
	Text    string
}

// Rules lists all rules in the order of their ids.
func Rules() []Rule {
	var out []Rule
	for _, r := range rules {
		out = append(out, r)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].ID < out[j].ID })
	return out
}

// standards are the short names used below, in full.
var standards = strings.NewReplacer("EBR ", "eBraille 1.0, section ", "EPUB ", "EPUB 3.3, ", "A11Y ", "EPUB Accessibility 1.1, ")

// rules by id.
var rules = func() map[string]Rule {
	out := map[string]Rule{}
	for _, r := range []Rule{
		// Container and files.
		{"C1", true, "EBR 4.7", `the name of a package ends in ".ebrl"`},
		{"C3", true, "EBR 4.7; EPUB OCF ZIP container media type identification", "the first entry of a package is mimetype, stored, with nothing but application/epub+zip"},
		{"C5", true, "EBR 4.6; EPUB container file", "META-INF/container.xml names package.opf; a package must have it"},
		{"C6", true, "EBR 4.2", "package.opf stands in the root"},
		{"C7", true, "EBR 4.2, 8.2", "index.html stands in the root"},
		{"C9", true, "EPUB file and directory structure", "nothing of the publication is in META-INF, and mimetype and META-INF are not in the manifest"},
		{"C10", true, "EPUB ZIP file requirements", "the ZIP file uses nothing but what EPUB allows, and is whole"},
		{"C11", true, "EBR 4.3; EPUB file paths and file names", "file names are of allowed characters and different from one another"},
		{"C11-blank", false, "EBR 4.3", "file names have no blanks"},
		{"C12", true, "EBR 3.5, 4.4, 13.2.1", "every resource is in the publication and is named by a relative URL"},
		{"C13", false, "EBR 4.7", "fonts are not obfuscated"},
		{"C14", true, "EBR 3.8", "XML is in UTF-8"},
		{"C15", true, "EPUB XML conformance", "XML is well-formed, without external or named entities"},
		{"C16", true, "EBR 4.5", "the first rendition is the braille one"},
		// Package document.
		{"P1", true, "EBR 5.2; EPUB package element", "the package document has its root, version, identifier and parts"},
		{"P2", true, "EPUB metadata values", "no metadata element is empty"},
		{"P3", true, "EBR 3.4, 5.6", "no manifest fallbacks, collections, legacy or deprecated features"},
		{"P4", true, "EBR 7", "no fixed layout"},
		{"P5", true, "EBR 5.4; EPUB manifest and item elements", "every item of the manifest has its own id and href, a type, and is there"},
		{"P5-all", false, "EPUB manifest element", "every file of the publication is in the manifest"},
		{"P6", true, "EBR 5.5, 6.1; EPUB itemref element", "the spine has XHTML documents of the manifest, each once, that can be reached"},
		{"P7", true, "EPUB publication resources and hyperlinks", "internal links point at documents of the spine and at ids in them"},
		// Metadata.
		{"M-title", true, "EBR 5.3.3", "at least one dc:title"},
		{"M-creator", true, "EBR 5.3.3", "at least one dc:creator"},
		{"M-identifier", true, "EBR 5.3.3", "at least one dc:identifier"},
		{"M-language", true, "EBR 5.3.3", "at least one dc:language, every one with the script Brai"},
		{"M-format", true, "EBR 5.3.3", "dc:format once, eBraille 1.0"},
		{"M-date", true, "EBR 5.3.3", "dc:date once"},
		{"M-modified", true, "EBR 5.3.3; EPUB last modified date", "dcterms:modified once, YYYY-MM-DDThh:mm:ssZ"},
		{"M-copyright", true, "EBR 5.3.3", "dcterms:dateCopyrighted once, YYYY, YYYY-MM or YYYY-MM-DD"},
		{"M-cell", true, "EBR 5.3.3", "a11y:brailleCellType once: 6, 8, or both"},
		{"M-system", true, "EBR 5.3.3", "at least one a11y:brailleSystem"},
		{"M-complete", true, "EBR 5.3.3", "a11y:completeTranscription once: true or false"},
		{"M-producer", true, "EBR 5.3.3", "at least one a11y:producer"},
		{"M-tactile", true, "EBR 5.3.3", "a11y:tactileGraphics once: none, or JPG, PNG, SVG, PDF"},
		{"M-size", true, "EBR A.3", "a11y:minimumCells and a11y:minimumLines at most once, whole numbers above 0"},
		{"M-access", false, "EBR 10; A11Y package metadata", "access mode, feature and hazard are told"},
		{"M-pages", false, "A11Y pagination source", "the print edition of the page numbers is told"},
		{"M-prefix", false, "EBR A; EPUB reserved prefixes", "reserved prefixes are not declared anew"},
		// Primary entry page.
		{"N1", true, "EBR 8.2", "the entry page links to the package document"},
		{"N2", false, "EBR 8.2", "the entry page is not in the spine"},
		{"N3", true, "EBR 8.3.1; EPUB nav element", "one nav of type toc and role doc-toc, as one list"},
		{"N4", true, "EPUB nav element", "every entry has a label"},
		{"N5", false, "EPUB toc nav, page-list nav", "entries stand in the order of the text"},
		{"N6", true, "EBR 8.3.2", "a page list has the role doc-pagelist, is one flat list, and has print numbers as titles"},
		{"N7", true, "A11Y page list", "a page list has every page break of the text"},
		{"N8", true, "EBR 8.3.3; EPUB landmarks nav", "every landmark has a type, and no two are the same"},
		// Content documents.
		{"X1", true, "EBR 3.7, 6.2; HTML content models", "content documents are valid XHTML"},
		{"X2", false, "EBR 6.2.1", "rendered text is Unicode braille"},
		{"X3", false, "EBR 6.2.2", "lists are not numbered or marked by the reading system"},
		{"X4", true, "EBR 6.2.3", "no scripts, and no forms that are sent"},
		{"X5", false, "EBR 5.3.3.8", "documents have lang and xml:lang with the script Brai"},
		{"X5-equal", true, "HTML lang and xml:lang attributes", "lang and xml:lang of an element are the same"},
		{"X7", true, "EBR 6.3.2; EPUB CSS requirements", "no -epub- properties, direction or unicode-bidi in style sheets, which are in UTF-8"},
		{"X8", false, "EBR 6.3.2", "style sheets do not change the look of characters"},
		{"X9", false, "EBR 6.3.2, 13.2.4", "lengths are relative to the font"},
		{"X10", true, "EBR 6.3.3", "no media queries for braille"},
		{"X10-other", false, "EBR 6.3.3", "no media queries for screen or grid"},
	} {
		r.Section = standards.Replace(r.Section)
		out[r.ID] = r
	}
	return out
}()
