// Command shelf measures a reader's card: 700 titles built and verified, then
// 10 more. The editions are made up, of the sizes that books have (200 kB to
// 1 MB), on disk; the card is a folder, by default beside them.
//
// Use: go run ./bench/shelf [-titles 700] [-card FOLDER]
package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"continuo/internal/shelf"
)

func main() {
	titles := flag.Int("titles", 700, "titles of the first build")
	card := flag.String("card", "", "folder of the card; without it a new one")
	flag.Parse()
	work, err := os.MkdirTemp("", "continuo-shelf-")
	check(err)
	defer os.RemoveAll(work)
	if *card == "" {
		*card = filepath.Join(work, "card")
		check(os.Mkdir(*card, 0o777))
	}
	items, size := library(work, *titles+10)
	fmt.Printf("titles: %d\nmegabytes of the first build: %d\n", *titles, size>>20)
	start := time.Now()
	first := build(*card, items[:*titles])
	built := time.Since(start)
	n, faults, err := shelf.Verify(*card)
	check(err)
	if len(faults) > 0 {
		log.Fatal(faults)
	}
	fmt.Printf("written: %d\nfiles verified: %d\nseconds to build: %.1f\nseconds to build and verify: %.1f, bar 60\n", len(first.Written), n, built.Seconds(), time.Since(start).Seconds())
	before := stamps(*card)
	start = time.Now()
	second := build(*card, items)
	books, others := 0, 0
	for p, s := range stamps(*card) {
		if before[p] == s {
			continue
		}
		if len(p) > 6 && p[:6] == "books/" {
			books++
		} else {
			others++
		}
	}
	fmt.Printf("second build, written: %d\nbooks that changed on the card: %d, bar 10\nindex and records that changed: %d\nseconds: %.1f\n", len(second.Written), books, others, time.Since(start).Seconds())
	if len(second.Written) != 10 || books != 10 {
		log.Fatal("the second build wrote more than it should")
	}
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

func build(card string, items []shelf.Item) *shelf.Result {
	r, err := shelf.Build(context.Background(), card, items, shelf.Options{Wishes: shelf.Default()})
	check(err)
	return r
}

// library writes editions and describes them.
func library(dir string, n int) (items []shelf.Item, size int64) {
	rng := rand.New(rand.NewPCG(1, 1))
	words := []string{"bell", "harbour", "lantern", "weather", "mill", "pond", "stair", "quay", "orchard", "winter", "ferry", "river"}
	line := []byte("  ,! bell r+s \"u ! wat]1 & no\"o 9 ! h\\r\r\n")
	for i := range n {
		data := bytes.Repeat(line, 5000+rng.IntN(20000))
		copy(data, fmt.Sprintf("%06d", i))
		p := filepath.Join(dir, fmt.Sprintf("t%04d.brf", i))
		check(os.WriteFile(p, data, 0o666))
		sum := sha256.Sum256(data)
		if i < n-10 {
			size += int64(len(data))
		}
		items = append(items, shelf.Item{Key: fmt.Sprintf("t%04d", i), Title: fmt.Sprintf("The %s and the %s", words[rng.IntN(12)], words[rng.IntN(12)]), Author: "By Orla Quist",
			Edition: hex.EncodeToString(sum[:]), Bytes: int64(len(data)), Load: func() ([]byte, error) { return os.ReadFile(p) }})
	}
	return items, size
}

// stamps notes the time of every file.
func stamps(dir string) map[string]int64 {
	out := map[string]int64{}
	filepath.Walk(dir, func(p string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			rel, _ := filepath.Rel(dir, p)
			out[filepath.ToSlash(rel)] = info.ModTime().UnixNano()
		}
		return nil
	})
	return out
}
