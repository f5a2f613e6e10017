// Package archtest holds the test that imports point downward only, as
// docs/architecture.md says.
package archtest
