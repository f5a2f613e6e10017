// Command profile runs continuo and writes where its time went, for the
// compiler: what is called most is built for speed. It is driven by
// bench/profile.sh.
//
//	profile FILE ARGS...    continuo with ARGS; the profile goes to FILE
package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"runtime/pprof"

	"continuo/internal/cli"

	"github.com/google/pprof/profile"
)

func main() {
	if len(os.Args) < 3 {
		fail(errors.New("use: profile FILE ARGS..."))
	}
	var taken bytes.Buffer
	if err := pprof.StartCPUProfile(&taken); err != nil {
		fail(err)
	}
	code := cli.Run(os.Args[2:], os.Stdout, os.Stderr)
	pprof.StopCPUProfile()
	if code == 1 || code == 2 {
		os.Exit(code)
	}
	if err := write(os.Args[1], taken.Bytes()); err != nil {
		fail(err)
	}
}

// write keeps of a profile what the compiler reads: the samples and the names
// of the functions. Where the program lay and when it ran go.
func write(path string, taken []byte) error {
	p, err := profile.ParseData(taken)
	if err != nil {
		return err
	}
	p.TimeNanos, p.Comments = 0, nil
	for _, m := range p.Mapping {
		m.File, m.BuildID = "", ""
	}
	var out bytes.Buffer
	if err := p.Compact().Write(&out); err != nil {
		return err
	}
	return os.WriteFile(path, out.Bytes(), 0o644)
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "profile: error:", err)
	os.Exit(1)
}
