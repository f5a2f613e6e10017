package profile

import (
	"fmt"
	"slices"

	"continuo/internal/atomicfile"
	"continuo/internal/decide"
	"continuo/internal/plaintext"
	"continuo/internal/source"
)

// OwnHint says how a person comes to a profile that can be written to.
const OwnHint = "continuo profile show uk > house.toml makes a file of your own"

// Refuses says why a house rule cannot be added to a profile, which p is the
// content of, and what to do; both "" when it can.
func Refuses(p Profile, nameOrFile string, rule decide.Rule) (why, hint string) {
	switch {
	case nameOrFile == "":
		return "a house rule stands in a profile, and there is none", OwnHint
	case slices.Contains(Names(), nameOrFile):
		return fmt.Sprintf("the profile %q comes with the program; house rules stand in a file of your own", nameOrFile), OwnHint
	}
	for _, r := range p.Rules {
		if r.Kind == rule.Kind && r.Alike == rule.Alike {
			return fmt.Sprintf("%s has a house rule for these places already: %s", source.Quote(nameOrFile), r.Choice), "edit the profile to change it"
		}
	}
	return "", ""
}

// AddRule adds a house rule at the end of a profile's file. Nothing is written
// when the file would not be a profile any more.
func AddRule(file string, rule decide.Rule) error {
	text, err := plaintext.ReadFile(file)
	if err != nil {
		return err
	}
	out := append(slices.Clone(text), []byte("\n"+rule.TOML())...)
	if _, err := Parse(file, out); err != nil {
		return err
	}
	return atomicfile.Write(file, out)
}
