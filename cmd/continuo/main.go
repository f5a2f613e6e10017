// Command continuo makes one continuous braille book for a refreshable braille
// display out of the paper volumes of a title, and accounts for every cell.
package main

import (
	"os"

	"continuo/internal/cli"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], os.Stdout, os.Stderr))
}
