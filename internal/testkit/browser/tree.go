package browser

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Node is one node of the accessibility tree that is not ignored.
type Node struct {
	Role, Name, Value, Description string
	Level                          int // of a heading
	Depth                          int
	Inside                         []string // roles around it, the outermost first
	Focusable                      bool
	States                         []string // such as "checked=true", "invalid=true"
}

// String is the node on one line.
func (n Node) String() string {
	s := strings.Repeat("  ", n.Depth) + n.Role
	if n.Level > 0 {
		s += fmt.Sprint(" ", n.Level)
	}
	s += fmt.Sprintf(" %q", n.Name)
	if n.Value != "" {
		s += fmt.Sprintf(" value %q", n.Value)
	}
	if n.Description != "" {
		s += fmt.Sprintf(" described %q", n.Description)
	}
	return s
}

// rawValue is a value of the protocol.
type rawValue struct {
	Value json.RawMessage `json:"value"`
}

func (v *rawValue) text() string {
	if v == nil {
		return ""
	}
	var s string
	if json.Unmarshal(v.Value, &s) == nil {
		return s
	}
	return string(v.Value)
}

// rawNode is a node as the browser tells it (Chrome DevTools Protocol,
// Accessibility.AXNode).
type rawNode struct {
	ID          string    `json:"nodeId"`
	Ignored     bool      `json:"ignored"`
	Role        *rawValue `json:"role"`
	Name        *rawValue `json:"name"`
	Value       *rawValue `json:"value"`
	Description *rawValue `json:"description"`
	Properties  []struct {
		Name  string   `json:"name"`
		Value rawValue `json:"value"`
	} `json:"properties"`
	Parent   string   `json:"parentId"`
	Children []string `json:"childIds"`
}

// Tree reads the accessibility tree in reading order.
func (p *Page) Tree() []Node {
	p.t.Helper()
	var answer struct {
		Nodes []rawNode `json:"nodes"`
	}
	p.call("Accessibility.getFullAXTree", map[string]any{}, &answer)
	byID := map[string]*rawNode{}
	for i := range answer.Nodes {
		byID[answer.Nodes[i].ID] = &answer.Nodes[i]
	}
	var out []Node
	var walk func(n *rawNode, inside []string)
	walk = func(n *rawNode, inside []string) {
		if !n.Ignored && n.Role.text() != "none" && n.Role.text() != "InlineTextBox" {
			out = append(out, n.node(inside))
			inside = append(slices.Clone(inside), n.Role.text())
		}
		for _, id := range n.Children {
			if c := byID[id]; c != nil {
				walk(c, inside)
			}
		}
	}
	for i := range answer.Nodes {
		if answer.Nodes[i].Parent == "" {
			walk(&answer.Nodes[i], nil)
		}
	}
	return out
}

func (n *rawNode) node(inside []string) Node {
	out := Node{Role: n.Role.text(), Name: strings.Join(strings.Fields(n.Name.text()), " "), Value: n.Value.text(), Description: n.Description.text(), Depth: len(inside), Inside: inside}
	for _, p := range n.Properties {
		switch v := p.Value.text(); p.Name {
		case "level":
			fmt.Sscan(v, &out.Level)
		case "focusable":
			out.Focusable = v == "true"
		case "checked", "expanded", "invalid", "required", "disabled", "selected", "pressed":
			out.States = append(out.States, p.Name+"="+v)
		}
	}
	return out
}

// named are roles that mean nothing to a person without a name (WAI-ARIA 1.2,
// "Accessible Name Required: True", and landmarks that can stand several times).
var named = []string{"link", "button", "textbox", "searchbox", "combobox", "listbox", "checkbox", "radio", "spinbutton", "slider", "option", "heading", "image", "img", "group", "radiogroup", "table", "region", "progressbar", "meter", "dialog"}

// Judge looks a tree over: a page has a name; one main landmark, one banner and
// one contentinfo at most; all navigations told apart by name; one heading of the
// first level, which is the first, and no level passed over on the way down; every
// role that needs a name has one; columns of data tables have headers; and all
// that is focusable has a role that says what it does.
func Judge(tree []Node) []string {
	var out []string
	bad := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if len(tree) == 0 || tree[0].Name == "" {
		bad("the page has no title")
	}
	count := map[string]int{}
	navigations := map[string]bool{}
	level := 0
	for i, n := range tree {
		count[n.Role]++
		if slices.Contains(named, n.Role) && n.Name == "" {
			bad("no name: %s", strings.TrimSpace(n.String()))
		}
		switch n.Role {
		case "heading":
			if level == 0 && n.Level != 1 {
				bad("the first heading is of level %d: %q", n.Level, n.Name)
			}
			if n.Level > level+1 && level > 0 {
				bad("heading %q of level %d comes after one of level %d", n.Name, n.Level, level)
			}
			if level = n.Level; n.Level == 1 {
				count["h1"]++
			}
		case "navigation":
			if navigations[n.Name] {
				bad("two navigations are called %q", n.Name)
			}
			navigations[n.Name] = true
		case "table":
			if !holds(tree[i+1:], n.Depth, "columnheader", "rowheader") {
				bad("no headers: %s", strings.TrimSpace(n.String()))
			}
		}
		if n.Focusable && (n.Role == "generic" || n.Role == "paragraph" || n.Role == "StaticText") {
			bad("focusable without a role: %s", strings.TrimSpace(n.String()))
		}
	}
	for role, want := range map[string]int{"main": 1, "h1": 1} {
		if count[role] != want {
			bad("%d of %s", count[role], role)
		}
	}
	for _, role := range []string{"banner", "contentinfo", "search"} {
		if count[role] > 1 {
			bad("%d of %s", count[role], role)
		}
	}
	return append(out, outsideLandmarks(tree)...)
}

// holds reports whether one of the roles is among the nodes deeper than depth that
// come first.
func holds(rest []Node, depth int, roles ...string) bool {
	for _, n := range rest {
		if n.Depth <= depth {
			return false
		}
		if slices.Contains(roles, n.Role) {
			return true
		}
	}
	return false
}

var landmarks = []string{"main", "banner", "contentinfo", "navigation", "search", "complementary", "region"}

// outsideLandmarks lists text that stands in no landmark; a link that leads past
// what repeats may.
func outsideLandmarks(tree []Node) (out []string) {
	for _, n := range tree {
		if n.Role != "StaticText" || slices.Contains(n.Inside, "link") && len(n.Inside) <= 3 {
			continue
		}
		if !slices.ContainsFunc(n.Inside, func(r string) bool { return slices.Contains(landmarks, r) }) {
			out = append(out, fmt.Sprintf("text outside of landmarks: %q", n.Name))
		}
	}
	return out
}
