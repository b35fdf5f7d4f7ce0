// Command generate writes drawings to measure with. The same arguments write
// the same bytes.
//
//	go run ./testdata/bench/generate kitchens FOLDER [N]   N (1000) different kitchens
//	go run ./testdata/bench/generate drawing FILE [N]      one drawing of N (1000000) loose curves and polylines
//	go run ./testdata/bench/generate outline FILE N        one outline of N shuffled loose lines
//	go run ./testdata/bench/generate plate FILE N          one plate with about N curves of cutouts
//	go run ./testdata/bench/generate crowds FOLDER N       drawings of N curves so near each other that nobody meant them
package main

import (
	"bufio"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) < 2 {
		return errors.New("usage: generate kitchens|drawing|outline|plate|crowds TARGET [N]")
	}
	n := 0
	if len(args) > 2 {
		var err error
		if n, err = strconv.Atoi(args[2]); err != nil || n < 1 {
			return fmt.Errorf("%q is not a number of 1 or more", args[2])
		}
	}
	switch args[0] {
	case "kitchens":
		if n == 0 {
			n = 1000
		}
		for i := range n {
			name := fmt.Sprintf("kitchen-%06d.dxf", i)
			if err := write(filepath.Join(args[1], name), func(d *drawing) { kitchen(d, uint64(i)) }); err != nil {
				return err
			}
		}
		return nil
	case "drawing":
		if n == 0 {
			n = 1_000_000
		}
		return write(args[1], func(d *drawing) { bulk(d, n) })
	case "outline":
		return write(args[1], func(d *drawing) { outline(d, n) })
	case "plate":
		return write(args[1], func(d *drawing) { plate(d, n) })
	case "crowds":
		for name, draw := range crowds {
			r := rand.New(rand.NewPCG(1, uint64(n)))
			path := filepath.Join(args[1], strings.ReplaceAll(name, " ", "-")+".dxf")
			if err := write(path, func(d *drawing) {
				d.digits = 9 // hairs are thin
				draw(d, r, n)
			}); err != nil {
				return err
			}
		}
		return nil
	default:
		return fmt.Errorf("no drawing called %q", args[0])
	}
}

func write(path string, draw func(*drawing)) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	d := &drawing{w: bufio.NewWriterSize(f, 1<<20), digits: 6}
	d.head()
	draw(d)
	d.tail()
	if err := d.w.Flush(); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
