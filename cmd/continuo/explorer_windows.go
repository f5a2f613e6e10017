package main

import (
	"bufio"
	"fmt"
	"os"

	"github.com/inconshreveable/mousetrap"
)

// stayOpen keeps the window that Explorer opened for the program, so that its
// last words can be read.
func stayOpen() {
	if mousetrap.StartedByExplorer() {
		fmt.Println("press Enter to close this window")
		bufio.NewReader(os.Stdin).ReadString('\n')
	}
}
